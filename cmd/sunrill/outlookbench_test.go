package main

import (
	"context"
	"math"
	"testing"
	"time"

	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// BenchmarkOutlook times 60 days under 20 skies and all past years.
func BenchmarkOutlook(b *testing.B) {
	s, err := site.Demo()
	if err != nil {
		b.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		b.Fatal(err)
	}
	q := question{at: time.Date(2026, 11, 25, 0, 0, 0, 0, s.Place.Zone()), soc: 0.62, flowM3S: 0.001, errM3S: 2e-5, days: 60, draws: 20, wait: 7, bear: 0.1}
	c := &call{ctx: context.Background()}
	b.Run("60 days", func(b *testing.B) {
		for b.Loop() {
			if _, err := lookAhead(c, h, q, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("judge", func(b *testing.B) {
		q := q
		q.flowM3S = math.NaN()
		for b.Loop() {
			var j *scenario.Judged
			if j, err = judgeOutlooks(c, h, q, nil); err != nil || j.Dates == 0 {
				b.Fatal(j, err)
			}
		}
	})
}
