package sim_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"sunrill/sim"
)

// Draws are normal numbers: any twenty of a layer one in each twentieth, parts,
// causes and seeds on their own, and a number's value whatever others are asked
// for. A Latin hypercube by McKay, Beckman and Conover (1979).
func TestDrawsAreALatinHypercube(t *testing.T) {
	for layer := range 5 {
		var in [20]int
		for k := 1; k <= 20; k++ {
			u := distuv.UnitNormal.CDF(sim.Z(7, sim.TheHead, 0, 20*layer+k))
			in[min(int(20*u), 19)]++
		}
		for i, n := range in {
			if n != 1 {
				t.Errorf("layer %d: %d draws in twentieth %d", layer, n, i)
			}
		}
	}
	column := func(seed uint64, c sim.Cause, part int) []float64 {
		var v []float64
		for k := 1; k <= 2000; k++ {
			v = append(v, sim.Z(seed, c, part, k))
		}
		return v
	}
	a := column(1, sim.TheHead, 0)
	if mean, sd := stat.MeanStdDev(a, nil); math.Abs(mean) > 0.01 || math.Abs(sd-1) > 0.02 {
		t.Errorf("mean %g, standard deviation %g", mean, sd)
	}
	for name, b := range map[string][]float64{
		"another cause": column(1, sim.TheFlow, 0), "another part": column(1, sim.TheHead, 1), "another seed": column(2, sim.TheHead, 0),
	} {
		if r := stat.Correlation(a, b, nil); math.Abs(r) > 0.1 {
			t.Errorf("%s goes along with the first: correlation %.2f", name, r)
		}
	}
	if sim.Z(1, sim.TheHead, 0, 0) != 0 || sim.Z(1, sim.TheHead, 0, 3) != a[2] {
		t.Error("draw 0 is not the middle, or a draw hangs on others")
	}
}

// "10 %" is what the true value is within in 8 cases of 10.
func TestFactorOfAShare(t *testing.T) {
	const fraction = 0.1
	within := 0
	const n = 10_000
	for k := 1; k <= n; k++ {
		if f := sim.Factor(fraction, sim.Z(1, sim.TheLoads, 0, k)); f <= 1+fraction && f >= 1/(1+fraction) {
			within++
		}
	}
	if math.Abs(float64(within)/n-0.8) > 0.01 {
		t.Errorf("%d of %d lie within", within, n)
	}
	if sim.Factor(0, 2) != 1 || sim.Factor(0.1, 0) != 1 {
		t.Error("no doubt, or the middle, changes something")
	}
}

// The 8-in-10 range of 20 draws is that between the second and the nineteenth,
// into which one more draw falls with odds of 17/21, whatever the distribution
// (order statistics; Wilks 1941).
func TestRangeOfDraws(t *testing.T) {
	var d sim.Doubt
	d.Draws = append(d.Draws, 12, 3, 18, 1, 7, 20, 5, 9, 14, 16, 2, 11, 4, 13, 6, 19, 8, 15, 10, 17)
	if low, high := d.Range(); low != 2 || high != 19 || d.Median() != 10.5 {
		t.Errorf("range %g to %g, median %g", low, high, d.Median())
	}
	if n, of := d.Count(func(v float64) bool { return v > 15 }); n != 5 || of != 20 {
		t.Errorf("%d of %d", n, of)
	}
	alone := sim.Doubt{Middle: 4}
	if low, high := alone.Range(); low != 4 || high != 4 || alone.Median() != 4 {
		t.Error("without draws the answer is its own range")
	}
	endless := sim.Doubt{Draws: []float64{math.Inf(1), math.Inf(1), 3}}
	if low, high := endless.Range(); low != 3 || !math.IsInf(high, 1) || !math.IsInf(endless.Median(), 1) {
		t.Errorf("range %g to %g, median %g", low, high, endless.Median())
	}
	inside := 0
	const tries = 2000
	for k := range tries {
		var d sim.Doubt
		for i := range 20 {
			d.Draws = append(d.Draws, math.Exp(sim.Z(1, sim.TheSky, 40*k+1+i, 1+40*i)))
		}
		low, high := d.Range()
		if v := math.Exp(sim.Z(2, sim.TheSky, 40*k, 7)); v >= low && v <= high {
			inside++
		}
	}
	if fraction := float64(inside) / tries; math.Abs(fraction-17.0/21) > 0.03 {
		t.Errorf("one more draw lies inside in %.3f, by order statistics %.3f", fraction, 17.0/21)
	}
}

// The years that stand for others are picked by unmet hours, then by energy,
// then by the lowest charge.
func TestYearsThatStandForOthers(t *testing.T) {
	year := func(hours int, wh, soc float64) sim.Summary {
		return sim.Summary{Tally: sim.Tally{UnmetHours: hours, UnmetWh: wh, MinSoC: soc}}
	}
	years := []sim.Summary{year(9, 0, 0), year(0, 0, 0.3), year(5, 70, 0), year(5, 90, 0), year(0, 0, 0.2)}
	if m, f, w := sim.AtFraction(years, 0.5), sim.AtFraction(years, 0.8), sim.Worst(years); m != 2 || f != 3 || w != 0 {
		t.Errorf("middling %d, one in five %d, worst %d; want 2, 3, 0", m, f, w)
	}
	c := sim.NewCarried([]int{9, 0, 5, 5, 0}, [][]int{{1, 2, 3, 4, 50}, {0, 0, 0, 0, 10}})
	// Of 5 years drawn again, the worst is 9 unless none is the one of 9: (4/5)⁵ is
	// 0.33. It is 0 in (2/5)⁵, 0.01 of sets.
	if c.WorstRange != (sim.Range{Low: 5, High: 9}) {
		t.Errorf("the worst of as many years lies in %+v", c.WorstRange)
	}
	// The middling one is 0 where 3 of the 5 are: P(Binomial(5, 2/5) ≥ 3) = 0.32; and
	// 9 where 3 are the one of 9, 0.06.
	if c.MiddlingRange != (sim.Range{Low: 0, High: 5}) {
		t.Errorf("the middling one of as many years lies in %+v", c.MiddlingRange)
	}
	// One in five is 9 where two of the 5 are the one of 9: 0.26.
	if c.OneInFiveRange != (sim.Range{Low: 5, High: 9}) {
		t.Errorf("one in five of as many years lies in %+v", c.OneInFiveRange)
	}
	if c.Middling.Middle != 5 || c.OneInFive.Middle != 5 || c.Worst.Middle != 9 || c.Mean.Middle != 3.8 ||
		c.Middling.Draws[0] != 3 || c.OneInFive.Draws[0] != 4 || c.Worst.Draws[0] != 50 || c.Worst.Draws[1] != 10 || c.OneInFive.Draws[1] != 0 {
		t.Errorf("%+v", c)
	}
}
