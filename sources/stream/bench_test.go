package stream_test

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"sunrill/sources/stream"
)

// A fit to 25 readings over twelve years with its 200 rounds: 10 s are allowed.
func BenchmarkFitTwelveYears(b *testing.B) {
	rain, pet := forcing(12)
	start := time.Date(2008, 10, 1, 0, 0, 0, 0, time.UTC)
	for _, kind := range []stream.Kind{stream.CurveKind, stream.CatchmentKind} {
		b.Run(kind.String(), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(5, 5))
			gs := gaugings(start, truth(kind, rng).Flow(nil, rain, pet), 25, rng)
			for b.Loop() {
				_, err := stream.Fit(context.Background(), kind, stream.Data{Start: start, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{})
				if err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N), "s/200-rounds")
		})
	}
}
