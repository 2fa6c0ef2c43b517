package hydro_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"sunrill/sources/hydro"
)

// Creeks that fall as steadily as a law, told with other last digits, recede as
// the law has it: no rounding is taken for scatter. A linear store, which falls by
// e^(−1/k) a day, has A = 2 tanh(1/2k) for its fall over its mean flow, and B = 1.
func TestRecessionOfASteadyCreek(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, k := range []float64{7.3, 24.7, 60} {
		var flow, rain []float64
		for d := range 1400 {
			q := 0.0037 * math.Exp(-float64(d%100)/k) * float64(1+d/100)
			flow, rain = append(flow, math.Nextafter(q, float64(rng.IntN(2)))), append(rain, 0)
		}
		if got, want := hydro.FitRecession(flow, rain), 2*math.Tanh(1/(2*k)); math.Abs(got.A/want-1) > 1e-11 || math.Abs(got.B-1) > 1e-12 {
			t.Errorf("%+v, want A %.12g, B 1", got, want)
		}
	}
}
