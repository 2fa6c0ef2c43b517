package sim_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// numbered are years that tell which they are by their demand.
func numbered(n, draws int) sim.Years {
	return sim.Years{N: n, Draws: draws, Maker: func() func(int, int) *sim.Input {
		in := &sim.Input{DemandW: make([]float64, 24), Sources: sim.PanelsAndCreek(make([]float64, 24), make([]float64, 24))}
		return func(draw, i int) *sim.Input {
			in.DemandW[0] = float64(100*draw + i)
			return in
		}
	}}
}

// Every year is visited once under every draw, with an input that nobody else
// writes to meanwhile, and every visit is counted.
func TestVisitsEveryYearUnderEveryDraw(t *testing.T) {
	const n, draws = 7, 5
	got := make([]float64, n*draws)
	last := 0
	var seen atomic.Int64
	progress := sim.Progress(func(done, total int) {
		if total != n*draws {
			t.Errorf("%d steps in all, want %d", total, n*draws)
		}
		seen.Add(1)
		last = max(last, done)
	})
	ys := numbered(n, draws)
	err := ys.Visit(context.Background(), progress.Steps(ys.Runs()), func(c sim.Case) error {
		if c.Place != c.Draw*n+c.Year || c.Worker < 0 || c.Worker >= sim.Workers() {
			t.Errorf("draw %d, year %d: place %d, worker %d", c.Draw, c.Year, c.Place, c.Worker)
		}
		before := c.In.DemandW[0]
		time.Sleep(time.Millisecond)
		if c.In.DemandW[0] != before {
			t.Error("the input changed during the visit")
		}
		got[c.Place] += c.In.DemandW[0] + 1
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range got {
		if want := float64(100*(k/n)+k%n) + 1; v != want {
			t.Errorf("case %d: %g, want %g", k, v, want)
		}
	}
	if seen.Load() != n*draws {
		t.Errorf("%d steps told of %d", seen.Load(), n*draws)
	}
}

// A visit that fails ends the others, and so does the context.
func TestVisitStops(t *testing.T) {
	broken := errors.New("broken")
	var visits atomic.Int64
	err := numbered(1000, 1).Visit(context.Background(), nil, func(c sim.Case) error {
		visits.Add(1)
		if c.Year == 3 {
			return broken
		}
		time.Sleep(100 * time.Microsecond)
		return nil
	})
	if !errors.Is(err, broken) || visits.Load() > 500 {
		t.Errorf("%v after %d visits", err, visits.Load())
	}
	ctx, cancel := context.WithCancel(context.Background())
	visits.Store(0)
	err = numbered(1000, 1).Visit(ctx, nil, func(c sim.Case) error {
		if visits.Add(1) == 5 {
			cancel()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || visits.Load() > 500 {
		t.Errorf("%v after %d visits", err, visits.Load())
	}
}

// The value of a share of years is the least that so many stay at or below,
// counted by whole numbers; values kept and values counted agree.
func TestSpread(t *testing.T) {
	for _, percent := range []int{10, 20, 50, 80, 90, 95, 100} {
		for n := 1; n <= 400; n++ {
			var v []float64
			counts := make([]int32, n+1)
			for i := n; i > 0; i-- {
				v = append(v, float64(i))
				counts[i]++
			}
			want := float64((percent*n + 99) / 100)
			if got := sim.NewSpread(v).At(float64(percent) / 100); got != want {
				t.Errorf("%d %% of 1 to %d: %g, want %g", percent, n, got, want)
			}
			if got := sim.Counted(counts, float64(percent)/100); got != want {
				t.Errorf("%d %% of 1 to %d, counted: %g, want %g", percent, n, got, want)
			}
		}
	}
	if !math.IsNaN(sim.NewSpread(nil).At(0.5)) || !math.IsNaN(sim.Counted(nil, 0.5)) {
		t.Error("no value has a spread")
	}
}

// A variant changes what it names, and nothing in the input that it was made
// from.
func TestVariant(t *testing.T) {
	const n = 48
	series := func(w float64) []float64 { return slices.Repeat([]float64{w}, n) }
	make := func() *sim.Input {
		return &sim.Input{
			Start:      time.Date(2020, 10, 1, 0, 0, 0, 0, time.UTC),
			Sources:    []sim.Source{{Kind: sim.Panels, W: series(300), PartsW: [][]float64{series(100), series(200)}}, {Kind: sim.Creek, W: series(50)}},
			TurbineM3S: series(0.002), DryStopHour: []int{3, 20, 40}, CloseHour: n,
			DemandW: series(80), OverW: series(8), FlexibleW: series(40), FlexibleWh: []float64{100, 100},
		}
	}
	in := make()
	var o sim.Other
	all := func(values []float64, want float64) bool {
		return len(values) == n && !slices.ContainsFunc(values, func(v float64) bool { return math.Abs(v-want) > 1e-12 })
	}
	if out := o.Of(in, sim.Variant{}); !all(out.W(sim.Panels), 300) || !all(out.W(sim.Creek), 50) || !all(out.DemandW, 80) || len(out.DryStopHour) != 3 {
		t.Error("the zero variant changes something")
	}
	if out := o.Of(in, sim.Variant{Panels: []float64{2}}); !all(out.W(sim.Panels), 600) || !all(out.W(sim.Creek), 50) {
		t.Error("twice the panels")
	}
	if out := o.Of(in, sim.Variant{Panels: []float64{3, 0.5}}); !all(out.W(sim.Panels), 400) {
		t.Error("three times the first array and half the second")
	}
	if out := o.Of(in, sim.Variant{Hydro: sim.HydroOff}); !all(out.W(sim.Creek), 0) || out.TurbineM3S != nil || out.DryStopHour != nil || out.CloseHour != 0 || !all(out.W(sim.Panels), 300) {
		t.Error("no hydro")
	}
	if out := o.Of(in, sim.Variant{Loads: 1.5}); !all(out.DemandW, 120) || !all(out.OverW, 12) || !all(out.FlexibleW, 60) || out.FlexibleWh[0] != 150 || !all(out.W(sim.Panels), 300) {
		t.Error("half as much again is asked")
	}
	if fresh := make(); !slices.Equal(in.W(sim.Panels), fresh.W(sim.Panels)) || !slices.Equal(in.W(sim.Creek), fresh.W(sim.Creek)) || !slices.Equal(in.DemandW, fresh.DemandW) || !slices.Equal(in.DryStopHour, fresh.DryStopHour) || in.CloseHour != n {
		t.Error("the input itself changed")
	}
	bank, gen := storage.Bank{CapacityWh: 5000}, sim.Generator{RatedW: 900}
	b := sim.Bus{Bank: storage.Bank{CapacityWh: 1000}, DumpW: 7}
	if v := (sim.Variant{Bank: &bank, Generator: &gen}).Bus(b); v.Bank.CapacityWh != 5000 || v.Generator.RatedW != 900 || v.DumpW != 7 {
		t.Errorf("another bank and a generator: %+v", v)
	}
	b.Generator = &gen
	if v := (sim.Variant{NoGenerator: true}).Bus(b); v.Generator != nil || v.Bank.CapacityWh != 1000 {
		t.Errorf("no generator: %+v", v)
	}
}
