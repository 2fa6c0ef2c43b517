package measure_test

import (
	"math"
	"testing"

	"sunrill/sim/measure"
)

// Digits end where the range begins: ranges by hand.
func TestRanged(t *testing.T) {
	for _, c := range []struct {
		v, low, high float64
		want         string
	}{
		{23.46, 21.04, 39.9, "23 21 40"},
		{377, 176, 431, "380 180 430"},
		{2.345, 2.31, 2.42, "2.35 2.31 2.42"},
		{12345, 9876, 23456, "12,000 10,000 23,000"},
		{5.0123, 5.0123, 5.0123, "5.01 5.01 5.01"},
		{math.Inf(1), 20, math.Inf(1), "– 20.0 –"},
		{0.02, -0.03, 0.3, "0.02 -0.03 0.30"},
	} {
		v, low, high := measure.Ranged(c.v, c.low, c.high)
		if got := v + " " + low + " " + high; got != c.want {
			t.Errorf("%g of %g to %g: %s, want %s", c.v, c.low, c.high, got, c.want)
		}
	}
}
