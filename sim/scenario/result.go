package scenario

import (
	"fmt"
	"math"
	"strings"
	"time"

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
}

// Outcome is what the years of a scenario came to.
type Outcome struct {
	UnmetP50          float64 `json:"unmet_hours_p50"`
	UnmetP80          float64 `json:"unmet_hours_p80"`
	UnmetP95          float64 `json:"unmet_hours_p95"`
	UnmetWorst        float64 `json:"unmet_hours_worst"`
	UnmetMean         float64 `json:"unmet_hours_mean"`
	DeepestDeficitKWh float64 `json:"deepest_deficit_kwh"` // of all years
	GeneratorHours    float64 `json:"generator_hours"`     // mean of a year
	FuelL             float64 `json:"fuel_l"`              // mean of a year

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
	Years  int                `json:"years"`
	Seed   uint64             `json:"seed"`
	P50    float64            `json:"p50"`
	P80    float64            `json:"p80"`
	P95    float64            `json:"p95"`
	Worst  float64            `json:"worst"`
	RainMM float64            `json:"rain_mm"` // mean of a year
	Fit    *weather.FitReport `json:"fit"`
}

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
	if all == nil {
		all = r.Find(nameRecord)
	}
	return r.short(all) + generatorText(all)
}

// generatorText says how long the generator runs, if there is one.
func generatorText(s *Scenario) string {
	alone := s.Without.GeneratorHours
	switch {
	case alone == 0:
		return ""
	case s.With == nil:
		return fmt.Sprintf(" The generator runs %s a year.", hours(alone))
	}
	return fmt.Sprintf(" The generator runs %s a year, without the creek %s.", hours(s.With.GeneratorHours), hours(alone))
}

// short says how short the house goes, by all the years of a scenario and by
// the driest on record.
func (r *Result) short(all *Scenario) string {
	driest := r.Find(nameDriest)
	if r.Record.Years == 1 { // no driest to speak of
		driest = r.Find(nameRecord)
	}
	if all.Without.UnmetP80 == 0 && driest.Without.UnmetWorst == 0 {
		v := "In four years of five you will not be short, nor in the driest on record"
		if w := all.Without.UnmetWorst; w > 0 {
			v += fmt.Sprintf("; the worst of %s leaves %s", measure.Plural(all.Years, "year", "years"), hours(w))
		}
		return v + "."
	}
	v := fmt.Sprintf("In one year of five you will be short for %s or more, in the driest on record (%s) for %s",
		hours(all.Without.UnmetP80), WaterYear(r.Record.DriestYear), hours(driest.Without.UnmetWorst))
	if r.Record.Years == 1 {
		v = fmt.Sprintf("In one year of five you will be short for %s or more, in the one year that was run (%s) for %s",
			hours(all.Without.UnmetP80), WaterYear(r.Record.DriestYear), hours(driest.Without.UnmetWorst))
	}
	if all.With == nil {
		return v + "."
	}
	if all.With.UnmetP80 >= all.Without.UnmetP80 && driest.With.UnmetWorst >= driest.Without.UnmetWorst {
		return fmt.Sprintf("Without the creek: %s%s. Putting it to work changes nothing.", strings.ToLower(v[:1]), v[1:])
	}
	return fmt.Sprintf("Without the creek: %s%s. Putting it to work cuts that to %s and %s.", strings.ToLower(v[:1]), v[1:],
		measure.Count(int(all.With.UnmetP80)), measure.Count(int(driest.With.UnmetWorst)))
}

// WaterYear names the water year that starts in a calendar year: "2011–12".
func WaterYear(start int) string { return fmt.Sprintf("%d–%02d", start, (start+1)%100) }

func hours(h float64) string {
	return measure.Plural(int(math.Round(h)), "hour", "hours")
}
