package sizing_test

import (
	"math"
	"reflect"
	"testing"

	"sunrill/sim/sizing"
	"sunrill/sources/hydro"
)

// The plant's own pipe and nozzles come first; each other pipe of the table comes
// with each kit, its area as asked to half a millimetre, and none twice.
func TestFits(t *testing.T) {
	p := hydro.Plant{
		Penstock: hydro.Penstock{GrossHeadM: 44, LengthM: 230, BoreM: 0.052, WaterC: 8, Material: "pe"},
		Turbine:  hydro.Turbine{Kind: "pelton", NozzlesM: []float64{0.005, 0.007, 0.009}},
	}
	fits := sizing.Fits(p, sizing.PipeSizes("pe", false), 2, []float64{0.64, 1, 1.5625})
	if first := fits[0]; !first.Present || !reflect.DeepEqual(first.On(p), p) {
		t.Errorf("the first is %+v", first)
	}
	// Bores of 11 times the wall: 40, 50, 63, 75, 90 mm outside; 63 has 51.5 mm, which is the plant's.
	bores := map[float64]int{}
	for i, f := range fits {
		bores[math.Round(1e4*f.BoreM)/10]++
		for _, o := range fits[:i] {
			if o.BoreM == f.BoreM && reflect.DeepEqual(o.NozzlesM, f.NozzlesM) {
				t.Errorf("twice: %+v", f)
			}
		}
		if len(f.NozzlesM) != 3 || f.On(p).Penstock.BoreM != f.BoreM || !reflect.DeepEqual(f.On(p).Turbine.NozzlesM, f.NozzlesM) {
			t.Errorf("%+v on the plant is %+v", f, f.On(p))
		}
		area, own := 0.0, 0.0
		for k, d := range f.NozzlesM {
			area, own = area+d*d, own+p.Turbine.NozzlesM[k]*p.Turbine.NozzlesM[k]
			if d != p.Turbine.NozzlesM[k] && math.Abs(math.Mod(1e4*d+0.01, 5)) > 0.1 {
				t.Errorf("a nozzle of %g mm", 1000*d)
			}
		}
		near := false
		for _, want := range []float64{0.64, 1, 1.5625} {
			near = near || math.Abs(area/own/want-1) < 0.08
		}
		if !near {
			t.Errorf("%+v has %g of the area", f, area/own)
		}
	}
	want := map[float64]int{32.7: 3, 40.9: 3, 52: 3, 61.4: 3, 73.6: 3}
	if !reflect.DeepEqual(bores, want) {
		t.Errorf("fits by bore %v, want %v", bores, want)
	}
	p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S = nil, 0.003
	for _, f := range sizing.Fits(p, sizing.PipeSizes("pe", false), 1, []float64{0.5, 1}) {
		if f.NozzlesM != nil || f.SpearM3S != 0.003 && f.SpearM3S != 0.0015 {
			t.Errorf("a spear valve becomes %+v", f)
		}
	}
	p.Penstock = p.Penstock.InReaches([]hydro.Reach{{LengthM: 100, BoreM: 0.06}, {LengthM: 130, BoreM: 0.05}})
	for _, f := range sizing.Fits(p, sizing.PipeSizes("pe", false), 2, []float64{0.5, 1}) {
		if !f.Present || !reflect.DeepEqual(f.On(p).Penstock, p.Penstock) {
			t.Errorf("a pipe in reaches becomes %+v", f)
		}
	}
}
