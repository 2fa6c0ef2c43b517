package report_test

import (
	"fmt"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
)

// What is missing is told as a share of what was asked for, not of what was
// served.
func TestMissingIsAFractionOfDemand(t *testing.T) {
	v := synthetic(t)
	v.Summary.UnmetHours, v.Summary.UnmetDays, v.Summary.LongestUnmetH = 900, 60, 40
	v.Summary.Tally.DemandWh, v.Summary.Tally.ServedWh, v.Summary.Tally.UnmetWh = 1000e3, 600e3, 400e3
	sentences := v.Verdict().Sentences
	if all := strings.Join(sentences, " "); !strings.Contains(all, "400 kWh were missing, 40 % of what the house asked for") {
		t.Errorf("of 1,000 kWh 400 are missing; it says: %s", all)
	}
}

// The turbine takes all that it can once the creek carries the residual flow and
// the house's water besides.
func TestFlowDurationCountsTheWaterBeforeTheTurbine(t *testing.T) {
	m := hydro.Plant{
		Intake:   hydro.Intake{ResidualM3S: 0.002, HouseWaterM3S: 0.0005},
		Penstock: hydro.Penstock{GrossHeadM: 44, LengthM: 260, BoreM: 0.05, WaterC: 10},
		Turbine:  hydro.Turbine{Kind: "pelton", NozzlesM: []float64{0.007, 0.009}, Overall: 0.5},
	}.Prepare()
	var flow []float64
	need, full := 0, 0
	for d := range 400 {
		q := 0.00002 * float64(d)
		flow = append(flow, q)
		if q > 0.0025+m.MinFlow() {
			need++
		}
		if q > 0.0025+m.MaxFlow() {
			full++
		}
	}
	c := report.FlowDuration(flow, m, measure.Metric)
	want := []string{fmt.Sprintf("least for the turbine: %.0f %% of days", float64(need)/4), fmt.Sprintf("all that the turbine takes: %.0f %% of days", float64(full)/4)}
	for i, k := range c.Legend[1:] {
		if k.Label != want[i] {
			t.Errorf("%q, counted %q", k.Label, want[i])
		}
	}
	if full == 0 || full > 300 || len(c.Legend) != 3 {
		t.Fatalf("%d days have it all, %d marks: the test shows nothing", full, len(c.Legend))
	}
}
