package hydro_test

import (
	"fmt"
	"slices"
	"testing"

	"sunrill/sources/hydro"
)

// A Pelton runner's efficiency against flow in tenths, as a university script
// prints it (0, .69, .83, .87, .88, .89, .90, .90, .90, .89, .88; its source is
// not named there), scaled to the peak of a runner of household size: just over
// 0.70, measured by B. R. Cobb, MSc thesis, Oregon State University 2011; a
// turgo over 0.80, Cobb and Sharp, Renewable Energy 50 (2013).
func TestEfficiencyTablesPublished(t *testing.T) {
	pelton, _ := hydro.KindOf("Pelton")
	for i, eta := range []float64{0, .69, .83, .87, .88, .89, .90, .90, .90, .89, .88} {
		p := pelton.Efficiency()[i]
		printed(t, fmt.Sprintf("relative efficiency at %d %%", 10*i), p.Efficiency/0.70, eta/0.90, 2e-3)
		printed(t, "share", p.Fraction, float64(i)/10, 1e-9)
	}
	peak := func(kind string) float64 {
		k, ok := hydro.KindOf(kind)
		if !ok {
			t.Fatalf("no %s", kind)
		}
		return slices.MaxFunc(k.Efficiency(), func(a, b hydro.Point) int {
			if a.Efficiency < b.Efficiency {
				return -1
			}
			return 1
		}).Efficiency
	}
	within(t, "turgo's peak", peak("turgo"), 0.80, 1e-9)
	if c := peak("crossflow"); c < 0.60 || c > 0.70 {
		t.Errorf("crossflow's peak is %g", c)
	}
	if _, ok := hydro.KindOf("francis"); ok {
		t.Error("there is a table for francis")
	}
}
