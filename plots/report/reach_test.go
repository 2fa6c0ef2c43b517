package report_test

import (
	"testing"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/plans"
)

// One year of five and the worst are told with how far they reach; under draws
// the worst of all of them is not taken for that of a record.
func TestBadYearsReach(t *testing.T) {
	r := &plans.Result{Years: 12, Draws: 1, Now: plans.Figures{UnmetMean: 60, UnmetMiddle: 43, UnmetP80: 95, UnmetWorst: 120},
		Again: plans.Again{P80: sim.Range{Low: 56, High: 109}, Worst: sim.Range{Low: 95, High: 120}}}
	const brackets = " In brackets: where it comes out in 8 of 10 sets of as many years, drawn again from the same."
	for draws, want := range map[int]string{
		1:  "Today the house is dark for 43 hours in a middling year, 95 hours (56–109) in one year of five, 120 hours (95–120) in the worst; the mean is 60 hours." + brackets,
		20: "Today the house is dark for 43 hours in a middling year, 95 hours (56–109) in one year of five, 120 hours in the worst under any draw (the worst of 12 years: 95–120); the mean is 60 hours." + brackets,
	} {
		r.Draws = draws
		if says := (report.Improve{Result: r}).Verdict().Sentences; says[0] != want {
			t.Errorf("%d draws: %q, want %q", draws, says[0], want)
		}
	}
	r.Again = plans.Again{}
	r.Draws = 1
	if says := (report.Improve{Result: r}).Verdict().Sentences; says[0] != "Today the house is dark for 43 hours in a middling year, 95 hours in one year of five, 120 hours in the worst; the mean is 60 hours." {
		t.Errorf("without a range: %q", says[0])
	}
}
