package hydro_test

import (
	"math"
	"testing"

	"sunrill/sources/hydro"
)

// A creek that falls as steadily as a law, told with other last digits, recedes
// alike: no rounding is taken for scatter. A linear store, which falls by e^(−1/25)
// a day, has A = 2 tanh(1/50) for its fall over its mean flow, and B = 1.
func TestRecessionOfASteadyCreek(t *testing.T) {
	var flow, other, rain []float64
	for d := range 400 {
		q := 0.004 * math.Exp(-float64(d%100)/25)
		flow, other, rain = append(flow, q), append(other, math.Nextafter(q, float64(d%3))), append(rain, 0)
	}
	a, b := hydro.FitRecession(flow, rain), hydro.FitRecession(other, rain)
	if want := 2 * math.Tanh(1.0/50); math.Abs(a.A/want-1) > 1e-11 || math.Abs(a.B-1) > 1e-12 {
		t.Errorf("%+v, want A %.12g, B 1", a, want)
	}
	if math.Abs(a.A/b.A-1) > 1e-11 {
		t.Errorf("%.15g a day, with other last digits %.15g", a.A, b.A)
	}
}

// The flow at which the pipe's power peaks is as sharp as the numbers it is told:
// a head of other last digits moves it by no more than those.
func TestBestFlowIsSharp(t *testing.T) {
	w := hydro.WaterAt(8)
	p := hydro.Penstock{GrossHeadM: 44, LengthM: 230, BoreM: 0.052, RoughnessM: 1e-5, MinorLoss: 2.5}
	q := p.BestFlow(w)
	for i := range 20 {
		o := p
		o.GrossHeadM *= 1 + float64(i)*1e-15
		if got := o.BestFlow(w); math.Abs(got/q-1) > 1e-10 {
			t.Errorf("%.15g m³/s, with other last digits %.15g", q, got)
		}
	}
}
