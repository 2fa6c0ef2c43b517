package stream

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Runoff is the fraction of the rain on the catchment that the creek carries off.
type Runoff struct {
	Fraction float64  // over the whole record, as the readings have it
	Slips    []string // where the share is not possible: what may have been taken for something else, the likeliest first
}

// What share of the rain may run off: beyond that something is amiss. Over a
// year the small creeks of humid land carry 0.2 to 0.7, of dry land down to
// 0.05; more than all the rain comes from another valley alone. From memory.
const (
	minRunoff   = 0.05
	maxRunoff   = 1.2
	usualRunoff = 0.4
)

// Impossible tells that no creek carries off such a share.
func (r Runoff) Impossible() bool { return r.Fraction < minRunoff || r.Fraction > maxRunoff }

// Runoff returns the fraction of the rain on the catchment that runs off over a
// record, and false where the area is not known but fitted, and so tells
// nothing. Where the area holds the model back, as it does the catchment model,
// readings in a wrong unit distort the fit instead of showing: then it is a fit
// with a free area that tells, if what it tells is not possible.
func (f *Fitted) Runoff(ctx context.Context, d Data) (Runoff, bool, error) {
	rain := meanOf(d.RainMM)
	if f.t.space.areaM2 <= 0 || !(rain > 0) {
		return Runoff{}, false, nil
	}
	fraction := func(m Model) float64 {
		return meanOf(m.Flow(nil, d.RainMM, d.PETMM)) / m3sPerMMD(f.t.space.areaM2) / rain
	}
	r := Runoff{Fraction: fraction(f.Model)}
	if f.Kind == CatchmentKind {
		d.Gaugings = f.all
		free, err := Fit(ctx, f.Kind, d, FitOptions{Seed: f.seed, Rounds: -1, NoTest: true})
		if err != nil {
			return Runoff{}, false, err
		}
		if other := (Runoff{Fraction: fraction(free.Model)}); other.Impossible() {
			r = other
		}
	}
	if r.Impossible() {
		r.Slips = runoffSlips(r.Fraction)
	}
	return r, true, nil
}

// runoffSlips returns the mistakes that would make a share a usual one.
func runoffSlips(fraction float64) []string {
	type slip struct {
		what  string
		times float64 // the true share over the one that came out
		from  float64
	}
	all := []slip{
		{"the area in acres, not hectares", 2.4710538, 0},
		{"the area in hectares, not acres", 0.40468564, 0},
		{"the area in hectares, not km²", 100, 0},
		{"the area in km², not hectares", 0.01, 0},
		{"the area in km², not square miles", 2.5899881, 0},
		{"the area in square miles, not km²", 0.38610216, 0},
		{"the readings in gal/min, not L/s", 0.0630902, 0},
		{"the readings in L/s, not gal/min", 15.850323, 0},
		{"the readings in L/min, not L/s", 1.0 / 60, 0},
		{"the readings in m³/s, not L/s", 1000, 0},
		{"the readings in m³/h, not L/s", 1 / 3.6, 0},
		{"the buckets in gallons, not litres", 3.785411784, 0},
		{"the rain in inches, not mm", 1 / 25.4, 0},
		{"the rain in mm, not inches", 25.4, 0},
	}
	var likely []slip
	for _, s := range all {
		if v := fraction * s.times; v >= 0.07 && v <= 1.05 {
			s.from = math.Abs(math.Log(v / usualRunoff))
			likely = append(likely, s)
		}
	}
	slices.SortStableFunc(likely, func(a, b slip) int { return cmp.Compare(a.from, b.from) })
	var words []string
	for _, s := range likely[:min(3, len(likely))] {
		words = append(words, s.what)
	}
	return append(words, "another rain gauge than the catchment's (or water from another valley)")
}
