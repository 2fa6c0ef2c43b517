package worth_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim/worth"
)

// 1,000 at 10 % over 10 years costs 163 a year: an encyclopedia's worked
// example of capital recovery.
func ExampleCapitalRecovery() {
	fmt.Printf("%.0f a year\n", 1000*worth.CapitalRecovery(0.10, 10))
	// Output: 163 a year
}

// ASHRAE Pocket Guide for Air Conditioning, Heating, Ventilation,
// Refrigeration, 2013, annual capital recovery factors (as reprinted on
// engineersedge.com): every entry to its last digit.
func TestCapitalRecoveryAgainstPublishedTable(t *testing.T) {
	rates := []float64{0.035, 0.045, 0.06, 0.08, 0.10}
	for _, row := range []struct {
		years   float64
		factors [5]float64
	}{
		{2, [5]float64{.52640, .53400, .54544, .56077, .57619}},
		{4, [5]float64{.27225, .27874, .28859, .30192, .31547}},
		{6, [5]float64{.18767, .19388, .20336, .21632, .22961}},
		{8, [5]float64{.14548, .15161, .16104, .17401, .18744}},
		{10, [5]float64{.12024, .12638, .13587, .14903, .16275}},
		{12, [5]float64{.10348, .10967, .11928, .13270, .14676}},
		{14, [5]float64{.09157, .09782, .10758, .12130, .13575}},
		{16, [5]float64{.08268, .08902, .09895, .11298, .12782}},
		{18, [5]float64{.07582, .08224, .09236, .10670, .12193}},
	} {
		for i, want := range row.factors {
			got := worth.CapitalRecovery(rates[i], row.years)
			if math.Abs(got-want) > 0.5e-5 {
				t.Errorf("CapitalRecovery(%g, %g) = %.6f, the table prints %.5f", rates[i], row.years, got, want)
			}
		}
	}
}

func TestCapitalRecoveryAtNoInterest(t *testing.T) {
	if got := worth.CapitalRecovery(0, 8); got != 0.125 {
		t.Errorf("at 0 %% over 8 years: %g, want 1/8", got)
	}
	// A rate next to nothing is next to that.
	if got := worth.CapitalRecovery(1e-12, 8); math.Abs(got-0.125) > 1e-10 {
		t.Errorf("at a rate of 1e-12 over 8 years: %.15g, want 0.125", got)
	}
}

// Paying the annuity for all years is worth the capital today.
func TestAnnuityPaysBackTheCapital(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(0, 0.3).Draw(t, "rate")
		years := rapid.IntRange(1, 60).Draw(t, "years")
		paid := 0.0
		for n := 1; n <= years; n++ {
			paid += worth.CapitalRecovery(rate, float64(years)) / math.Pow(1+rate, float64(n))
		}
		if math.Abs(paid-1) > 1e-9 {
			t.Fatalf("at %g over %d years the payments are worth %.12g of the capital", rate, years, paid)
		}
		if pv := worth.PresentValue(worth.CapitalRecovery(rate, float64(years)), rate, float64(years)); math.Abs(pv-1) > 1e-12 {
			t.Fatalf("present value %g of the annuity of 1", pv)
		}
	})
}
