package worth_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"sunrill/sim"
	"sunrill/sim/worth"
)

// randomHomestead is homestead with its creek, sun, demand and prices drawn.
func randomHomestead(rng *rand.Rand) *worth.Plan {
	p := homestead(2)
	creek, sun, use := 2*rng.Float64(), 0.3+rng.Float64(), 0.5+rng.Float64()
	for _, in := range p.Years {
		for h := range in.W(sim.Creek) {
			in.W(sim.Creek)[h] *= creek
			in.W(sim.Panels)[h] *= sun
			in.DemandW[h] *= use * (0.8 + 0.4*rng.Float64())
		}
	}
	for _, v := range []*float64{p.Prices.PanelPerKW, p.Prices.BankPerKWh, p.Prices.Turbine, p.Prices.Works, p.Prices.Generator, p.Prices.FuelPerL, p.Prices.UpkeepHydro} {
		*v *= math.Exp(rng.NormFloat64() * 0.7)
	}
	return p
}

func findMixes(t *testing.T, p *worth.Plan, target worth.Target, g worth.Grid) *worth.Mixes {
	t.Helper()
	m, err := worth.FindMixes(context.Background(), p, target, g)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// On 20 random homesteads the search finds the same cheapest mixes as running
// every mix of the grid by itself does.
func TestMixesAgreeWithEnumeration(t *testing.T) {
	kept := 0
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 19))
		p := randomHomestead(rng)
		target := worth.Target{UnmetHours: []float64{0, 20, 200}[rng.IntN(3)], FuelL: math.Inf(1)}
		if rng.IntN(2) == 0 {
			target.FuelL = 60
		}
		g := worth.Grid{PanelsW: []float64{3000, 4500, 9000}, BanksWh: []float64{10000, 16000, 30000}}
		got := findMixes(t, p, target, g)
		with, without := math.Inf(1), math.Inf(1)
		for _, w := range g.PanelsW {
			for _, wh := range g.BanksWh {
				one := findMixes(t, p, target, worth.Grid{PanelsW: []float64{w}, BanksWh: []float64{wh}})
				for _, c := range []struct {
					way   *worth.Way
					least *float64
				}{{one.With, &with}, {one.Without, &without}} {
					if c.way == nil {
						continue
					}
					if c.way.UnmetP80 > target.UnmetHours || c.way.UnmetMean > target.UnmetHours || c.way.Generator && c.way.FuelL > target.FuelL+1e-9 {
						t.Errorf("seed %d: %s leaves %g h (mean %g) and burns %g L; the target is %+v", seed, c.way.Name, c.way.UnmetP80, c.way.UnmetMean, c.way.FuelL, target)
					}
					*c.least = math.Min(*c.least, *c.way.CostAYear)
				}
			}
		}
		for _, c := range []struct {
			name  string
			way   *worth.Way
			least float64
		}{{"with", got.With, with}, {"without", got.Without, without}} {
			switch {
			case c.way == nil && !math.IsInf(c.least, 1):
				t.Errorf("seed %d: %s the creek none is found, one costs %g", seed, c.name, c.least)
			case c.way != nil && math.Abs(*c.way.CostAYear-c.least) > 1e-9*c.least:
				t.Errorf("seed %d: %s the creek the cheapest costs %g, by enumeration %g", seed, c.name, *c.way.CostAYear, c.least)
			case c.way != nil:
				kept++
			}
		}
		if got.Worth() != (with <= without && !math.IsInf(with, 1)) {
			t.Errorf("seed %d: worth %v, by enumeration %g with and %g without", seed, got.Worth(), with, without)
		}
	}
	if kept < 15 {
		t.Errorf("only %d mixes keep to their target: too few to tell", kept)
	}
}

// A great creek beside a poor sun is worth it; a trickle is not.
func TestMixesOfObviousCases(t *testing.T) {
	for _, c := range []struct {
		name       string
		creek, sun float64
		worth      bool
	}{{"great creek, poor sun", 2, 0.4, true}, {"trickle, good sun", 0.02, 2, false}} {
		p := homestead(2)
		for _, in := range p.Years {
			for h := range in.W(sim.Creek) {
				in.W(sim.Creek)[h] *= c.creek
				in.W(sim.Panels)[h] *= c.sun
			}
		}
		m := findMixes(t, p, worth.Target{UnmetHours: 20, FuelL: math.Inf(1)}, worth.NewGrid(p, 0, false))
		t.Log(m.Says())
		if m.Worth() != c.worth {
			t.Errorf("%s: worth %v", c.name, m.Worth())
		}
		// Less light is never dearer.
		for _, line := range [][]worth.MixPoint{m.WithLine, m.WithoutLine} {
			last := math.Inf(1)
			for _, point := range line {
				if point.Way == nil {
					continue
				}
				if *point.Way.CostAYear > last+1e-9 {
					t.Errorf("%s: %g unmet hours cost %g, fewer cost %g", c.name, point.UnmetHours, *point.Way.CostAYear, last)
				}
				last = *point.Way.CostAYear
			}
		}
	}
}

// From nothing every panel and the whole bank are bought; a house without
// panels gets some; the grid ends at what the roof holds.
func TestGridOfMixes(t *testing.T) {
	p := homestead(1)
	g := worth.NewGrid(p, 6000, false)
	if g.PanelsW[0] != 3000 || g.PanelsW[len(g.PanelsW)-1] > 6000 || g.PanelsW[len(g.PanelsW)-1] < 5000 || !slices.IsSorted(g.PanelsW) || !slices.IsSorted(g.BanksWh) || g.BanksWh[0] != 10000 {
		t.Errorf("%+v", g)
	}
	target := worth.Target{UnmetHours: 200, FuelL: math.Inf(1)}
	stands := findMixes(t, p, target, worth.Grid{PanelsW: []float64{3000}, BanksWh: []float64{10000}})
	bought := findMixes(t, p, target, worth.Grid{PanelsW: []float64{3000}, BanksWh: []float64{10000}, Scratch: true})
	panels := 3 * *p.Prices.PanelPerKW * worth.CapitalRecovery(p.Prices.DiscountRate, p.Prices.LifePanelsY)
	if d := *bought.With.CostAYear - *stands.With.CostAYear; math.Abs(d-panels) > 1e-6 {
		t.Errorf("3 kW from nothing cost %g more a year, want their annuity, %g", d, panels)
	}
	if d := *bought.With.Capital - *stands.With.Capital; math.Abs(d-3**p.Prices.PanelPerKW-10**p.Prices.BankPerKWh) > 1e-6 {
		t.Errorf("from nothing %g more is bought", d)
	}
	if scratch := worth.NewGrid(p, 0, true); scratch.PanelsW[0] != 0 || scratch.BanksWh[0] >= 10000 {
		t.Errorf("%+v", scratch)
	}

	none := homestead(1)
	none.PanelW, none.ShapeW = 0, 3000
	m := findMixes(t, none, target, worth.NewGrid(none, 0, false))
	if m.Today == nil || m.Today.PVKWh != 0 || m.Without == nil || m.Without.PanelKW == 0 && !m.Without.Generator {
		t.Errorf("a house without panels: today %+v, without the creek %+v", m.Today, m.Without)
	}
	p.Prices = nil
	if _, err := worth.FindMixes(context.Background(), p, target, g); !errors.Is(err, worth.ErrNoPrices) {
		t.Errorf("without prices: %v", err)
	}
}
