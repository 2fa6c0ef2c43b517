package worth_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"sunrill/sim"
	"sunrill/sim/worth"
)

func findMixes(t *testing.T, p *worth.Plan, target worth.Target, g worth.Grid) *worth.Mixes {
	t.Helper()
	m, err := worth.FindMixes(context.Background(), p, target, g)
	if err != nil {
		t.Fatal(err)
	}
	return m
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
		if m.Worth() != c.worth {
			t.Errorf("%s: worth %v", c.name, m.Worth())
		}
		// Less light is never dearer.
		for _, line := range [][]worth.MixPoint{m.WithLine, m.WithoutLine} {
			last := math.Inf(1)
			for _, point := range line {
				if point.Alternative == nil {
					continue
				}
				if *point.Alternative.CostAYear > last+1e-9 {
					t.Errorf("%s: %g unmet hours cost %g, fewer cost %g", c.name, point.UnmetHours, *point.Alternative.CostAYear, last)
				}
				last = *point.Alternative.CostAYear
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
	if m.Today == nil || m.Today.Given.Of(sim.Panels) != 0 || m.Without == nil || m.Without.PanelW == 0 && !m.Without.Generator {
		t.Errorf("a house without panels: today %+v, without the creek %+v", m.Today, m.Without)
	}
	p.Prices = nil
	if _, err := worth.FindMixes(context.Background(), p, target, g); !errors.Is(err, worth.ErrNoPrices) {
		t.Errorf("without prices: %v", err)
	}
}

// Digging, permits and own hours of building cost what their annuity is, with
// the creek alone; without a value they are named, and count as nothing.
func TestCostsOfBuilding(t *testing.T) {
	p := homestead(2)
	plain := compare(t, p)
	for _, name := range []string{"digging, per m", "permits and water right", "own hours of building hydro"} {
		if !slices.Contains(plain.Missing, name) {
			t.Errorf("%q is not named as missing: %v", name, plain.Missing)
		}
	}
	digging, permits, hours, hour := 3.0, 400.0, 50.0, 10.0
	p.Prices.DiggingPerM, p.Prices.Permits, p.Prices.BuildHydroH, p.Prices.LabourPerH = &digging, &permits, &hours, &hour
	p.Prices.LabourHydroH, p.Prices.LabourGeneratorH = new(float64), new(float64)
	built := compare(t, p)
	// 200 m of pipe over 40 years at 4 %: by the formula of an annuity.
	annuity := 0.04 / (1 - math.Pow(1.04, -40))
	for _, name := range []string{worth.WithoutHydro, worth.WithHydro} {
		want := 0.0
		if name == worth.WithHydro {
			want = (200*digging + permits + hours*hour) * annuity
		}
		if d := *built.Alternative(name).CostAYear - *plain.Alternative(name).CostAYear; math.Abs(d-want) > 1e-6 {
			t.Errorf("%s costs %g more a year, want %g", name, d, want)
		}
	}
}
