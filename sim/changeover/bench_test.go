package changeover_test

import (
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/changeover"
)

// BenchmarkPairs times all pairs of a year against running each of them. The
// plain way is timed on every 997th pair and scaled.
func BenchmarkPairs(b *testing.B) {
	for i, k := range kinds {
		b.Run(k.name, func(b *testing.B) {
			in, bus := homestead(k, uint64(i))
			benchmarkPairs(b, in, bus)
		})
	}
}

func benchmarkPairs(b *testing.B, in *sim.Input, bus sim.Bus) {
	const stride = 997
	s := changeover.NewSearch(bus)
	days := in.Hours() / 24
	buffer := make([]float64, in.Hours())
	var fast, naive time.Duration
	for b.Loop() {
		start := time.Now()
		s.Pairs(in)
		fast += time.Since(start)

		start = time.Now()
		n, ran := 0, 0
		for open := range days {
			for close := open + 1; close <= days; close++ {
				if n++; n%stride == 0 {
					gated := *in
					gated.HydroW = sim.Gate(buffer, in.HydroW, 24*open, 24*close)
					if _, err := sim.Run(&gated, bus); err != nil {
						b.Fatal(err)
					}
					ran++
				}
			}
		}
		naive += time.Since(start) * time.Duration(n) / time.Duration(ran)
	}
	b.ReportMetric(float64(naive)/float64(fast), "x-naive")
	b.ReportMetric(float64(fast.Milliseconds())/float64(b.N), "ms/year")
}
