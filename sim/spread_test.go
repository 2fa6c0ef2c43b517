package sim_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"sunrill/sim"
)

// Where a share of years comes out when the years are drawn again, against
// drawing them again: Efron's bootstrap done by hand.
func TestRangesAgainstDrawingAgain(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 5))
	for _, n := range []int{1, 4, 12, 40} {
		var values []float64
		counts := make([]int32, 400)
		for range n {
			v := rng.IntN(60) * rng.IntN(6)
			values = append(values, float64(v))
			counts[v]++
		}
		s := sim.NewSpread(values)
		for _, years := range []int{n, 7} {
			for _, fraction := range []float64{0.5, 0.8, 1} {
				const sets = 4000
				came := make([]float64, sets)
				means := make([]float64, sets)
				for k := range came {
					again := make([]float64, years)
					for i := range again {
						again[i] = values[rng.IntN(n)]
						means[k] += again[i] / float64(years)
					}
					came[k] = sim.NewSpread(again).At(fraction)
				}
				slices.Sort(came)
				slices.Sort(means)
				got := s.AtRange(fraction, years, 0.8)
				// The exact limit is one that 10 and 90 % of sets come to, within what
				// 4,000 sets can tell.
				for _, e := range []struct{ got, level float64 }{{got.Low, 0.1}, {got.High, 0.9}} {
					if lo, hi := came[int((e.level-0.025)*sets)], came[int((e.level+0.025)*sets)]; e.got < lo || e.got > hi {
						t.Errorf("%d years, sets of %d, share %g: limit %g, drawn again %g to %g", n, years, fraction, e.got, lo, hi)
					}
				}
				if c := sim.CountedRange(counts, fraction, years, 0.8); c != got {
					t.Errorf("%d years, sets of %d, share %g: counted %v, kept %v", n, years, fraction, c, got)
				}
				mean := sim.CountedMeanRange(counts, years, 0.8)
				for _, e := range []struct{ got, level float64 }{{mean.Low, 0.1}, {mean.High, 0.9}} {
					if lo, hi := means[int((e.level-0.04)*sets)], means[int((e.level+0.04)*sets)]; e.got < lo-1e-9 || e.got > hi+1e-9 {
						t.Errorf("%d years, sets of %d: mean's limit %g, drawn again %g to %g", n, years, e.got, lo, hi)
					}
				}
			}
		}
	}
	// More than 200 years are taken as normal: within a few percent of the spread.
	counts := make([]int32, 300)
	for range 1000 {
		counts[rng.IntN(300)]++
	}
	a, b := sim.CountedMeanRange(counts, 200, 0.8), sim.CountedMeanRange(counts, 201, 0.8)
	if math.Abs((a.High-a.Low)/(b.High-b.Low)-1) > 0.1 {
		t.Errorf("200 years reach %v, 201 as normal %v", a, b)
	}
}
