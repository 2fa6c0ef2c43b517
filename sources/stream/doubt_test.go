package stream_test

import (
	"math"
	"testing"

	"sunrill/sources/stream"
)

const tenth = 1.2815515655446004 // standard deviations of an 80 % range either way

// A model that nothing was fitted to spreads by the ranges that it was published
// with (Perrin and others 2003 for GR4J), about its own values; what is not
// moved stays, the area always.
func TestUnsureModels(t *testing.T) {
	gr4j := stream.Catchment{AreaM2: 4e5, X1MM: 350, X2MMD: -1, X3MM: 90, X4D: 1.5}
	z := make([]float64, stream.MaxParameters)
	if stream.Unsure(gr4j, nil, z) != stream.Model(gr4j) {
		t.Error("the middle differs from the model")
	}
	for i := range z {
		z[i] = tenth
	}
	up := stream.Unsure(gr4j, nil, z).(stream.Catchment)
	for i := range z {
		z[i] = -tenth
	}
	down := stream.Unsure(gr4j, nil, z).(stream.Catchment)
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	near("width of x1", up.X1MM/down.X1MM, 1200.0/100)
	near("width of x2", up.X2MMD-down.X2MMD, 8)
	near("width of x3", up.X3MM/down.X3MM, 300.0/20)
	near("area", up.AreaM2, 4e5)
	near("middle of x1", math.Sqrt(up.X1MM*down.X1MM), 350)

	curve := stream.Curve{SoilDepthMM: 85, QuickFraction: 0.08, QuickDays: 1.5, RecessionDays: 48, FloorM3S: 2e-4, GainM3S: 1e-3, Exponent: 1, AreaM2: 8e4}
	fitted := map[string]stream.Span{"recession_days": {40, 60}, "floor_lps": {0, 0.3}}
	low := stream.Unsure(curve, fitted, z).(stream.Curve)
	near("recession at its fitted low end", low.RecessionDays, 40)
	near("floor at its fitted low end", low.FloorM3S, 0)
	near("gain, which the fit calls sure", low.GainM3S, 1e-3)
	for i := range z {
		z[i] = tenth
	}
	high := stream.Unsure(curve, fitted, z).(stream.Curve)
	near("recession at its fitted high end", high.RecessionDays, 60)
	near("floor at its fitted high end", high.FloorM3S, 3e-4)
	if wide := stream.Unsure(curve, nil, z).(stream.Curve); wide.GainM3S <= 1.5e-3 || wide.SoilDepthMM < 200 || wide.AreaM2 != 8e4 {
		t.Errorf("without a fit: %+v", wide)
	}
	if curve.RecessionDays != 48 {
		t.Error("the model itself was changed")
	}
}
