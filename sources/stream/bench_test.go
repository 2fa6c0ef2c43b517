package stream_test

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"sunrill/sources/stream"
)

func BenchmarkFitTwelveYears(b *testing.B) {
	rain, pet := forcing(12)
	start := time.Date(2008, 10, 1, 0, 0, 0, 0, time.UTC)
	for _, kind := range []stream.Kind{stream.CurveKind, stream.CatchmentKind} {
		b.Run(kind.String(), func(b *testing.B) {
			rng := rand.New(rand.NewPCG(5, 5))
			gs := gaugings(start, truth(kind, rng).Flow(nil, rain, pet), 25, rng)
			for b.Loop() {
				f, err := stream.Fit(context.Background(), kind, stream.Data{Start: start, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{})
				if err != nil {
					b.Fatal(err)
				}
				for _, p := range f.Parameters {
					b.Logf("%s %.4g %s (%.4g to %.4g)", p.Name, p.Value, p.Unit, p.Low, p.High)
				}
				b.Log(f.Fitted, f.HeldOut, f.Verdict(nil))
			}
		})
	}
}
