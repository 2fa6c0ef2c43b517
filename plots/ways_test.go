package plots_test

import (
	"strings"
	"testing"

	"sunrill/plots"
)

var alternatives = []plots.AlternativePoint{
	{Name: "without hydro", CostAYear: 938, UnmetHours: 656},
	{Name: "with hydro", CostAYear: 1631, UnmetHours: 55, Water: true},
	{Name: "more panels", CostAYear: 1655, UnmetHours: 54},
	{Name: "generator instead", CostAYear: 1726, Engine: true},
}

// Marks lie inside the drawing; ways that cost nearly the same are spread by a
// scale that leaves out what all of them cost.
func TestCostOfLight(t *testing.T) {
	c := plots.CostOfLight("EUR", alternatives)
	for _, w := range alternatives {
		if w.CostAYear < c.Plot.X.Min || w.CostAYear > c.Plot.X.Max || w.UnmetHours < c.Plot.Y.Min || w.UnmetHours > c.Plot.Y.Max {
			t.Errorf("%s lies outside the drawing", w.Name)
		}
		if !strings.Contains(c.Alt, w.Name) {
			t.Errorf("the text for those who cannot see it does not name %s: %s", w.Name, c.Alt)
		}
	}
	if used := (1726.0 - 938) / (c.Plot.X.Max - c.Plot.X.Min); used < 0.7 {
		t.Errorf("the marks take %.0f %% of the width", 100*used)
	}
	if c = plots.CostOfLight("EUR", alternatives[:1]); c.Plot.X.Min >= c.Plot.X.Max {
		t.Errorf("one way: from %g to %g", c.Plot.X.Min, c.Plot.X.Max)
	}
}

func TestEnergyOfDarkMonth(t *testing.T) {
	c := plots.EnergyOfDarkMonth(plots.DarkMonth{Month: "December", Alternatives: []string{"without hydro", "with hydro"},
		Supplies:  []plots.Supply{{Name: "creek", What: plots.Hydro, Wh: []float64{0, 276e3}}, {Name: "panels", What: plots.Panels, Wh: []float64{136e3, 136e3}}, {Name: "generator", What: plots.Generator, Wh: []float64{0, 0}}},
		DemandKWh: []float64{191, 191}, UnmetKWh: []float64{61, 4}})
	for _, want := range []string{"without hydro: 136 kWh, 61 kWh unmet", "with hydro: 412 kWh, 4 kWh unmet"} {
		if !strings.Contains(c.Alt, want) {
			t.Errorf("%q lacks %q", c.Alt, want)
		}
	}
	for _, k := range c.Legend {
		if k.Label == "generator" {
			t.Error("a generator that gives nothing is in the key")
		}
	}
}

// Far turning points are cut at the edge of the drawing, and told with their
// number.
func TestTurningPoints(t *testing.T) {
	c := plots.TurningPoints([]plots.Turn{{Name: "turbine", Factor: 1.11}, {Name: "fuel", Factor: 0.02}, {Name: "works", Factor: 400}})
	if c.Plot.X.Min < -5 || c.Plot.X.Max > 5 {
		t.Errorf("the scale runs from 2^%g to 2^%g", c.Plot.X.Min, c.Plot.X.Max)
	}
	if !strings.Contains(c.Alt, "turbine turns it at 1.1 times") || !strings.Contains(c.Alt, "fuel turns it at 0.02 times") {
		t.Errorf("alt %q", c.Alt)
	}
}
