package sizing_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim/sizing"
	"sunrill/sources/hydro"
)

// A micro-hydro dealer's page for coastal Canada: 50 m, 5 L/s, 150 m of pipe;
// within 10 % of loss and 5 ft/s its candidates leave 3 in and wider, of 2, 2½,
// 3 and 4 in. (Bores here are those of schedule 40.)
func TestPipeChoicePublished(t *testing.T) {
	pipe := hydro.Penstock{GrossHeadM: 50, LengthM: 150, BoreM: 2.067 * 0.0254, RoughnessM: 0.0015e-3, WaterC: 10}
	fits := map[string]bool{}
	for _, r := range sizing.ReckonPipes(pipe, 0.005, sizing.PipeSizes("pvc", true), 3) {
		fits[r.Name] = r.LossFraction <= 0.10 && *r.VelocityMS <= 1.524
	}
	want := map[string]bool{"1-1/4 in": false, "1-1/2 in": false, "1 in": false, "2 in": false, "2-1/2 in": false, "3 in": true, "4 in": true}
	if len(fits) != len(want) {
		t.Fatalf("sizes %v, want %v", fits, want)
	}
	for name, w := range want {
		if fits[name] != w {
			t.Errorf("%s fits: %v, want %v", name, fits[name], w)
		}
	}
}

// A wider pipe never gives less, and the present pipe stands between narrower
// and wider ones.
func TestWiderPipesGiveMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := hydro.Plant{
			Penstock: hydro.Penstock{
				GrossHeadM: rapid.Float64Range(5, 100).Draw(t, "head"), LengthM: rapid.Float64Range(20, 800).Draw(t, "length"),
				BoreM: rapid.Float64Range(0.03, 0.2).Draw(t, "bore"), RoughnessM: 0.0015e-3, WaterC: 8, Material: "pe",
			},
			Turbine: hydro.Turbine{Kind: "pelton", NozzlesM: []float64{0.008}},
		}
		us := rapid.Bool().Draw(t, "us")
		choices := sizing.Pipes(p, sizing.PipeSizes("pe", us), 2)
		present := -1
		for i, c := range choices {
			if c.Present {
				present = i
			}
			if i > 0 && (c.BoreM <= choices[i-1].BoreM || c.PowerW < choices[i-1].PowerW*(1-1e-9) || c.LossFraction > choices[i-1].LossFraction+1e-12) {
				t.Fatalf("%+v comes after %+v", c, choices[i-1])
			}
		}
		if len(choices) != 5 || present != 2 || choices[2].BoreM != p.Penstock.BoreM || choices[2].GainW != 0 {
			t.Fatalf("%d choices, the present one is number %d: %+v", len(choices), present, choices)
		}
		if got := p.Prepare().GreatestW; math.Abs(choices[2].PowerW-got) > 1e-9*got {
			t.Fatalf("the present pipe gives %g W here and %g W by itself", choices[2].PowerW, got)
		}
	})
}

func TestPipeSizeLendsItsName(t *testing.T) {
	sizes := sizing.PipeSizes("hdpe", false)
	p := hydro.Plant{
		Penstock: hydro.Penstock{GrossHeadM: 20, LengthM: 100, BoreM: 0.0515, WaterC: 10},
		Turbine:  hydro.Turbine{Kind: "turgo", NozzlesM: []float64{0.012}},
	}
	c := sizing.Pipes(p, sizes, 1)
	if len(c) != 3 || c[0].Name != "50 mm SDR 11" || c[1].Name != "63 mm SDR 11" || c[2].Name != "75 mm SDR 11" {
		t.Errorf("sizes around 51.5 mm: %+v", c)
	}
	p.Turbine.NozzlesM[0] = 0.045 // wider than the bore of 50 mm pipe
	if c := sizing.Pipes(p, sizes, 1); len(c) != 2 || !c[0].Present {
		t.Errorf("a pipe narrower than the nozzle is offered: %+v", c)
	}
}
