package worth_test

import (
	"math"
	"testing"

	"sunrill/sim"
	"sunrill/sim/worth"
)

// Under draws that change nothing hydro is worth it in all of them or in none, as
// the verdict says, at the same hours and cost; with a creek that is drawn dry it
// is not, and with water for nothing it is.
func TestDrawsOfTheVerdict(t *testing.T) {
	p := homestead(4)

	p.Draws = 3
	p.Draw = func(int) ([]*sim.Input, *worth.Prices) { return p.Years, p.Prices }
	r := compare(t, p)
	want := 0
	if r.Worth {
		want = 3
	}
	if r.Sure.Pays != want || !r.Sure.Priced {
		t.Errorf("worth in %d of 3 draws, the verdict says %v", r.Sure.Pays, r.Worth)
	}
	hydro, now := r.Way(worth.WithHydro), r.Way(worth.WithoutHydro)
	for d := range 3 {
		if r.Sure.With.Draws[d] != hydro.UnmetMean || r.Sure.Without.Draws[d] != now.UnmetMean || math.Abs(r.Sure.Extra.Draws[d]-(*hydro.CostAYear-*now.CostAYear)) > 1e-9 {
			t.Errorf("draw %d: %g and %g h, %g more a year", d, r.Sure.With.Draws[d], r.Sure.Without.Draws[d], r.Sure.Extra.Draws[d])
		}
	}
	p.Draw = func(d int) ([]*sim.Input, *worth.Prices) {
		if d == 0 { // dry
			var dry []*sim.Input
			for _, in := range p.Years {
				dry = append(dry, sim.Variant{Hydro: sim.HydroOff}.Of(in))
			}
			return dry, p.Prices
		}
		return p.Years, p.Prices.Times(func(i int) float64 { // hydro for nothing
			if i >= 2 && i <= 4 || i == 8 || i == 11 {
				return 0
			}
			return 1
		})
	}
	p.Draws = 2
	if r := compare(t, p); r.Sure.Pays != 1 || r.Sure.With.Draws[0] != r.Sure.Without.Draws[0] {
		t.Errorf("a dry creek and one for nothing: worth in %d of 2", r.Sure.Pays)
	}
}
