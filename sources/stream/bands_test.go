package stream_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"sunrill/sources/stream"
)

// held returns the fraction of days on which a flow lies within a band, and how
// many times the low the high is on the geometric mean.
func held(low, high, flow []float64) (fraction, times float64) {
	const minimum = 1e-7 // m³/s
	for i, q := range flow {
		if low[i] <= q && q <= high[i] {
			fraction++
		}
		times += math.Log((high[i] + minimum) / (low[i] + minimum))
	}
	n := float64(len(flow))
	return fraction / n, math.Exp(times / n)
}

// wandering is a daily error such as a test's creeks have.
func wandering(rng *rand.Rand) stream.DailyError {
	return stream.DailyError{SD: 0.15 + 0.3*rng.Float64(), Correlation: 0.8 + 0.18*rng.Float64(), Growth: 0.3 * (rng.Float64() - 0.5), ReferenceM3S: 0.02}
}

// An 80 % band of twelve readings holds 70 to 90 % of days: of the river of
// TestFitToRealRiver, seen on the days of the readings alone, and of creeks that
// no model follows to the day.
func TestBandsHold(t *testing.T) {
	type creek struct {
		name      string
		kind      stream.Kind
		areaM2    float64
		start     time.Time
		rain, pet []float64
		flow      func(rng *rand.Rand) []float64
	}
	cols := columns(t, "../../../shared/data/gr4j_published_example.csv")
	const riverM2 = 260e6
	var observed []float64
	for _, mm := range cols["flow_observed_mm"] {
		observed = append(observed, mm*riverM2/(1000*86400))
	}
	rain, pet := forcing(2)
	strays := func(kind stream.Kind) func(rng *rand.Rand) []float64 {
		return func(rng *rand.Rand) []float64 {
			e := wandering(rng)
			return e.Apply(nil, truth(kind, rng).Flow(nil, rain, pet), rng)
		}
	}
	for _, c := range []creek{
		{"river", stream.CatchmentKind, riverM2, time.Date(1991, 1, 1, 0, 0, 0, 0, time.UTC), cols["rain_mm"], cols["pet_mm"], func(*rand.Rand) []float64 { return observed }},
		{"curve", stream.CurveKind, 3e6, octoberFirst, rain, pet, strays(stream.CurveKind)},
		{"catchment", stream.CatchmentKind, 3e6, octoberFirst, rain, pet, strays(stream.CatchmentKind)},
	} {
		const readings, trials = 12, 12
		fraction, times := 0.0, 0.0
		for seed := range uint64(trials) {
			rng := rand.New(rand.NewPCG(seed, 3))
			flow := c.flow(rng)
			f, err := stream.Fit(context.Background(), c.kind, stream.Data{Start: c.start, RainMM: c.rain, PETMM: c.pet, Gaugings: gaugings(c.start, flow, readings, rng)},
				stream.FitOptions{AreaM2: c.areaM2, Seed: seed, Rounds: 30})
			if err != nil {
				t.Fatal(err)
			}
			low, high := f.Band(c.rain, c.pet)
			s, w := held(low, high, flow)
			fraction += s / trials
			times += math.Log(w) / trials
		}
		t.Logf("%s: the band holds %.0f %% of days, high is %.1f times low", c.name, 100*fraction, math.Exp(times))
		if fraction < 0.7 || fraction > 0.9 {
			t.Errorf("%s: the band holds %.0f %% of days, want 70 to 90", c.name, 100*fraction)
		}
	}
}

// The daily error has the spread, the memory and the growth with flow that it
// tells.
func TestDailyErrorIsAsItTells(t *testing.T) {
	e := stream.DailyError{SD: 0.3, Correlation: 0.9, Growth: 0.5, ReferenceM3S: 0.01}
	const days = 40000
	for _, c := range []struct{ flow, sd float64 }{{0.01, 0.3}, {0.0225, 0.45}, {1, 0.9}, {1e-5, 0.1}} {
		flow := make([]float64, days)
		for i := range flow {
			flow[i] = c.flow
		}
		got := e.Apply(nil, flow, rand.New(rand.NewPCG(1, 2)))
		squares, products := 0.0, 0.0
		for i, q := range got {
			u := math.Log(q / c.flow)
			squares += u * u
			if i > 0 {
				products += u * math.Log(got[i-1]/c.flow)
			}
		}
		if sd := math.Sqrt(squares / days); math.Abs(sd/c.sd-1) > 0.05 {
			t.Errorf("at %g m³/s the error's standard deviation is %.3f, want %.2f", c.flow, sd, c.sd)
		}
		if r := products / squares; math.Abs(r-0.9) > 0.02 {
			t.Errorf("at %g m³/s the error's day-to-day correlation is %.3f, want 0.9", c.flow, r)
		}
	}
	if got := (stream.DailyError{}).Apply(nil, []float64{1, 2}, rand.New(rand.NewPCG(1, 2))); got[0] != 1 || got[1] != 2 {
		t.Errorf("no error gives %v", got)
	}
}

// A daily error that readings show is found: from many readings of creeks that
// stray by a little or by much, the fit tells how much, and how long it lasts.
func TestDailyErrorIsFound(t *testing.T) {
	rain, pet := forcing(2)
	for _, sd := range []float64{0.1, 0.4} {
		var found, next float64
		const trials = 4
		for seed := range uint64(trials) {
			rng := rand.New(rand.NewPCG(seed, 8))
			flow := truth(stream.CatchmentKind, rng).Flow(nil, rain, pet)
			e := stream.DailyError{SD: sd, Correlation: 0.9}
			e.Apply(flow, flow, rng)
			f, err := stream.Fit(context.Background(), stream.CatchmentKind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gaugings(octoberFirst, flow, 60, rng)},
				stream.FitOptions{AreaM2: 3e6, Seed: seed, Rounds: 20})
			if err != nil {
				t.Fatal(err)
			}
			found += math.Log(f.Error.SD) / trials
			next += f.Error.Correlation / trials
		}
		got := math.Exp(found)
		t.Logf("an error of %.2f is found as %.2f, its correlation of 0.9 as %.2f", sd, got, next)
		if got < sd/1.35 || got > sd*1.35 || next < 0.8 || next > 0.98 {
			t.Errorf("an error of %.2f is found as %.2f, its correlation of 0.9 as %.2f", sd, got, next)
		}
	}
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
