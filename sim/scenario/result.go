package scenario

import (
	"time"

	"sunrill/sim"
	"sunrill/weather"
)

// Result is what [DryWinter] found.
type Result struct {
	Record    Record
	Scenarios []Scenario
	Synthetic *Synthetic // nil where no year could be made up
	Notes     []string
	Sources   []sim.Kind // that the homestead was run with

	// FanWith and FanWithout are the bank's charge through the synthetic years;
	// nil where none were run.
	FanWith    *Fan
	FanWithout *Fan
}

// Record says what the record holds.
type Record struct {
	FirstYear   int // by the calendar year in which it starts
	LastYear    int
	Years       int
	Chosen      bool    // there are more years in the record than were run
	RainMM      float64 // mean of a water year
	WorstYear   int     // most unmet hours, with hydro where the site has it
	DriestYear  int
	DriestMM    float64
	WettestYear int
	WettestMM   float64
}

// Scenario is one kind of weather and what came of it.
type Scenario struct {
	Name       string
	RainFactor float64
	OnsetWeeks int
	Years      int
	With       *Outcome // nil: the site has no hydro
	Without    Outcome
	Sure       *Sure // nil without draws
}

// Outcome is what the years of a scenario came to.
type Outcome struct {
	UnmetP50   float64
	UnmetP80   float64
	UnmetP95   float64
	UnmetWorst float64
	// Where the 1-in-5 and the worst year come out in 8 of 10 sets of as many years
	// drawn again from these: few years make neither sure.
	P80Range         sim.Range
	WorstRange       sim.Range
	UnmetMean        float64
	DeepestDeficitWh float64 // of all years
	GeneratorHours   float64 // mean of a year
	FuelL            float64 // mean of a year

}

// Best returns the outcome with hydro where the site has it.
func (s *Scenario) Best() *Outcome {
	if s.With != nil {
		return s.With
	}
	return &s.Without
}

// Synthetic says what the synthetic years came to: unmet hours with hydro where the
// site has it.
type Synthetic struct {
	Years      int
	Seed       uint64
	P50        float64
	P80        float64
	P95        float64
	Worst      float64
	WorstRange sim.Range // where it comes out in 8 of 10 sets of as many
	RainMM     float64   // mean of a year
	Fit        *weather.FitReport
	// Beside lays what the record's years came to beside the synthetic ones.
	Beside []Beside
}

// Beside is one figure of the record's years beside that of the synthetic years,
// and where it comes out in 19 of 20 sets of as many synthetic years as the record
// has. A record outside of that is none that the synthetic years would make.
type Beside struct {
	Figure    Figure
	Hydro     bool
	Record    float64
	Synthetic float64
	Low       float64
	High      float64
}

// Fits reports whether the record lies within what synthetic years make of it.
func (b Beside) Fits() bool { return b.Low <= b.Record && b.Record <= b.High }

// Figure is what is laid beside.
type Figure int

// What a house feels of a set of years.
const (
	MeanUnmet      Figure = iota // hours a year
	UnmetOneIn5                  // hours
	DeepestDeficit               // Wh, of all the years of the set
	LowDays                      // days below what the smallest set of nozzles takes, mean of a year
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

// Fits reports whether the record lies within what synthetic years make of it, in
// all that is laid beside.
func (m *Synthetic) Fits() bool {
	for _, b := range m.Beside {
		if !b.Fits() {
			return false
		}
	}
	return true
}
