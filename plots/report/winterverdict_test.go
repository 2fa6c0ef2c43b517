package report_test

import (
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/scenario"
)

// outcome is of years of which the worst leaves worst hours and one in five p80.
func outcome(worst, p80 float64) scenario.Outcome {
	return scenario.Outcome{UnmetP80: p80, UnmetWorst: worst}
}

// The worst year for the house leads, not the driest, which is often a sunny
// and a mild one; and what is told is what the house has, the creek at work.
func TestWinterVerdictLeadsWithTheWorstForTheHouse(t *testing.T) {
	result := func(years int, hydro bool, record, driest, made, alone, madeAlone scenario.Outcome) *scenario.Result {
		r := &scenario.Result{Record: scenario.Record{Years: years, WorstYear: 2008, DriestYear: 2017}}
		add := func(name string, years int, with, without scenario.Outcome) {
			s := scenario.Scenario{Name: name, Years: years, With: &with, Without: without}
			if !hydro {
				s.With, s.Without = nil, with
			}
			r.Scenarios = append(r.Scenarios, s)
		}
		add("record", years, record, alone)
		add("worst year on record", 1, record, alone)
		add("driest year on record", 1, driest, driest)
		if made.UnmetP95 >= 0 {
			add("made-up years", 1000, made, madeAlone)
		}
		return r
	}
	none := scenario.Outcome{UnmetP95: -1}
	chosen := result(3, true, outcome(141, 141), outcome(141, 141), none, outcome(1086, 1086), none)
	chosen.Record.Chosen = true
	ranged := outcome(201, 90)
	ranged.P80Range, ranged.WorstRange = sim.Range{Low: 24, High: 192}, sim.Range{Low: 90, High: 201}
	for _, c := range []struct {
		r    *scenario.Result
		want string
	}{
		{result(12, true, outcome(201, 90), outcome(49, 49), outcome(472, 101), outcome(916, 841), outcome(1360, 836)),
			"In the worst year on record (2008–09) you are short for 201 hours, in one year of five for 101 hours or more. " +
				"That is with the creek at work; without it, the worst would be 916 hours, and one year of five 836 hours or more."},
		{result(12, false, outcome(201, 90), outcome(49, 49), outcome(472, 101), none, none),
			"In the worst year on record (2008–09) you are short for 201 hours, in one year of five for 101 hours or more."},
		{chosen, "In the worst of the 3 years that were run (2008–09) you are short for 141 hours, in one year of five for 141 hours or more. " +
			"That is with the creek at work; without it, the worst would be 1,086 hours, and one year of five 1,086 hours or more."},
		{result(4, false, ranged, ranged, none, none, none),
			"In the worst year on record (2008–09) you are short for 201 hours (90 to 201), in one year of five for 90 hours or more (24 to 192)."},
		{result(12, true, outcome(7, 0), outcome(0, 0), outcome(9, 0), outcome(7, 0), outcome(9, 0)),
			"In the worst year on record (2008–09) you are short for 7 hours, in four years of five for none. That is with the creek at work; without it, it is the same."},
		{result(12, false, outcome(0, 0), outcome(0, 0), outcome(0, 0), none, none),
			"In none of the years on record will you be short, nor in any of the 1,000 made-up years."},
		{result(12, false, outcome(0, 0), outcome(0, 0), outcome(33, 0), none, none),
			"In none of the years on record will you be short, nor in four of five of the 1,000 made-up years; the worst of those leaves you short for 33 hours."},
		{result(1, true, outcome(201, 201), outcome(201, 201), none, outcome(916, 916), none),
			"In the one year that was run (2008–09) you are short for 201 hours. That is with the creek at work; without it, it would be 916 hours."},
		{result(1, false, outcome(0, 0), outcome(0, 0), none, none, none), "In the one year that was run (2008–09) you are not short."},
	} {
		got := first(report.DryWinter{Result: c.r, System: measure.Metric}.Verdict())
		if got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
		if strings.Contains(got, "2017") {
			t.Errorf("the driest year leads: %s", got)
		}
	}
}
