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
	each := b.Elapsed() / time.Duration(b.N)
	b.ReportMetric(float64(each.Microseconds())/1000, "ms")
	b.ReportMetric(float64(each)/float64(bareYear(b)), "x-bare")
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
	chain, err := weather.FitGenerator(s.Rain, weather.GeneratorOptions{Seed: 1})
	if err != nil {
		b.Fatal(err)
	}
	worker := h.Worker()
	var r weather.Record
	var making time.Duration
	n := 0
	for b.Loop() {
		start := time.Now()
		y := chain.Synthesize(&r, n)
		making += time.Since(start)
		n++
		worker(r, 0)(y)
	}
	b.ReportMetric(float64(making.Microseconds())/float64(b.N), "µs-made-up")
}

// bareYear times a bare clamp-and-add loop over the hours of a year.
func bareYear(b *testing.B) time.Duration {
	const hours, rounds = 8760, 500
	net := make([]float64, hours)
	for h := range net {
		net[h] = float64(h%24)*60 - 700
	}
	start, empty := time.Now(), 0
	for range rounds {
		stored := 5000.0
		for _, w := range net {
			stored += w
			if stored > 10000 {
				stored = 10000
			}
			if stored < 0 {
				stored = 0
				empty++
			}
		}
	}
	if empty == 0 {
		b.Fatal("the bare loop was not run")
	}
	return time.Since(start) / rounds
}
