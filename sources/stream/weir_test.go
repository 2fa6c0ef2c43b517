package stream_test

import (
	"math"
	"testing"

	"sunrill/sources/stream"
)

const (
	cfsM3S = 0.3048 * 0.3048 * 0.3048
	footM  = 0.3048
)

// The 90° notch of the US Bureau of Reclamation's Water Measurement Manual,
// chapter 7: Q = 2.49 h^2.48 in cfs and ft, fully contracted; and, closer, the
// Kindsvater–Shen equation with Ce = 0.578 and kh = 0.0029 ft (V. M. Ponce, San
// Diego State University, hydraulics laboratory 5), worked out to four digits.
func TestVNotchAgainstPublishedEquations(t *testing.T) {
	for _, c := range []struct{ headFt, manual, shen float64 }{
		{.20, .0460, .0459}, {.25, .0800, .0795}, {.30, .1257, .1249}, {.40, .2566, .2548},
		{.50, .4463, .4435}, {.75, 1.2200, 1.2163}, {1.00, 2.4900, 2.4908}, {1.25, 4.3305, 4.3450},
	} {
		got := stream.KindsvaterShen(90, c.headFt*footM) / cfsM3S
		if math.Abs(got-c.shen) > 0.0005*c.shen+0.00005 {
			t.Errorf("h = %.2f ft: %.4f cfs, Kindsvater–Shen gives %.4f", c.headFt, got, c.shen)
		}
		if math.Abs(got-c.manual) > 0.01*c.manual {
			t.Errorf("h = %.2f ft: %.4f cfs, the manual's 2.49 h^2.48 gives %.4f", c.headFt, got, c.manual)
		}
	}
}

// Francis's equation, 3.33 (L − 0.2h) h^1.5 in cfs and ft, worked by hand.
func TestFrancisByHand(t *testing.T) {
	for _, c := range []struct{ widthFt, headFt, cfs float64 }{{2, .5, 2.2369}, {1, .3, .5143}} {
		if got := stream.Francis(c.widthFt*footM, c.headFt*footM) / cfsM3S; math.Abs(got-c.cfs) > 0.00006 {
			t.Errorf("L = %g ft, h = %g ft: %.4f cfs, want %.4f", c.widthFt, c.headFt, got, c.cfs)
		}
	}
}

// Two published values of other rectangular-weir equations, from the test suite
// of an open library of fluid formulas: fully contracted (h 0.2, P 0.5, b 1 m)
// 0.15545929 m³/s, where that library adds 0.1 mm to the head for our 1 mm, and
// full width by Rehbock (h 0.3, P 0.4, b 2 m) 0.64868563 m³/s.
func TestRectangularAgainstOtherEquations(t *testing.T) {
	if got := stream.KindsvaterCarter(1, 0.2, 0.5, 8); math.Abs(got/0.15545929-1) > 0.01 {
		t.Errorf("contracted: %.5f m³/s, want 0.15546 within 1 %%", got)
	}
	if got := stream.KindsvaterCarter(2, 0.3, 0.4, 2); math.Abs(got/0.64868563-1) > 0.015 {
		t.Errorf("full width: %.5f m³/s, want 0.64869 within 1.5 %%", got)
	}
	// Francis and Kindsvater–Carter describe one weir.
	a, b := stream.Francis(1, 0.2), stream.KindsvaterCarter(1, 0.2, 0.6, 5)
	if math.Abs(a/b-1) > 0.03 {
		t.Errorf("Francis %.5f, Kindsvater–Carter %.5f m³/s", a, b)
	}
}

func TestWeirErrorAndCautions(t *testing.T) {
	r, err := stream.Weir{NotchDeg: 90, HeadM: 0.12}.Gauge()
	if err != nil {
		t.Fatal(err)
	}
	// 2 mm of 12 cm to the power 2.5 is 4.2 %, beside 5 % for the weir.
	if fraction := r.ErrorM3S / r.FlowM3S; math.Abs(fraction-math.Hypot(0.05, 2.5*0.002/0.12)) > 1e-12 {
		t.Errorf("error %.4f of the flow", fraction)
	}
	if len(r.Cautions) != 0 {
		t.Errorf("cautions %q", r.Cautions)
	}
	for _, w := range []stream.Weir{
		{NotchDeg: 90, HeadM: 0.12, BelowM: 0.03, BelowTold: true},
		{NotchDeg: 90, HeadM: 0.12, SillM: 0.2},
		{NotchDeg: 90, HeadM: 0.12, PoolWidthM: 0.5},
		{NotchDeg: 60, HeadM: 0.5},
		{WidthM: 0.3, HeadM: 0.12},
		{WidthM: 0.14, HeadM: 0.062, SillM: 0.2, PoolWidthM: 1},
		{WidthM: 0.5, HeadM: 0.1, SillM: 0.15},
		{WidthM: 0.5, HeadM: 0.1, PoolWidthM: 0.6},
	} {
		r, err := w.Gauge()
		if err != nil {
			t.Errorf("%+v: %v", w, err)
			continue
		}
		if len(r.Cautions) != 1 || r.ErrorM3S < 0.1*r.FlowM3S {
			t.Errorf("%+v: cautions %q, error %.2f of the flow", w, r.Cautions, r.ErrorM3S/r.FlowM3S)
		}
	}
}
