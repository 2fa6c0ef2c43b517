package stream

import (
	"errors"
	"fmt"
	"math"
)

// Weir is a sharp-crested weir and the pool behind it. HeadM is read a few
// heads upstream, where the surface is still level, from the notch's point or
// the crest.
type Weir struct {
	NotchDeg float64 // angle of a V-notch; 0: a rectangular notch
	WidthM   float64 // of a rectangular notch
	HeadM    float64

	SillM      float64 // from the pool's bed up to the notch; 0: not told, deep
	PoolWidthM float64 // 0: not told, wide
	BelowM     float64 // from the notch down to the water downstream; valid if BelowTold
	BelowTold  bool
	HeadErrorM float64 // of the reading; 0: 2 mm
}

// Limits of [WMM] and of the standards that share its formulas; from memory,
// but for the least head of 0.2 ft and the free fall of 0.2 ft.
const (
	minHeadM      = 0.06
	greatestHeadM = 0.38 // V-notch
	freeFallM     = 0.06

	headErrorM    = 0.002
	weirError     = 0.05 // new weirs: ± 5 % expected by a US state water board
	poorWeirError = 0.10 // outside the limits; a judgement
	minNotchDeg   = 25
	maxNotchDeg   = 100
	minWidthM     = 0.15
	kindsvaterKhM = 0.001 // rectangular: 0.003 ft
	gravityMS2    = 9.80665
	feetM         = 0.3048
	francisFt     = 3.33 // ft^½/s
)

// Gauge returns the weir's flow with its error, or says why the weir does not
// measure: too shallow, drowned, outside its formula.
//
// A V-notch goes by [KindsvaterShen]; a rectangular notch by
// [KindsvaterCarter] where sill and pool are told, else by [Francis].
func (w Weir) Gauge() (Reading, error) {
	if err := w.check(); err != nil {
		return Reading{}, err
	}
	var flowM3S, power float64
	switch {
	case w.NotchDeg > 0:
		flowM3S, power = KindsvaterShen(w.NotchDeg, w.HeadM), 2.5
	case w.SillM > 0 && w.PoolWidthM > 0:
		flowM3S, power = KindsvaterCarter(w.WidthM, w.HeadM, w.SillM, w.PoolWidthM), 1.5
	default:
		flowM3S, power = Francis(w.WidthM, w.HeadM), 1.5
	}
	cautions := w.cautions()
	form := weirError
	if len(cautions) > 0 {
		form = poorWeirError
	}
	read := w.HeadErrorM
	if read == 0 {
		read = headErrorM
	}
	r := reading("weir", flowM3S, form, power*read/w.HeadM)
	r.Cautions = cautions
	return r, nil
}

func (w Weir) check() error {
	for _, v := range []float64{w.NotchDeg, w.WidthM, w.HeadM, w.SillM, w.PoolWidthM, w.HeadErrorM} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fmt.Errorf("%g is no measure of a weir", v)
		}
	}
	switch {
	case w.NotchDeg == 0 && w.WidthM == 0:
		return errors.New("the weir needs the angle of its notch or the width of its crest")
	case w.NotchDeg > 0 && w.WidthM > 0:
		return errors.New("a weir has a V-notch or a rectangular one: give the angle or the width")
	case w.NotchDeg > 0 && (w.NotchDeg < minNotchDeg || w.NotchDeg > maxNotchDeg):
		return fmt.Errorf("a notch of %g° is outside the formula: %d° to %d°", w.NotchDeg, minNotchDeg, maxNotchDeg)
	case w.BelowTold && !(w.BelowM > 0):
		return errors.New("the weir is drowned: the water downstream must stand below the notch; raise the weir or clear the outlet")
	case w.HeadM < minHeadM:
		return fmt.Errorf("a head of %.1f cm is too shallow: below 6 cm (0.2 ft) the water clings to the plate; use a narrower notch or a bucket", 100*w.HeadM)
	case w.NotchDeg == 0 && w.HeadM > w.WidthM/2:
		return fmt.Errorf("a head of %.0f cm is too much for a crest of %.0f cm: above half the width the formula fails; widen the notch", 100*w.HeadM, 100*w.WidthM)
	case w.PoolWidthM > 0 && w.PoolWidthM < w.WidthM:
		return errors.New("the pool is narrower than the crest")
	}
	return nil
}

func (w Weir) cautions() []string {
	var r Reading
	if w.BelowTold && w.BelowM < freeFallM {
		r.caution("the water downstream stands only %.0f cm below the notch: at least 6 cm lets air under the jet", 100*w.BelowM)
	}
	if w.NotchDeg > 0 {
		if w.HeadM > greatestHeadM {
			r.caution("a head of %.0f cm is above the 38 cm that V-notches are tried for", 100*w.HeadM)
		}
		if w.SillM > 0 && w.HeadM > 0.4*w.SillM {
			r.caution("the head is more than 0.4 of the notch's height over the bed: deepen the pool")
		}
		if w.PoolWidthM > 0 && w.HeadM > 0.2*w.PoolWidthM {
			r.caution("the head is more than a fifth of the pool's width: widen the pool")
		}
		return r.Cautions
	}
	if w.WidthM < minWidthM {
		r.caution("a crest of %.0f cm is narrower than the 15 cm that rectangular weirs are tried for", 100*w.WidthM)
	}
	if w.SillM > 0 && w.HeadM > 2*w.SillM {
		r.caution("the head is more than twice the crest's height over the bed: deepen the pool")
	}
	if w.SillM > 0 && w.PoolWidthM > 0 {
		return r.Cautions
	}
	// Francis holds where the jet is free to contract at both ends.
	if w.HeadM > w.WidthM/3 {
		r.caution("the head is more than a third of the crest's width")
	}
	if w.SillM > 0 && w.SillM < 2*w.HeadM {
		r.caution("the crest should stand two heads over the bed")
	}
	if w.PoolWidthM > 0 && (w.PoolWidthM-w.WidthM)/2 < 2*w.HeadM {
		r.caution("the pool should reach two heads beyond each end of the crest")
	}
	return r.Cautions
}

// KindsvaterShen returns the flow over a fully contracted V-notch in m³/s,
//
//	Q = 8/15 · Ce · √(2g) · tan(θ/2) · (h + kh)^(5/2)
//
// for θ from 25° to 100°, h from 6 to 38 cm: [WMM] section 7. Ce and kh follow
// the book's two curves by polynomials quoted from memory; at 90° they give its
// 0.578 and 0.0029 ft.
func KindsvaterShen(notchDeg, headM float64) float64 {
	t := notchDeg
	ce := 0.607165052 - 0.000874466963*t + 6.10393334e-6*t*t
	khFt := 0.0144902648 - 0.00033955535*t + 3.29819003e-6*t*t - 1.06215442e-8*t*t*t
	return 8.0 / 15 * ce * math.Sqrt(2*gravityMS2) * math.Tan(t/2*math.Pi/180) *
		math.Pow(headM+khFt*feetM, 2.5)
}

// Francis returns the flow over a rectangular notch with both ends contracted,
// in m³/s: 3.33·(L − 0.2h)·h^(3/2) in feet, for h up to L/3. Ref: [WMM] section 7.
func Francis(widthM, headM float64) float64 {
	return francisFt * math.Sqrt(feetM) * (widthM - 0.2*headM) * math.Pow(headM, 1.5)
}

// KindsvaterCarter returns the flow over a rectangular notch of any
// contraction, in m³/s,
//
//	Q = Ce · 2/3 · √(2g) · (b + kb) · (h + kh)^(3/2)    Ce = α + β·h/P
//
// with b the crest's width, P its height over the bed, and α, β, kb by b as a
// fraction of the pool's width: [WMM] section 7, the table from memory. For h ≥ 3
// cm, h/P ≤ 2, b ≥ 15 cm, P ≥ 10 cm.
func KindsvaterCarter(widthM, headM, sillM, poolWidthM float64) float64 {
	table := [...]struct{ fraction, alpha, beta, kbM float64 }{
		{0, 0.587, -0.0023, 0.0024},
		{0.2, 0.589, -0.0018, 0.0024},
		{0.4, 0.591, 0.0058, 0.0027},
		{0.6, 0.593, 0.018, 0.0036},
		{0.8, 0.597, 0.045, 0.0042},
		{1, 0.602, 0.075, -0.0009},
	}
	x := math.Min(1, widthM/poolWidthM)
	i := min(int(x/0.2), len(table)-2)
	a, b := table[i], table[i+1]
	mix := func(a1, b1 float64) float64 { return a1 + (x-a.fraction)/(b.fraction-a.fraction)*(b1-a1) }
	ce := mix(a.alpha, b.alpha) + mix(a.beta, b.beta)*headM/sillM
	return ce * 2.0 / 3 * math.Sqrt(2*gravityMS2) *
		(widthM + mix(a.kbM, b.kbM)) * math.Pow(headM+kindsvaterKhM, 1.5)
}
