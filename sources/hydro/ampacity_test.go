package hydro_test

import (
	"math"
	"testing"

	"sunrill/sources/hydro"
)

// NFPA 70 (NEC) 2023, Table 310.16, copper, 75 °C column, as secondary pages
// print it. The smallest three are protected at 15, 20 and 30 A at most
// (240.4(D)), and a lasting load counts 1.25 times (210.19(A)).
func TestAmpacityAgainstNECTable(t *testing.T) {
	for gauge, amps := range map[int]float64{
		14: 15, 12: 20, 10: 30, 8: 50, 6: 65, 4: 85, 3: 100, 2: 115, 1: 130, 0: 150, -1: 175, -2: 200, -3: 230,
	} {
		within(t, "ampacity", hydro.Ampacity(hydro.AWGSection(gauge)), amps, 1e-9)
		within(t, "lasting current", hydro.SafeAmps(hydro.AWGSection(gauge)), amps/1.25, 1e-9)
		within(t, "section", hydro.SectionFor(amps/1.25), hydro.AWGSection(gauge), 1e-9)
	}
	last := 0.0
	for mm2 := 0.2; mm2 < 2000; mm2 *= 1.07 {
		a := hydro.Ampacity(mm2 * 1e-6)
		if a <= last || math.IsNaN(a) {
			t.Fatalf("%.2f mm² bears %g A, a thinner wire %g A", mm2, a, last)
		}
		last = a
	}
}

// 71 A over 3 m of 6 mm² lose little voltage and make a fire all the same; on
// 50 mm² there is nothing to say.
func TestHotCableIsTold(t *testing.T) {
	for _, c := range []struct {
		mm2  float64
		told bool
	}{{6, true}, {50, false}} {
		p := hydro.Plant{
			Penstock: hydro.Penstock{GrossHeadM: 60, LengthM: 100, BoreM: 0.1, RoughnessM: 1e-6, WaterC: 10},
			Turbine:  hydro.Turbine{Kind: "pelton", DesignFlowM3S: 0.0037, CutoffM3S: 0.001, Overall: 0.42},
			Cable:    hydro.Cable{LengthM: 3, SectionM2: c.mm2 * 1e-6, VoltageV: 12},
		}
		told := false
		for _, w := range p.Prepare().Warnings(metric{}) {
			told = told || w.Key == "ampacity"
		}
		if told != c.told {
			t.Errorf("%g mm²: told %v, want %v", c.mm2, told, c.told)
		}
	}
}
