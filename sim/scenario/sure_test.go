package scenario_test

import (
	"sync"
	"testing"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/weather"
)

// Under draws that change nothing every draw comes to what the middle values
// come to; a draw without a creek comes to what panels alone do.
func TestDrawsOfADryWinter(t *testing.T) {
	dry := func() scenario.Worker {
		under := worker()
		return func(r weather.Record, day int) func(weather.Year) *sim.Input {
			year := under(r, day)
			return func(y weather.Year) *sim.Input { return sim.Variant{Hydro: sim.HydroOff}.Of(year(y)) }
		}
	}
	h := homestead(8)
	h.Drawn = []scenario.Drawn{{NewWorker: worker}, {NewWorker: dry}, {NewWorker: worker}}
	steps, total := 0, 0
	var mu sync.Mutex
	progress := func(done, all int) {
		mu.Lock()
		defer mu.Unlock()
		steps, total = max(steps, done), all
	}
	out, err := scenario.DryWinter(ctx, h, scenario.Options{Factors: []float64{0.5}, Weeks: []int{4}, Synthetic: 60, Progress: progress})
	if err != nil {
		t.Fatal(err)
	}
	if steps != total {
		t.Errorf("%d of %d steps were told", steps, total)
	}
	for _, sc := range out.Scenarios {
		u := sc.Sure
		if sc.Years == 1 {
			if u != nil {
				t.Errorf("%s: one year has draws", sc.Name)
			}
			continue
		}
		for d, same := range []bool{true, false, true} {
			if u.OneInFiveWithout.Draws[d] != sc.Without.UnmetP80 || u.WorstWithout.Draws[d] != sc.Without.UnmetWorst {
				t.Errorf("%s, draw %d: without hydro %g and %g h, the middle values %g and %g", sc.Name, d,
					u.OneInFiveWithout.Draws[d], u.WorstWithout.Draws[d], sc.Without.UnmetP80, sc.Without.UnmetWorst)
			}
			want := *sc.With
			if !same {
				want = sc.Without
			}
			if u.OneInFive.Draws[d] != want.UnmetP80 || u.Worst.Draws[d] != want.UnmetWorst {
				t.Errorf("%s, draw %d: %g and %g h, want %g and %g", sc.Name, d, u.OneInFive.Draws[d], u.Worst.Draws[d], want.UnmetP80, want.UnmetWorst)
			}
		}
		helps := 0
		if sc.With.UnmetP80 <= sc.Without.UnmetP80/2 && sc.Without.UnmetP80 > 0 {
			helps = 2
		}
		if u.Helps != helps || u.Draws != 3 {
			t.Errorf("%s: hydro helps in %d of %d draws, want %d", sc.Name, u.Helps, u.Draws, helps)
		}
	}
}
