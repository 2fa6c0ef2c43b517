package stream_test

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sources/stream"
)

// The model that made the readings is found again: the catchment model always,
// since in doubt it is taken; the curve where it is clearly better.
func TestChooseFindsTheModelOfTheReadings(t *testing.T) {
	rain, pet := forcing(2)
	const creeks = 4
	right := map[stream.Kind]int{}
	for _, kind := range []stream.Kind{stream.CurveKind, stream.CatchmentKind} {
		for seed := range uint64(creeks) {
			rng := rand.New(rand.NewPCG(seed, 77))
			flow := truth(kind, rng).Flow(nil, rain, pet)
			gs := gaugings(octoberFirst, flow, 30, rng)
			c, err := stream.Choose(context.Background(), stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs},
				stream.FitOptions{AreaM2: 3e6, Seed: seed, Rounds: -1})
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("%v %d: lead of the curve %.1f, scores %v %.2f and %v %.2f", kind, seed, c.Lead, c.Best.Kind, c.Best.HeldOut.NSELog, c.Other.Kind, c.Other.HeldOut.NSELog)
			if c.Best.Kind == kind {
				right[kind]++
			}
			curveTaken := c.Best.Kind == stream.CurveKind
			if clearly := c.Lead > 1.5; curveTaken && !clearly {
				t.Errorf("%v %d: the curve is taken with a lead of %.1f standard errors", kind, seed, c.Lead)
			}
			if !strings.Contains(report.FitChoice(c), c.Best.Kind.String()) {
				t.Errorf("%v is taken, but: %s", c.Best.Kind, report.FitChoice(c))
			}
		}
	}
	t.Logf("right: %v of %d each", right, creeks)
	if right[stream.CatchmentKind] < creeks || right[stream.CurveKind] < creeks {
		t.Errorf("right: %v of %d each", right, creeks)
	}
}

// Readings of few weeks leave nothing to test by: then it is the catchment
// model, and it says so.
func TestChooseWithoutATest(t *testing.T) {
	rain, pet := forcing(2)
	rng := rand.New(rand.NewPCG(3, 77))
	gs := gaugings(octoberFirst, truth(stream.CurveKind, rng).Flow(nil, rain, pet), 4, rng)
	c, err := stream.Choose(context.Background(), stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs},
		stream.FitOptions{AreaM2: 3e6, Rounds: 2})
	if err != nil {
		t.Fatal(err)
	}
	if c.Best.Kind != stream.CatchmentKind || !math.IsNaN(c.Lead) || !strings.Contains(report.FitChoice(c), "too few weeks") {
		t.Errorf("%v, lead %g: %s", c.Best.Kind, c.Lead, report.FitChoice(c))
	}
}
