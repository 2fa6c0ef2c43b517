package hydro_test

import (
	"fmt"
	"strings"
	"testing"

	"sunrill/sources/hydro"
)

const footM, gpmM3S = 0.3048, 3.785411784e-3 / 60

// US Department of Energy, Energy Saver, "Planning a Microhydropower System":
// net head in ft × flow in gal/min / 10 = W. 100 ft and 50 gal/min give 500 W
// by the rule, of 943 W that the water has: the rule takes 53 % for granted.
func ExampleReckon() {
	r := hydro.Reckon(hydro.Penstock{GrossHeadM: 100 * footM, WaterC: 10}, 50*gpmM3S)
	fmt.Printf("%.0f W by the rule, which takes %.0f %% of %.0f W; likely %.0f to %.0f W\n",
		r.RuleW, 100*r.HiddenEfficiency, r.WaterW, r.LikelyW.Low, r.LikelyW.High)
	// Output:
	// 500 W by the rule, which takes 53 % of 943 W; likely 377 to 660 W
}

func TestRulesPublished(t *testing.T) {
	w := hydro.Water{DensityKgM3: 1000}
	within(t, "1 gpm·ft", w.WaterPower(gpmM3S, footM), 0.188581, 1e-5)
	within(t, "hidden efficiency of /10", hydro.Rule(1, 1)/w.WaterPower(1, 1), 0.5303, 1e-4)
	within(t, "of the metric rule", hydro.MetricRule(1, 1)/w.WaterPower(1, 1), 0.51, 1e-3)
	// A public page on small hydro: 200 ft × 300 gpm are 11.30 kW gross, and 60 %
	// of that 6.78 kW; 30 gpm × 40 ft / 12 = 100 W.
	gross := w.WaterPower(300*gpmM3S, 200*footM)
	within(t, "gross", gross, 11.30e3, 2e-3)
	within(t, "at 60 %", 0.6*gross, 6.78e3, 2e-3)
	within(t, "by twelfths", hydro.Rule(40*footM, 30*gpmM3S)*10/12, 100, 1e-9)
	// 10 L/s at 50 m carry 4903 W.
	within(t, "10 L/s at 50 m", w.WaterPower(0.010, 50), 4903, 1e-4)
}

func TestReckonWithPipe(t *testing.T) {
	pipe := hydro.Penstock{GrossHeadM: 50, LengthM: 150, BoreM: 0.0762, RoughnessM: 0.0015e-3, WaterC: 10}
	r := hydro.Reckon(pipe, 0.005)
	within(t, "loss", *r.HeadLossM, 2.40, 3e-3)
	within(t, "velocity", *r.VelocityMS, 1.10, 5e-3)
	within(t, "net head", r.NetHeadM, 50-*r.HeadLossM, 1e-12)
	within(t, "water", 0.5*r.WaterW, 1166.7, 2e-4)
	within(t, "rule", r.RuleW, r.HiddenEfficiency*r.WaterW, 1e-12)
	pipe.BoreM = 0.02
	if r := hydro.Reckon(pipe, 0.005); r.NetHeadM != 0 || r.WaterW != 0 || r.FullFlowM3S >= 0.005 {
		t.Errorf("a pipe too narrow for the flow: %+v", r)
	}
}

func TestWarnings(t *testing.T) {
	good := plant()
	good.Penstock.BoreM, good.Penstock.RatingPa, good.Penstock.CloseTimeS = 0.064, 1e6, 10
	if ws := good.Prepare().Warnings(metric{}); len(ws) > 1 || len(ws) == 1 && ws[0].Key != "air" {
		t.Errorf("a sound plant is warned of: %v", ws)
	}
	for _, c := range []struct {
		key  string
		spec func(p *hydro.Plant)
		says string
	}{
		{"pressure", func(p *hydro.Plant) { p.Penstock.RatingPa = 3e5 }, "3.9 bar"},
		{"pressure", func(p *hydro.Plant) { p.Penstock.RatingPa = 4.5e5; p.Penstock.CloseTimeS = 100 }, "87 %"},
		{"surge", func(p *hydro.Plant) { p.Penstock.RatingPa = 5e5; p.Penstock.CloseTimeS = 0 }, "an instant"},
		{"loss", func(p *hydro.Plant) { p.Penstock.BoreM = 0.032 }, "more than a third"},
		{"loss", func(p *hydro.Plant) { p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S = nil, 0.1 }, "cannot carry"},
		{"nozzle", func(p *hydro.Plant) { p.Penstock.BoreM = 0.025; p.Turbine.NozzlesM = []float64{0.009, 0.014} }, "leave them out"},
		{"velocity", func(p *hydro.Plant) { p.Penstock.BoreM = 0.04 }, "plastic pipe"},
		{"cable", func(p *hydro.Plant) { p.Cable.SectionM2 = 8e-6 }, "3 % is usual"},
		{"cable", func(p *hydro.Plant) { p.Cable.SectionM2 = 4e-6 }, "thicker cable"},
		{"efficiency", func(p *hydro.Plant) { p.Turbine.Efficiency = []hydro.Point{{Fraction: 1, Efficiency: 0.9}} }, "90 %"},
		{"limit", func(p *hydro.Plant) { p.Turbine.MaxPowerW = 300 }, "300 W"},
		{"forebay", func(p *hydro.Plant) { p.Forebay.VolumeM3 = 0.1 }, "start and stop"},
		{"never", func(p *hydro.Plant) { p.Intake.LimitM3S = 0.0005 }, "never runs"},
	} {
		p := good
		c.spec(&p)
		found := false
		for _, w := range p.Prepare().Warnings(metric{}) {
			found = found || w.Key == c.key && strings.Contains(w.Text, c.says)
		}
		if !found {
			t.Errorf("no warning %q with %q in %v", c.key, c.says, p.Prepare().Warnings(metric{}))
		}
	}
}

func TestNeverRunsInWords(t *testing.T) {
	p := plant()
	stream := []float64{0.001, 0.003, 0.004}
	if why := p.Prepare().NeverRuns(stream, metric{}); why != "" {
		t.Errorf("it does run: %s", why)
	}
	p.Intake.ResidualM3S = 0.005
	want := "the turbine never runs: 5 L/s must stay in the creek, and it never has more than 4 L/s"
	if why := p.Prepare().NeverRuns(stream, metric{}); why != want {
		t.Errorf("says %q, want %q", why, want)
	}
	p.Intake.ResidualM3S = 0.0035
	if why := p.Prepare().NeverRuns(stream, metric{}); !strings.Contains(why, "left for it") {
		t.Errorf("says %q", why)
	}
}
