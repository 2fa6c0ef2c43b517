package scenario

import (
	"fmt"
	"time"

	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/weather"
)

// Result is what [DryWinter] found.
type Result struct {
	Record    Record     `json:"record"`
	Scenarios []Scenario `json:"scenarios"`
	MadeUp    *MadeUp    `json:"made_up"` // nil where no year could be made up
	Notes     []string   `json:"notes,omitempty"`

	// FanWith and FanWithout are the bank's charge through the made-up years;
	// nil where none were run.
	FanWith    *Fan `json:"-"`
	FanWithout *Fan `json:"-"`
}

// Record says what the record holds.
type Record struct {
	FirstYear   int     `json:"first_year"` // by the calendar year in which it starts
	LastYear    int     `json:"last_year"`
	Years       int     `json:"years"`
	Chosen      bool    `json:"chosen"`     // there are more years in the record than were run
	RainMM      float64 `json:"rain_mm"`    // mean of a water year
	WorstYear   int     `json:"worst_year"` // most unmet hours, with hydro where the site has it
	DriestYear  int     `json:"driest_year"`
	DriestMM    float64 `json:"driest_mm"`
	WettestYear int     `json:"wettest_year"`
	WettestMM   float64 `json:"wettest_mm"`
}

// Scenario is one kind of weather and what came of it.
type Scenario struct {
	Name       string   `json:"name"`
	RainFactor float64  `json:"rain_factor"`
	OnsetWeeks int      `json:"onset_weeks"`
	Years      int      `json:"years"`
	With       *Outcome `json:"with_hydro"` // nil: the site has no hydro
	Without    Outcome  `json:"without_hydro"`
	Sure       *Sure    `json:"-"` // nil without draws
}

// Outcome is what the years of a scenario came to.
type Outcome struct {
	UnmetP50   float64 `json:"unmet_hours_p50"`
	UnmetP80   float64 `json:"unmet_hours_p80"`
	UnmetP95   float64 `json:"unmet_hours_p95"`
	UnmetWorst float64 `json:"unmet_hours_worst"`
	// Where the 1-in-5 and the worst year come out in 8 of 10 sets of as many years
	// drawn again from these: few years make neither sure.
	P80Range          sim.Range `json:"unmet_hours_p80_range"`
	WorstRange        sim.Range `json:"unmet_hours_worst_range"`
	UnmetMean         float64   `json:"unmet_hours_mean"`
	DeepestDeficitKWh float64   `json:"deepest_deficit_kwh"` // of all years
	GeneratorHours    float64   `json:"generator_hours"`     // mean of a year
	FuelL             float64   `json:"fuel_l"`              // mean of a year

}

// Best returns the outcome with hydro where the site has it.
func (s *Scenario) Best() *Outcome {
	if s.With != nil {
		return s.With
	}
	return &s.Without
}

// MadeUp says what the made-up years came to: unmet hours with hydro where the
// site has it.
type MadeUp struct {
	Years      int                `json:"years"`
	Seed       uint64             `json:"seed"`
	P50        float64            `json:"p50"`
	P80        float64            `json:"p80"`
	P95        float64            `json:"p95"`
	Worst      float64            `json:"worst"`
	WorstRange sim.Range          `json:"worst_range"` // where it comes out in 8 of 10 sets of as many
	RainMM     float64            `json:"rain_mm"`     // mean of a year
	Fit        *weather.FitReport `json:"fit"`
	// Beside lays what the record's years came to beside the made-up ones.
	Beside []Beside `json:"beside_record"`
}

// Beside is one figure of the record's years beside that of the made-up years,
// and where it comes out in 19 of 20 sets of as many made-up years as the record
// has. A record outside of that is none that the made-up years would make.
type Beside struct {
	Figure Figure  `json:"figure"`
	Hydro  bool    `json:"hydro"`
	Record float64 `json:"record"`
	MadeUp float64 `json:"made_up"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
}

// Fits reports whether the record lies within what made-up years make of it.
func (b Beside) Fits() bool { return b.Low <= b.Record && b.Record <= b.High }

// Figure is what is laid beside.
type Figure string

// What a house feels of a set of years.
const (
	MeanUnmet      Figure = "unmet_hours_mean"
	UnmetOneIn5    Figure = "unmet_hours_p80"
	DeepestDeficit Figure = "deepest_deficit_kwh"     // of all the years of the set
	LowDays        Figure = "days_below_smallest_set" // mean of a year
)

// Fan is the lowest SoC of each week, 0 to 1, through a year: the median, and
// what is undercut in one year of five and in one of twenty.
type Fan struct {
	Start                   time.Time
	Median, OneIn5, OneIn20 []float64 // a value a week, 52 in all
	FloorSoC                float64
}

// Find returns the first scenario of the name, nil if there is none.
func (r *Result) Find(name string) *Scenario {
	for i := range r.Scenarios {
		if r.Scenarios[i].Name == name {
			return &r.Scenarios[i]
		}
	}
	return nil
}

// WetDayMM is the least rain in mm that makes a day a wet one.
const WetDayMM = weather.WetDayMM

// Verdict says in a sentence or two what a dry winter does to the house.
func (r *Result) Verdict() string {
	all := r.Find(nameMadeUp)
	if all == nil || r.MadeUp != nil && !r.MadeUp.Fits() {
		all = r.Find(nameRecord)
	}
	return r.short(all) + generatorText(all)
}

// Fits reports whether the record lies within what made-up years make of it, in
// all that is laid beside.
func (m *MadeUp) Fits() bool {
	for _, b := range m.Beside {
		if !b.Fits() {
			return false
		}
	}
	return true
}

// generatorText says how long the generator runs, if there is one.
func generatorText(s *Scenario) string {
	alone := s.Without.GeneratorHours
	switch {
	case alone == 0:
		return ""
	case s.With == nil:
		return fmt.Sprintf(" The generator runs %s a year.", measure.Hours(alone))
	}
	return fmt.Sprintf(" The generator runs %s a year, without the creek %s.", measure.Hours(s.With.GeneratorHours), measure.Hours(alone))
}

// short says how short the house goes, with the creek where there is one: in
// the worst year on record and, by all the years of a scenario, in one year of
// five; then the same without the creek.
func (r *Result) short(all *Scenario) string {
	record := r.Find(nameRecord)
	one := r.Record.Years == 1
	worst := fmt.Sprintf("the worst year on record (%s)", WaterYear(r.Record.WorstYear))
	none := "In none of the years on record will you be short"
	switch {
	case one:
		worst = fmt.Sprintf("the one year that was run (%s)", WaterYear(r.Record.WorstYear))
	case r.Record.Chosen:
		worst = fmt.Sprintf("the worst of the %d years that were run (%s)", r.Record.Years, WaterYear(r.Record.WorstYear))
		none = fmt.Sprintf("In none of the %d years that were run are you short", r.Record.Years)
	}
	now, best := record.Best().UnmetWorst, all.Best().UnmetP80
	nowHours := measure.Hours(now) + brackets(record.Best().WorstRange)
	bestHours := func(or string) string {
		return measure.Hours(best) + or + brackets(all.Best().P80Range)
	}
	var v string
	switch {
	case now == 0 && best == 0:
		never := none
		if one {
			never = fmt.Sprintf("In %s you are not short", worst)
		}
		switch most := all.Best().UnmetWorst; {
		case all == record:
			v = never + "."
		case most == 0:
			v = fmt.Sprintf("%s, nor in any of the %s.", never, madeUpYears(all.Years))
		default:
			v = fmt.Sprintf("%s, nor in four of five of the %s; the worst of those leaves you short for %s%s.", never, madeUpYears(all.Years), measure.Hours(most), brackets(all.Best().WorstRange))
		}
	case all == record && one: // one in five of one year says no more
		v = fmt.Sprintf("In %s you are short for %s.", worst, measure.Hours(now))
	case best == 0:
		v = fmt.Sprintf("In %s you are short for %s, in four years of five for none.", worst, nowHours)
	default:
		v = fmt.Sprintf("In %s you are short for %s, in one year of five for %s.", worst, nowHours, bestHours(" or more"))
	}
	if all.With == nil {
		return v
	}
	alone, often := record.Without.UnmetWorst, all.Without.UnmetP80
	switch {
	case alone == now && often == best:
		return v + " That is with the creek at work; without it, it is the same."
	case all == record && one:
		return fmt.Sprintf("%s That is with the creek at work; without it, it would be %s.", v, measure.Hours(alone))
	}
	return fmt.Sprintf("%s That is with the creek at work; without it, the worst would be %s%s, and one year of five %s or more%s.", v,
		measure.Hours(alone), brackets(record.Without.WorstRange), measure.Hours(often), brackets(all.Without.P80Range))
}

// brackets returns how far a figure of few years reaches, " (64 to 210)".
func brackets(r sim.Range) string {
	if !(r.Low < r.High) {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", measure.HoursNumber(r.Low), measure.HoursNumber(r.High))
}

func madeUpYears(n int) string { return measure.Plural(n, "made-up year", "made-up years") }

// WaterYear names the water year that starts in a calendar year: "2011–12".
func WaterYear(start int) string { return fmt.Sprintf("%d–%02d", start, (start+1)%100) }
