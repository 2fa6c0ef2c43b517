package sim_test

import (
	"math"
	"runtime"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// year is an invented year: sun by day and season, a creek in the wet half,
// evenings at home.
func year() *sim.Input {
	const n = 365 * 24
	in := &sim.Input{
		Start:   time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC),
		Sources: sim.PanelsAndCreek(make([]float64, n), make([]float64, n)), DemandW: make([]float64, n),
	}
	noise := uint32(1)
	for h := range n {
		noise = noise*1664525 + 1013904223
		season := -math.Cos(2 * math.Pi * (float64(h)/n - 0.22)) // -1 in late December
		sun := math.Max(0, math.Sin(2*math.Pi*(float64(h%24)-6)/24)+0.2*season)
		in.W(sim.Panels)[h] = 1200 * sun * (0.2 + 0.8*float64(noise>>8)/(1<<24)) * (0.6 + 0.4*season)
		if season < 0.2 {
			in.W(sim.Creek)[h] = 150 * (0.2 - season)
		}
		in.DemandW[h] = 180
		if c := h % 24; c >= 17 && c < 23 {
			in.DemandW[h] = 420
		}
	}
	return in
}

func bucketBus() sim.Bus {
	b, _ := storage.Preset("lfp", 9600, 48)
	return sim.Bus{Bank: b, DumpW: 200}
}

// fullHomestead has every part: two wells, an inverter's rating, flexible
// loads by the day and by the week, a generator with quiet hours and a disconnect.
func fullHomestead() (*sim.Input, sim.Bus) {
	in := year()
	n := in.Hours()
	in.OverW, in.FlexibleW, in.FlexibleWh = make([]float64, n), make([]float64, n), make([]float64, n/24)
	for h := range n {
		in.OverW[h] = math.Max(0, in.DemandW[h]-400)
		in.FlexibleW[h] = 500
		in.FlexibleWh[h/24] = 2000
	}
	in.WeeklyW, in.TogetherW, in.WeeklyWh = in.FlexibleW, make([]float64, n), make([]float64, (n+167)/168)
	for h := range n {
		in.TogetherW[h] = 800
		in.WeeklyWh[h/168] = 6000
	}
	b, _ := storage.Preset("flooded", 9600, 48)
	b.FloorSoC, b.ReconnectSoC = 0.4, 0.5
	return in, sim.Bus{Bank: b, DumpW: 200, Generator: &sim.Generator{
		RatedW: 1500, StartSoC: 0.42, StopSoC: 0.8, MinRunH: 2, QuietFromH: 22, QuietToH: 7, FuelIdleLH: 0.28, FuelLPerKWh: 0.48,
	}}
}

// bare is the loop that everything is measured by: one store, clamped.
func bare(in *sim.Input, stored []float64, capWh float64) float64 {
	s, unmet := capWh, 0.0
	pvW, creekW := in.W(sim.Panels), in.W(sim.Creek)
	for h := range stored {
		s += pvW[h] + creekW[h] - in.DemandW[h]
		if s > capWh {
			s = capWh
		} else if s < 0 {
			unmet -= s
			s = 0
		}
		stored[h] = s
	}
	return unmet
}

var sink float64

// ratio runs f and the bare loop in turns and returns the least time of f and
// its multiple of the bare loop's least.
func ratio(b *testing.B, in *sim.Input, f func()) {
	stored := make([]float64, in.Hours())
	best, bestBare := time.Hour, time.Hour
	for b.Loop() {
		runtime.GC() // so that no run pays for the memory of those before it
		t0 := time.Now()
		f()
		t1 := time.Now()
		sink += bare(in, stored, 9600)
		t2 := time.Now()
		best, bestBare = min(best, t1.Sub(t0)), min(bestBare, t2.Sub(t1))
	}
	b.ReportMetric(float64(best)/float64(bestBare), "x-bare")
	b.ReportMetric(float64(bestBare)/1e3, "bare-µs")
	b.ReportMetric(float64(best)/1e3, "best-µs")
}

// BenchmarkRun times a year with every hour kept against the bare loop over
// the same hours: at most 8 times where neither inverter, cold nor flexible loads are described,
// 12 with everything.
func BenchmarkRun(b *testing.B) {
	b.Run("bucket", func(b *testing.B) {
		in, bus := year(), bucketBus()
		ratio(b, in, func() {
			if _, err := sim.Run(in, bus); err != nil {
				b.Fatal(err)
			}
		})
	})
	b.Run("full", func(b *testing.B) {
		in, bus := fullHomestead()
		ratio(b, in, func() {
			if _, err := sim.Run(in, bus); err != nil {
				b.Fatal(err)
			}
		})
	})
}

// BenchmarkSpan times a year that is only counted.
func BenchmarkSpan(b *testing.B) {
	in, bus := year(), bucketBus()
	lead := bus
	lead.Bank, _ = storage.Preset("flooded", 9600, 48)
	full, fullBus := fullHomestead()
	for _, c := range []struct {
		name string
		in   *sim.Input
		bus  sim.Bus
	}{{"bucket", in, bus}, {"two-well", in, lead}, {"full", full, fullBus}} {
		b.Run(c.name, func(b *testing.B) {
			ratio(b, c.in, func() {
				var t sim.Tally
				c.bus.Span(c.in, c.bus.Start(), 0, c.in.Hours(), &t)
				sink += t.UnmetWh
			})
		})
	}
}
