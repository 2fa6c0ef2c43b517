package report_test

import (
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/sizing"
)

// first returns the first sentences of a verdict.
func first(v report.Verdict) string { return v.Sentences[0] }

func both(v report.Verdict) (sentences []string, bad bool) { return v.Sentences, v.Bad }

// A bank that brings four years of five down says what the worst then keeps.
func TestBankVerdictSaysWhatTheWorstYearKeeps(t *testing.T) {
	sizeWh := 23_500.0
	size := sizing.Point{CapacityWh: sizeWh, UnmetP80: 10, UnmetWorst: 161, WorstYear: 2008}
	r := sizing.Result{
		FirstYear: 2007, LastYear: 2018, Years: 12, PresentWh: 14_000, TargetHours: 10, SizeWh: &sizeWh, Size: &size,
		Present: sizing.Point{CapacityWh: 14_000, UnmetP80: 90, UnmetWorst: 201, WorstYear: 2008},
	}
	const want = "In four of five of the 12 years your 14.0 kWh bank leaves you short for up to 90 hours, in the worst (2008) for 201 hours. " +
		"23.5 kWh bring that down to 10 hours and, in the worst (2008), to 161 hours."
	if got := first(report.Bank{Result: &r}.Verdict()); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// What no bank mends is told with the cause that was found by trying; good news and
// a generator that carries the house are told as such.
func TestBankVerdictNamesTheCause(t *testing.T) {
	none := 0.0
	point := func(wh, p80, worst float64) sizing.Point {
		return sizing.Point{CapacityWh: wh, UnmetP80: p80, UnmetWorst: worst, WorstYear: 2008}
	}
	inverter := &sim.Diagnosis{UnmetHours: 300, Causes: []sim.Lift{{Limit: sim.InverterLimit, UnmetHours: 40}, {Limit: sim.SourceLimit}}}
	for _, c := range []struct {
		r    sizing.Result
		want string
	}{
		{sizing.Result{Years: 2, PresentWh: 1_000_000, Present: point(1_000_000, 0, 0), SizeWh: &none},
			"Your 1,000 kWh bank does not leave you short for an hour in any of the 2 years. Even no bank at all would keep it to 10 hours in four years of five."},
		{sizing.Result{Years: 2, PresentWh: 12_000, Present: point(12_000, 0, 0), SizeWh: &none, Generator: true},
			"Your 12.0 kWh bank does not leave you short for an hour in any of the 2 years. The generator would keep it to 10 hours in four years of five without any bank: what a bank spares is its running and its fuel."},
		{sizing.Result{Years: 12, PresentWh: 14_000, Present: point(14_000, 300, 400), MinHours: 290, Why: inverter},
			"In four of five of the 12 years your 14.0 kWh bank leaves you short for up to 300 hours, in the worst (2008) for 400 hours. No bank of any size helps. " +
				"The cause, by trying: the inverter carries too little at once. With an inverter without limit 40 of the 300 dark hours would be left: spread the loads over the day or fit a bigger inverter. " +
				"With twice of what the sources give besides, none: more panels or more water help. (Hours of a mean year, with a bank so big that more gains nothing.)"},
		{sizing.Result{FirstYear: 2007, Years: 1, PresentWh: 14_000, Present: point(14_000, 300, 300), MinHours: 100, Why: &sim.Diagnosis{UnmetHours: 100, Alone: []sim.Lift{{Limit: sim.RateLimit, UnmetHours: 99}, {Limit: sim.SourceLimit, UnmetHours: 98}}}},
			"In the water year from 2007 your 14.0 kWh bank leaves you short for 300 hours. No bank keeps it to 10 hours a year: a bigger one gets down to 100 hours at best. " +
				"No one cause was found: with a bank that takes and gives any power, or with twice of what the sources give, it stays at 100 hours or nearly so."},
	} {
		c.r.TargetHours = 10
		if got := first(report.Bank{Result: &c.r}.Verdict()); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// The year says what its unmet hours come from, and what a bigger inverter alone
// would do in the hours that ask too much of it.
func TestYearNamesTheCause(t *testing.T) {
	v := small(t, "lfp")
	v.Summary.UnmetHours, v.Summary.OverHours = 12, 5
	for want, d := range map[string]*sim.Diagnosis{
		"With an inverter that carries it, 7 hours of the 12 would be left.":                 {UnmetHours: 12, Alone: []sim.Lift{{Limit: sim.InverterLimit, UnmetHours: 7}}},
		"A bigger inverter alone would not help":                                             {UnmetHours: 12, Alone: []sim.Lift{{Limit: sim.InverterLimit, UnmetHours: 12}}},
		"The cause, by trying: the bank holds too little. With 4 times the bank 2 of the 12": {UnmetHours: 12, Causes: []sim.Lift{{Limit: sim.SizeLimit, UnmetHours: 2}}},
	} {
		v.Why = d
		sentences := v.Verdict().Sentences
		if all := strings.Join(sentences, " "); !strings.Contains(all, want) {
			t.Errorf("it says %q, want %q in it", all, want)
		}
	}
	v.Why = nil
	if sentences := v.Verdict().Sentences; strings.Contains(strings.Join(sentences, " "), "trying") {
		t.Errorf("a cause that was not tried: %q", sentences)
	}
}
