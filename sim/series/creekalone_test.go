package series_test

import (
	"slices"
	"testing"

	"sunrill/sim"
	"sunrill/sim/series"
)

// The water alone is the water of the whole year.
func TestWaterAlone(t *testing.T) {
	h := demo(t)
	ys := h.Years()[:2]
	water := series.OverCreek(ys, h).Maker()
	for i, y := range ys {
		in, want := water(0, i), h.Open(y)
		if !slices.Equal(in.W(sim.Creek), want.W(sim.Creek)) || in.Hours() != want.Hours() || total(in.W(sim.Creek)) == 0 {
			t.Errorf("%d: the water alone gives %g Wh, within the year %g Wh", y.Number(), total(in.W(sim.Creek)), total(want.W(sim.Creek)))
		}
	}
}
