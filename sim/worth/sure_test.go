package worth_test

import (
	"math"
	"testing"

	"sunrill/sim"
	"sunrill/sim/worth"
)

// gridded is homestead with mixes to look for.
func gridded(years int) *worth.Plan {
	p := homestead(years)
	p.Waterways = waterways()
	p.Grid = &worth.Grid{PanelsW: []float64{3000, 4500, 6000, 9000}, BanksWh: []float64{10000, 16000, 30000}}
	p.Target = worth.Target{UnmetHours: 100, FuelL: math.Inf(1), Told: true}
	return p
}

// Under draws that change nothing the cheapest mix has the creek in it in all of
// them or in none, as the verdict says, and at the same cost; with a creek that is
// drawn dry it has not, and with water for nothing it has.
func TestDrawsOfTheVerdict(t *testing.T) {
	p := gridded(4)
	p.Draws = 3
	p.Draw = func(int) worth.World { return p.World }
	r := compare(t, p)
	want := 0
	if r.Worth {
		want = 3
	}
	if r.Sure.Mixes.Worth != want {
		t.Errorf("worth in %d of 3 draws, the verdict says %v", r.Sure.Mixes.Worth, r.Worth)
	}
	hydro, now := r.Alternative(worth.WithHydro), r.Alternative(worth.WithoutHydro)
	saved := *r.Mixes.Without.CostAYear - *r.Mixes.With.CostAYear
	for d := range 3 {
		if r.Sure.With.Draws[d] != hydro.UnmetMean || r.Sure.Without.Draws[d] != now.UnmetMean || math.Abs(r.Sure.Mixes.Saved.Draws[d]-saved) > 1e-9 {
			t.Errorf("draw %d: %g and %g h, the creek saves %g a year", d, r.Sure.With.Draws[d], r.Sure.Without.Draws[d], r.Sure.Mixes.Saved.Draws[d])
		}
	}
	p.Draw = func(d int) worth.World {
		if d == 0 { // dry
			dry := func(int) []*sim.Input {
				var ins []*sim.Input
				for _, in := range p.Years {
					ins = append(ins, sim.Variant{Hydro: sim.HydroOff}.Of(in))
				}
				return ins
			}
			return worth.World{Years: dry(0), Prices: p.Prices, Through: dry}
		}
		w := p.World
		w.Prices = p.Prices.Times(func(i int) float64 { // hydro for nothing
			if i >= 2 && i <= 4 || i == 8 || i >= 11 {
				return 0
			}
			return 1
		})
		return w
	}
	p.Draws = 2
	if r := compare(t, p); r.Sure.Mixes.Worth != 1 || r.Sure.With.Draws[0] != r.Sure.Without.Draws[0] {
		t.Errorf("a dry creek and one for nothing: worth in %d of 2", r.Sure.Mixes.Worth)
	}
}
