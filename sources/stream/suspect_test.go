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

// Three of fifteen readings spoiled by gross slips are named and left out, each
// with the slip that it was, and move no parameter out of the range that the
// right readings give. The right readings are all kept.
func TestSpoiledReadingsAreNamed(t *testing.T) {
	rain, pet := forcing(2)
	// What was written for 1 L/s, and what the fit must say of it.
	spoil := []struct {
		factor float64
		slip   string
	}{{10, "the decimal point one place off"}, {0.1, "the decimal point one place off"}, {60, "minutes written for seconds"}, {1 / 3.785411784, "gallons written for litres"}}
	spoiled, named, right, innocent, beyond, parameters := 0, 0, 0, 0, 0, 0
	for _, kind := range []stream.Kind{stream.CurveKind, stream.CatchmentKind} {
		for seed := range uint64(4) {
			rng := rand.New(rand.NewPCG(seed, 55))
			flow := truth(kind, rng).Flow(nil, rain, pet)
			gs := gaugings(octoberFirst, flow, 15, rng)
			for i := range gs {
				gs[i].Line = i + 2
			}
			fit := func(gs []stream.Gauging, rounds int) *stream.Fitted {
				f, err := stream.Fit(context.Background(), kind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{AreaM2: 3e6, Seed: seed, Rounds: rounds})
				if err != nil {
					t.Fatal(err)
				}
				return f
			}
			clean := fit(gs, 40)
			if n := len(clean.Suspects); n > 0 {
				t.Errorf("%v %d: %d right readings are left out", kind, seed, n)
			}
			bad := slices.Clone(gs)
			wrong := map[int]string{}
			for _, i := range rng.Perm(len(bad))[:3] {
				s := spoil[rng.IntN(len(spoil))]
				bad[i].FlowM3S *= s.factor
				bad[i].ErrorM3S *= s.factor
				wrong[bad[i].Line] = s.slip
			}
			f := fit(bad, -1)
			spoiled += len(wrong)
			for _, s := range f.Suspects {
				slip, is := wrong[s.Gauging.Line]
				switch {
				case !is:
					innocent++
				default:
					named++
					if s.Slip.What == slip {
						right++
					}
				}
			}
			if len(f.Used)+len(f.Suspects) != len(bad) {
				t.Errorf("%v %d: %d readings used and %d left out of %d", kind, seed, len(f.Used), len(f.Suspects), len(bad))
			}
			for i, p := range f.Parameters {
				parameters++
				if c := clean.Parameters[i]; p.Value < c.Low || p.Value > c.High {
					beyond++
					t.Logf("%v %d: %s = %.3g, by the right readings %.3g (%.3g to %.3g)", kind, seed, p.Name, p.Value, c.Value, c.Low, c.High)
				}
			}
		}
	}
	t.Logf("of %d spoiled readings %d are named, %d with the right slip; %d right ones too; %d of %d parameters beyond their range", spoiled, named, right, innocent, beyond, parameters)
	if named < spoiled-1 || right < named-1 || innocent > 0 || beyond > 1 {
		t.Errorf("of %d spoiled readings %d are named, %d with the right slip; %d right ones too; %d of %d parameters beyond their range", spoiled, named, right, innocent, beyond, parameters)
	}
}

// A stray timing among repeats, and a reading under the date of another month,
// are found by the fit without them.
func TestSlipsOfTimingAndDate(t *testing.T) {
	rain, pet := forcing(2)
	creek := stream.Curve{SoilDepthMM: 60, QuickFraction: 0.1, QuickDays: 1, RecessionDays: 40, FloorM3S: 0.0002, GainM3S: 0.002, Exponent: 1, AreaM2: 2e5}
	flow := creek.Flow(nil, rain, pet)
	var gs []stream.Gauging
	for i, day := range []int{20, 60, 75, 95, 120, 150, 185, 220, 250, 290, 330, 400, 440, 480, 530, 600} {
		fill := 0.02 / flow[day]
		r, err := stream.Bucket(0.02, []float64{fill * 1.02, fill * 0.99, fill})
		if err != nil {
			t.Fatal(err)
		}
		gs = append(gs, stream.Gauging{Date: octoberFirst.AddDate(0, 0, day), Method: "bucket", FlowM3S: r.FlowM3S, ErrorM3S: r.ErrorM3S, VolumeM3: 0.02, Seconds: []float64{fill * 1.02, fill * 0.99, fill}, Line: i + 2})
	}
	fit := func(gs []stream.Gauging) *stream.Fitted {
		f, err := stream.Fit(context.Background(), stream.CurveKind, stream.Data{Start: octoberFirst, RainMM: rain, PETMM: pet, Gaugings: gs}, stream.FitOptions{AreaM2: 2e5, Rounds: -1})
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	if f := fit(gs); len(f.Suspects) > 0 {
		t.Errorf("right readings are left out: %+v", f.Suspects)
	}

	strayed := slices.Clone(gs)
	g := &strayed[5]
	g.Seconds = slices.Clone(g.Seconds)
	g.Seconds[1] *= 10
	r, err := stream.Bucket(g.VolumeM3, g.Seconds)
	if err != nil {
		t.Fatal(err)
	}
	g.FlowM3S, g.ErrorM3S = r.FlowM3S, r.ErrorM3S
	f := fit(strayed)
	if len(f.Suspects) != 1 || !strings.HasPrefix(f.Suspects[0].Slip.What, "a stray timing of ") || math.Abs(f.Suspects[0].Slip.Gauging.FlowM3S/gs[5].FlowM3S-1) > 0.03 {
		t.Errorf("a timing ten times too long: %+v", f.Suspects)
	}
	if says := strings.Join(report.FitVerdict(f, measure.Metric), " "); !strings.Contains(says, "line 7 of gaugings.csv") || !strings.Contains(says, "a stray timing") {
		t.Errorf("the verdict does not name it: %s", says)
	}

	// A reading is written down under the month after, or under the year after.
	for _, c := range []struct {
		reading, months int
		what            string
	}{{0, 1, "the month one off, 21 October 2014"}, {7, 1, "the month one off, 9 May 2015"}, {3, 12, "the year one off, 4 January 2015"}} {
		misdated := slices.Clone(gs)
		m := &misdated[c.reading]
		m.Date = m.Date.AddDate(0, c.months, 0)
		f = fit(misdated)
		if len(f.Suspects) != 1 || f.Suspects[0].Gauging.Line != m.Line {
			t.Errorf("%s: %+v", c.what, f.Suspects)
			continue
		}
		if says := strings.Join(report.FitVerdict(f, measure.Metric), " "); !strings.Contains(says, c.what) {
			t.Errorf("%s: %s", c.what, says)
		}
	}
}
