package hydro_test

import (
	"math"
	"testing"

	"sunrill/sources/hydro"
)

// The K of each fitting lies in the range that handbooks print for it
// (as pe-calc.com and lmnoeng.com tabulate them).
func TestFittingsAgainstHandbookRanges(t *testing.T) {
	flush := hydro.Fittings{}.K()
	for name, c := range map[string]struct {
		f         hydro.Fittings
		low, high float64
	}{
		"flush entrance":      {hydro.Fittings{}, 0.5, 0.5},
		"rounded entrance":    {hydro.Fittings{Entrance: "rounded"}, 0.04, 0.25},
		"projecting entrance": {hydro.Fittings{Entrance: "projecting"}, 0.8, 1.0},
		"90° elbow":           {hydro.Fittings{Bends90: 1}, flush + 0.9, flush + 1.5},
		"45° elbow":           {hydro.Fittings{Bends45: 1}, flush + 0.2, flush + 0.4},
		"long bend":           {hydro.Fittings{Sweeps: 1}, flush + 0.2, flush + 0.7},
		"open valve":          {hydro.Fittings{Valves: 1}, flush + 0.05, flush + 0.2},
	} {
		if k := c.f.K(); k < c.low-1e-12 || k > c.high+1e-12 {
			t.Errorf("%s: K = %.2f, handbooks print %.2f to %.2f", name, k, c.low, c.high)
		}
	}
	if k := (hydro.Fittings{Bends90: 2, Bends45: 3, Valves: 1}).K(); math.Abs(k-(0.5+2*0.9+3*0.3+0.2)) > 1e-12 {
		t.Errorf("they do not add up: %g", k)
	}
}

// Two reaches lose what each loses alone, and what the step between them takes.
// The step: White, Fluid Mechanics, sec. 6.9 (from memory), worked by hand here.
func TestReachesLoseWhatEachDoes(t *testing.T) {
	w := hydro.WaterAt(10)
	const q = 3e-3
	base := hydro.Penstock{GrossHeadM: 40, RoughnessM: 1.5e-6}
	alone := func(length, bore float64) float64 {
		p := base
		p.LengthM, p.BoreM = length, bore
		return p.Loss(q, w).FrictionM
	}
	two := base.InReaches([]hydro.Reach{{LengthM: 120, BoreM: 0.100}, {LengthM: 80, BoreM: 0.060}})
	l := two.Loss(q, w)
	if want := alone(120, 0.100) + alone(80, 0.060); math.Abs(l.FrictionM-want) > 1e-12 {
		t.Errorf("friction %.6f m, want %.6f", l.FrictionM, want)
	}
	v := q / (math.Pi / 4 * 0.06 * 0.06)
	if want := 0.42 * (1 - 0.36) * v * v / (2 * 9.80665); math.Abs(l.MinorM-want) > 1e-12 {
		t.Errorf("narrowing takes %.6f m, want %.6f", l.MinorM, want)
	}
	wider := base.InReaches([]hydro.Reach{{LengthM: 80, BoreM: 0.060}, {LengthM: 120, BoreM: 0.100}})
	if got, want := wider.Loss(q, w).MinorM, (1-0.36)*(1-0.36)*v*v/(2*9.80665); math.Abs(got-want) > 1e-12 {
		t.Errorf("widening takes %.6f m, want %.6f", got, want)
	}
	if two.LengthM != 200 || two.BoreM != 0.060 || math.Abs(l.VelocityMS-v) > 1e-12 {
		t.Errorf("%g m of pipe, narrowest %g m, %g m/s", two.LengthM, two.BoreM, l.VelocityMS)
	}
	// Reaches of one bore are that pipe.
	same := base.InReaches([]hydro.Reach{{LengthM: 120, BoreM: 0.060}, {LengthM: 80, BoreM: 0.060}})
	plain := base
	plain.LengthM, plain.BoreM = 200, 0.060
	if a, b := same.Loss(q, w), plain.Loss(q, w); math.Abs(a.TotalM()-b.TotalM()) > 1e-12 {
		t.Errorf("in two reaches of one bore %.6f m, in one %.6f", a.TotalM(), b.TotalM())
	}
	// A wider upper reach never carries less.
	if two.FullFlow(w) <= plain.FullFlow(w) {
		t.Errorf("%g m3/s through the wider pipe, %g through the narrow one", two.FullFlow(w), plain.FullFlow(w))
	}
}
