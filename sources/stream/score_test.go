package stream_test

import (
	"math"
	"testing"

	"sunrill/sources/stream"
)

// Nash and Sutcliffe 1970 and Gupta et al. 2009, worked by hand on five values.
func TestScoresByHand(t *testing.T) {
	o, s := []float64{1, 2, 3, 4, 5}, []float64{1.1, 1.9, 3.2, 3.8, 5.5}
	if got := stream.NSE(o, s); math.Abs(got-0.965) > 1e-12 {
		t.Errorf("NSE = %g, want 0.965", got)
	}
	if got := stream.KGE(o, s); math.Abs(got-0.911137) > 5e-7 {
		t.Errorf("KGE = %.6f, want 0.911137", got)
	}
	// The mean as a forecast: 1 − √2 (Knoben et al. 2019).
	if got := stream.KGE(o, []float64{3, 3, 3, 3, 3}); math.Abs(got+0.414214) > 5e-7 {
		t.Errorf("KGE of the mean = %.6f, want -0.414214", got)
	}
	if got := stream.NSELog(o, o); got != 1 {
		t.Errorf("NSELog of a perfect forecast = %g", got)
	}
	if got := stream.NSELog([]float64{0, 1, 2}, []float64{0, 1, 2}); got != 1 {
		t.Errorf("NSELog with a dry creek = %g", got)
	}
	if got := stream.NSE([]float64{2, 2}, []float64{1, 3}); !math.IsNaN(got) {
		t.Errorf("NSE of equal observations = %g, want NaN", got)
	}
}
