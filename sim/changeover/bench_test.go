package changeover_test

import (
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

func builtIn(t testing.TB) *series.Homestead {
	t.Helper()
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// BenchmarkPairs times all pairs of a year against running each of them. The
// plain way is timed in the same run on every 997th pair, and scaled. Wanted:
// x-naive of 100 on the built-in site, and of 20 where bank states never meet.
func BenchmarkPairs(b *testing.B) {
	b.Run("built-in site", func(b *testing.B) {
		h := builtIn(b)
		years := h.Years()
		benchmarkPairs(b, h.Openings(years[len(years)-1]), h.Bus())
	})
	for _, i := range []int{neverMeet, twoWells} {
		b.Run(kinds[i].name, func(b *testing.B) {
			in, bus := homestead(kinds[i], uint64(i))
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
					clear(buffer)
					copy(buffer[24*open:24*close], in.W(sim.Creek)[24*open:24*close])
					gated.Set(sim.Creek, buffer)
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
	b.ReportMetric(fast.Seconds()*1000/float64(b.N), "ms/year")
}

// BenchmarkStudy times the years of the built-in site with the search for a
// rule. Wanted: 3 s on two processors for its twelve years.
func BenchmarkStudy(b *testing.B) {
	h := builtIn(b)
	years := h.Years()
	b.ReportAllocs()
	for b.Loop() {
		_, err := changeover.Study{
			Bus: h.Bus(), Years: series.OverOpen(years, h),
		}.Run(b.Context())
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/study")
	b.ReportMetric(float64(len(years)), "years")
}
