package stream_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

// The runoff of readings in the right unit is the creek's own; of readings or an
// area in a wrong one it cannot be, and the slip is named.
func TestRunoffNamesTheSlip(t *testing.T) {
	rain, pet := forcing(2)
	creek := stream.Catchment{AreaM2: 3e6, X1MM: 350, X2MMD: 0, X3MM: 90, X4D: 1}
	flow := creek.Flow(nil, rain, pet)
	sum := 0.0
	for _, mm := range rain {
		sum += mm
	}
	truth := 0.0
	for _, q := range flow {
		truth += q * 86400 / creek.AreaM2 * 1000 / sum
	}
	rng := rand.New(rand.NewPCG(1, 12))
	gs := gaugings(octoberFirst, flow, 20, rng)
	for _, c := range []struct {
		name         string
		flow, area   float64 // times the right ones
		fraction     float64 // within a fifth
		slip, kindOf string
	}{
		{"right", 1, 1, truth, "", ""},
		{"m³/s taken for L/s", 1e-3, 1, 1e-3 * truth, "the readings in m³/s, not L/s", "0."},
		{"gal/min taken for L/s", 15.850323, 1, 15.85 * truth, "the readings in gal/min, not L/s", " times "},
		{"hectares taken for km²", 1, 100, truth / 100, "the area in hectares, not km²", "0."},
		{"inches of rain were mm", 1, 1.0 / 40, 40 * truth, "the rain in inches, not mm", " times "},
	} {
		bad := slices.Clone(gs)
		for i := range bad {
			bad[i].FlowM3S *= c.flow
			bad[i].ErrorM3S *= c.flow
		}
		for _, kind := range []stream.Kind{stream.CurveKind, stream.CatchmentKind} {
			f, err := stream.Fit(context.Background(), kind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: bad}, stream.FitOptions{AreaM2: 3e6 * c.area, Rounds: -1, NoTest: true})
			if err != nil {
				t.Fatal(err)
			}
			r, ok, err := f.Runoff(context.Background(), stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet})
			if err != nil {
				t.Fatal(err)
			}
			says := report.RunoffText(r, 3e6*c.area, measure.Metric)
			t.Logf("%s, %v: %.4f, truth %.4f: %s", c.name, kind, r.Fraction, c.fraction, says)
			if !ok || r.Fraction < c.fraction/1.4 || r.Fraction > c.fraction*1.4 || r.Impossible() != (c.slip != "") {
				t.Errorf("%s, %v: a runoff of %.4f, want about %.4f", c.name, kind, r.Fraction, c.fraction)
			}
			if c.slip == "" && math.Abs(r.Fraction/c.fraction-1) > 0.2 {
				t.Errorf("%s, %v: a runoff of %.3f, want %.3f", c.name, kind, r.Fraction, c.fraction)
			}
			if !strings.Contains(says, c.slip) || !strings.Contains(says, c.kindOf) {
				t.Errorf("%s, %v: %q is not in: %s", c.name, kind, c.slip, says)
			}
		}
	}
	f, err := stream.Fit(context.Background(), stream.CatchmentKind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{Rounds: -1, NoTest: true})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok, err := f.Runoff(context.Background(), stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet}); ok || err != nil {
		t.Errorf("an area that was fitted tells a runoff, or error %v", err)
	}
}

// season is the plain way to say when weeks are enough.
func season(flow []float64, need float64) (first, last int) {
	first, last = -1, -1
	for d := 0; d+7 <= len(flow); d++ {
		if mean(flow[d:d+7]) >= need {
			if first < 0 {
				first = d
			}
			last = d + 7
		}
	}
	return first, last
}

// The first and the last day of usable flow lie in their 8-in-10 range most
// years, of creeks that stray from their model; the readings' own brackets hold
// them always where the creek crosses once.
func TestUsableSeasonsHoldTheTruth(t *testing.T) {
	const years = 4
	rain, pet := forcing(years)
	var spans [][2]int
	for y := range years {
		spans = append(spans, [2]int{365 * y, 365 * (y + 1)})
	}
	held, asked, off := 0, 0, 0.0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 13))
		e := wandering(rng)
		flow := e.Apply(nil, truth(stream.CatchmentKind, rng).Flow(nil, rain, pet), rng)
		need := stream.NewDuration(flow).FlowM3S(0.5)
		gs := gaugings(octoberFirst, flow, 20, rng)
		f, err := stream.Fit(context.Background(), stream.CatchmentKind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{AreaM2: 3e6, Seed: seed, Rounds: 40})
		if err != nil {
			t.Fatal(err)
		}
		for y, s := range f.UsableSeasons(rain, pet, spans, need) {
			first, last := season(flow[spans[y][0]:spans[y][1]], need)
			if first < 0 || s.First.Day < 0 {
				continue
			}
			for _, c := range []struct {
				r     stream.DayRange
				truth int
			}{{s.First, spans[y][0] + first}, {s.Last, spans[y][0] + last}} {
				asked++
				if c.r.Low <= c.truth && c.truth <= c.r.High {
					held++
				}
				off += math.Abs(float64(c.r.Day - c.truth))
				if c.r.Low > c.r.Day || c.r.Day > c.r.High {
					t.Errorf("day %d is outside its own range, %d to %d", c.r.Day, c.r.Low, c.r.High)
				}
			}
		}
	}
	t.Logf("%d of %d days are in their range; off by %.1f days on the mean", held, asked, off/float64(asked))
	if held < 7*asked/10 || off/float64(asked) > 15 {
		t.Errorf("%d of %d days are in their range; off by %.1f days on the mean", held, asked, off/float64(asked))
	}
}

// Readings bracket the season: it began between the last that was too little and
// the first that was enough.
func TestReadingsBracketTheSeason(t *testing.T) {
	rain, pet := forcing(2)
	var gs []stream.Gauging
	for _, r := range []struct {
		day int
		lps float64
	}{{5, 0.5}, {40, 0.9}, {70, 4}, {150, 9}, {220, 5}, {260, 1.2}, {300, 0.6}, {420, 3}} {
		gs = append(gs, stream.Gauging{Date: octoberFirst.AddDate(0, 0, r.day), Method: "weir", FlowM3S: r.lps / 1000})
	}
	f, err := stream.Fit(context.Background(), stream.CurveKind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{Rounds: -1, NoTest: true})
	if err != nil {
		t.Fatal(err)
	}
	s := f.UsableSeasons(rain, pet, [][2]int{{0, 365}, {365, 730}}, 0.002)
	if got, want := s[0].Measured, (stream.Measured{FirstAfter: 40, FirstBy: 70, LastSeen: 220, LastBefore: 260}); got != want {
		t.Errorf("first year %+v, want %+v", got, want)
	}
	if got, want := s[1].Measured, (stream.Measured{FirstAfter: 300, FirstBy: 420, LastSeen: 420, LastBefore: -1}); got != want {
		t.Errorf("second year %+v, want %+v", got, want)
	}
	if s[0].First.Low != -1 {
		t.Errorf("a range without draws: %+v", s[0].First)
	}
}

// What is unknown is asked for: to readings of the wet season alone, one of a
// falling, lower creek is to be added; to readings of low flow alone, one of
// high flow.
func TestNextReadingIsWhereTheDrawsDiffer(t *testing.T) {
	rain, pet := forcing(3)
	creek := stream.Curve{SoilDepthMM: 60, QuickFraction: 0.1, QuickDays: 1, RecessionDays: 40, FloorM3S: 0.0002, GainM3S: 0.002, Exponent: 1, AreaM2: 2e5}
	flow := creek.Flow(nil, rain, pet)
	middle := stream.NewDuration(flow).FlowM3S(0.5)
	read := func(wet bool) []stream.Gauging {
		var gs []stream.Gauging
		for day := 30; day < len(flow) && len(gs) < 10; day += 29 {
			if (flow[day] > middle) == wet {
				gs = append(gs, stream.Gauging{Date: octoberFirst.AddDate(0, 0, day), Method: "weir", FlowM3S: flow[day]})
			}
		}
		return gs
	}
	next := func(gs []stream.Gauging) stream.NextReading {
		f, err := stream.Fit(context.Background(), stream.CurveKind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{AreaM2: 2e5, Rounds: 60})
		if err != nil {
			t.Fatal(err)
		}
		n, ok := f.Next(octoberFirst, rain, pet, middle/4, 2*middle)
		if !ok {
			t.Fatal("nothing to measure next")
		}
		if !(n.Narrows > 0 && n.Narrows < 1) || n.Years > n.Of || n.LowM3S >= n.HighM3S {
			t.Errorf("%+v", n)
		}
		return n
	}
	wet, dry := next(read(true)), next(read(false))
	t.Logf("middle %.4f; after wet readings %+v; after dry ones %+v", middle, wet, dry)
	if wet.HighM3S > middle || dry.HighM3S < middle {
		t.Errorf("middle %.4f; after wet readings %+v; after dry ones %+v", middle, wet, dry)
	}
}
