package series_test

import (
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// BenchmarkFolderToBalance reads the built-in site, prepares it and runs its
// last year: the time from a site folder to the balance, without drawing.
func BenchmarkFolderToBalance(b *testing.B) {
	for b.Loop() {
		s, err := site.Demo()
		if err != nil {
			b.Fatal(err)
		}
		h, err := series.New(s)
		if err != nil {
			b.Fatal(err)
		}
		years := h.Years()
		if _, err := sim.Run(h.Input(years[len(years)-1]), h.Bus()); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms")
}

// BenchmarkYearOfWeather makes the hourly series of one year, over and over in
// the same memory, and reports what the parts take.
func BenchmarkYearOfWeather(b *testing.B) {
	s, err := site.Demo()
	if err != nil {
		b.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		b.Fatal(err)
	}
	chain, err := weather.FitChain(s.Rain, weather.ChainOptions{Seed: 1})
	if err != nil {
		b.Fatal(err)
	}
	worker := h.Worker()
	var r weather.Record
	var making time.Duration
	n := 0
	for b.Loop() {
		start := time.Now()
		y := chain.MadeUp(&r, n)
		making += time.Since(start)
		n++
		worker(r, 0)(y)
	}
	b.ReportMetric(float64(making.Microseconds())/float64(b.N), "µs-made-up")
}
