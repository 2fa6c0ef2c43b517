package worth_test

import (
	"math/rand/v2"
	"testing"

	"sunrill/sim"
	"sunrill/sim/worth"
	"sunrill/storage"
)

// What mixes are said to lack at the least is no more than what the generator
// gives and what stays dark, run hour by hour with a generator and without, for
// banks of both models that disconnect, leak and lose; and larger mixes never
// lack more.
func TestMixesLackAtLeast(t *testing.T) {
	tight := 0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 77))
		p := randomHomestead(rng, 1)
		bank := &p.Bus.Bank
		bank.SelfDischargePerH, bank.FloorSoC = 2e-4*rng.Float64(), 0.3*rng.Float64()
		if seed%2 == 1 {
			bank.Model, bank.WellFraction, bank.WellRatePerH = storage.TwoWell, 0.4, 0.5
		}
		in := p.Years[0]
		in.OverW = make([]float64, in.Hours())
		for h := range in.OverW {
			if rng.IntN(50) == 0 {
				in.DemandW[h] *= 4
				in.OverW[h] = in.DemandW[h] / 3
			}
		}
		g := worth.Grid{PanelsW: []float64{1500, 3000, 9000}, BanksWh: []float64{2000, 10000, 30000}}
		least, err := worth.LeastShort(p, g)
		if err != nil {
			t.Fatal(err)
		}
		for waterway := -1; waterway < len(p.Waterways); waterway++ {
			years := p.Years
			if waterway > 0 {
				years = p.Through(waterway)
			}
			for i, w := range g.PanelsW {
				for j, wh := range g.BanksWh {
					bound := least[waterway+1][i][j][0]
					if i > 0 && bound > least[waterway+1][i-1][j][0]+1e-6 || j > 0 && bound > least[waterway+1][i][j-1][0]+1e-6 {
						t.Errorf("seed %d: %g W and %g Wh lack more than less of one", seed, w, wh)
					}
					for _, generator := range []bool{false, true} {
						b := p.Bus
						b.Bank = b.Bank.Scaled(wh)
						if b.Generator = nil; generator {
							b.Generator = &p.Generator
						}
						one := *years[0]
						pv := make([]float64, one.Hours())
						for h, v := range one.W(sim.Panels) {
							pv[h] = v * w / p.PanelW
						}
						one.Set(sim.Panels, pv)
						if waterway < 0 {
							one.Set(sim.Creek, make([]float64, one.Hours()))
						}
						y, err := sim.Run(&one, b)
						if err != nil {
							t.Fatal(err)
						}
						lacked := y.Tally.GeneratorWh + y.Tally.UnmetWh
						for _, over := range one.OverW {
							lacked -= over
						}
						if lacked < bound-1e-6*y.Tally.DemandWh {
							t.Errorf("seed %d: %g W, %g Wh, waterway %d, generator %v: lacks %g Wh, said to lack %g at the least", seed, w, wh, waterway, generator, lacked, bound)
						}
						if bound > 0.7*lacked && bound > 1000 {
							tight++
						}
					}
				}
			}
		}
	}
	if tight < 100 {
		t.Errorf("only %d bounds are within 30 %% of what is lacked: too loose to tell", tight)
	}
}
