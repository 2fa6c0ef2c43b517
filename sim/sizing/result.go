package sizing

import (
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// Result is what [Study] found.
type Result struct {
	FirstYear int // by the calendar year in which it starts
	LastYear  int
	Years     int
	Sources   []sim.Kind // that the homestead was run with

	PresentWh   float64
	Present     Point
	TargetHours float64  // a year, in four years of five
	SizeWh      *float64 // the smallest bank that keeps to it; nil: none does
	Size        *Point   // the same as a point of the curve
	// MinHours are left in four years of five with a bank so big that more
	// gains nothing; the curve ends at NothingGainedWh.
	MinHours        float64
	NothingGainedWh float64

	// SequentPeakWh is the depth of the deepest deficit spell, by the mass
	// curve ([sim.Deficits]).
	SequentPeakWh   float64
	SequentPeakYear int
	// NoUnmetWh is a bank that leaves no hour unmet, run through every year
	// without a generator, but those beyond the inverter: the smallest that the
	// mass curve asks for, or up to twice as much for what it leaves out. nil:
	// there is none.
	NoUnmetWh *float64

	// OpenYears is the number of years at whose end a bank that is never too
	// small would lack more than a day's use: the sources gave less than the
	// house took, and a big bank lived off what was in it at the start.
	OpenYears int

	// AutonomyDays is how long the present bank, full, carries the house
	// without any source; DailyWh is the use of a day in the month that uses
	// most. RuleOfThumbWh is the bank by the reckoning of RuleOfThumbDays of autonomy.
	AutonomyDays    float64
	DailyWh         float64
	RuleOfThumbDays float64
	RuleOfThumbWh   float64

	UsableFraction float64
	// RiddenFraction is the share of the deficit spells that the present bank
	// rides through; LongRiddenFraction that of the spells of more than a day.
	RiddenFraction     float64
	LongSpells         int
	LongRiddenFraction float64

	AgeYears float64 // when age ends a bank; 0: not told
	Sure     *Sure   // nil without draws

	Curve  []Point
	Spells []Spell // of all years, in order; a file of their own

	// Why tells, where no bank keeps to the target, what leaves the house short
	// with a bank so big that more gains nothing.
	Why       *sim.Diagnosis
	Generator bool // there is one that carries the house where the bank does not
}

// Spell is a deficit spell, see [sim.Spell].
type Spell struct {
	Start   time.Time
	Hours   int
	DepthWh float64 // at the store
	leftWh  float64 // what the bank still lacks when the year ends
}

func newSpell(in *sim.Input, d sim.Spell) Spell {
	return Spell{in.Start.Add(time.Duration(d.Start) * time.Hour), d.Hours, d.DepthWh, d.LeftWh}
}

// Long reports whether the spell lasts more than a day: a night is none.
func (s Spell) Long() bool { return s.Hours > 24 }

// Ridden returns the share of the spells, 0 to 1, that a bank of the given
// rated capacity rides through, and of those of more than a day; 1 if there is
// none.
func (r *Result) Ridden(capacityWh float64) (all, long float64) {
	var n, ridden, nLong, riddenLong float64
	for _, s := range r.Spells {
		fits := s.DepthWh <= capacityWh*r.UsableFraction
		n++
		if fits {
			ridden++
		}
		if s.Long() {
			nLong++
			if fits {
				riddenLong++
			}
		}
	}
	fraction := func(part, of float64) float64 {
		if of == 0 {
			return 1
		}
		return part / of
	}
	return fraction(ridden, n), fraction(riddenLong, nLong)
}

func (r *Result) takeFractions() {
	r.RiddenFraction, r.LongRiddenFraction = r.Ridden(r.PresentWh)
	for _, s := range r.Spells {
		if s.Long() {
			r.LongSpells++
		}
	}
}

// Days of autonomy that are common practice for a house with panels alone.
const ruleOfThumbDays = 3

func (r *Result) autonomy(b storage.Bank) {
	if r.DailyWh > 0 {
		r.AutonomyDays = r.PresentWh * r.UsableFraction * b.DischargeEfficiency / r.DailyWh
	}
	r.RuleOfThumbDays = ruleOfThumbDays
	r.RuleOfThumbWh = Autonomy{
		Daily: r.DailyWh, Days: ruleOfThumbDays, MaxDepth: 1 - b.FloorSoC, EndOfLife: 0.8,
		TempFactor: min(b.CapacityFraction(b.IndoorC), 1), Margin: 1.1,
	}.Capacity()
}
