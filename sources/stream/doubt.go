package stream

import "math"

// Span is the 80 % range of a parameter, in the unit of its name.
type Span struct{ Low, High float64 }

// knob is one parameter of a model, in the unit that stream.csv has it in.
type knob struct {
	name             string
	at               *float64
	factor           float64 // SI for one unit of the name
	usual            Span    // over catchments, where nothing was fitted; a factor on the value where relative
	relative         bool
	linear           bool // spreads in the value, not in its logarithm
	minimum, maximum float64
}

// knobs are the parameters of a curve. The usual ranges of soil, quick flow and
// recession are those that [Fit] begins with, a judgement; that floor and gain
// of a described creek are good to a factor of two either way is one too.
func (c *Curve) knobs() []knob {
	ks := []knob{
		{name: "soil_depth_mm", at: &c.SoilDepthMM, factor: 1, usual: Span{20, 250}, minimum: 1, maximum: 2000},
		{name: "quick_share", at: &c.QuickFraction, factor: 1, usual: Span{0.05, 0.5}, maximum: 0.95},
		{name: "quick_days", at: &c.QuickDays, factor: 1, usual: Span{0.5, 4}, minimum: 0.05, maximum: 30},
		{name: "recession_days", at: &c.RecessionDays, factor: 1, usual: Span{10, 140}, minimum: 1, maximum: 1000},
	}
	if c.Table == nil {
		ks = append(ks,
			knob{name: "floor_lps", at: &c.FloorM3S, factor: 1e-3, usual: Span{0.5, 2}, relative: true, maximum: math.Inf(1)},
			knob{name: "gain_lps", at: &c.GainM3S, factor: 1e-3, usual: Span{0.5, 2}, relative: true, maximum: math.Inf(1)},
			knob{name: "exponent", at: &c.Exponent, factor: 1, usual: Span{0.7, 1.8}, minimum: 0.2, maximum: 4})
	}
	return append(ks, knob{name: "area_km2", at: &c.AreaM2, factor: 1e6, maximum: math.Inf(1)})
}

// knobs are the parameters of GR4J with the ranges that it was published with;
// see [Catchment].
func (c *Catchment) knobs() []knob {
	return []knob{
		{name: "x1_mm", at: &c.X1MM, factor: 1, usual: Span{100, 1200}, minimum: 1, maximum: 10000},
		{name: "x2_mm_day", at: &c.X2MMD, factor: 1, usual: Span{-5, 3}, linear: true, minimum: -30, maximum: 30},
		{name: "x3_mm", at: &c.X3MM, factor: 1, usual: Span{20, 300}, minimum: 1, maximum: 5000},
		{name: "x4_days", at: &c.X4D, factor: 1, usual: Span{1.1, 2.9}, minimum: 0.5, maximum: maxX4},
		{name: "area_km2", at: &c.AreaM2, factor: 1e6, maximum: math.Inf(1)},
	}
}

// Unsure returns a model whose parameters lie z[i] standard deviations off its
// own, each by itself: where fitted tells a parameter's range, within that, its
// value being the middle; else, where it is nil, over the width of the usual
// range. The area of the catchment is sure unless it was fitted. z needs
// [MaxParameters] numbers; all zero, the model is unchanged. m must be a Curve or a
// Catchment.
func Unsure(m Model, fitted map[string]Span, z []float64) Model {
	switch c := m.(type) {
	case Curve:
		turn(c.knobs(), fitted, z)
		return c
	case Catchment:
		turn(c.knobs(), fitted, z)
		return c
	}
	panic("stream: a model without parameters")
}

// MaxParameters is the greatest number of parameters of a model.
const MaxParameters = 8

func turn(ks []knob, fitted map[string]Span, z []float64) {
	for i, k := range ks {
		if z[i] == 0 {
			continue
		}
		v := *k.at / k.factor
		r, known := fitted[k.name]
		if !known {
			switch {
			case fitted != nil || k.usual == (Span{}):
				continue // sure
			case k.relative:
				r = Span{v * k.usual.Low, v * k.usual.High}
			case k.linear:
				half := (k.usual.High - k.usual.Low) / 2
				r = Span{v - half, v + half}
			default:
				half := math.Sqrt(k.usual.High / k.usual.Low)
				r = Span{v / half, v * half}
			}
		}
		edge := r.High
		if z[i] < 0 {
			edge = r.Low
		}
		steps := math.Abs(z[i]) / tenthOfNormal
		if k.linear || v <= 0 || edge <= 0 {
			v += (edge - v) * steps
		} else {
			v *= math.Pow(edge/v, steps)
		}
		*k.at = math.Max(k.minimum, math.Min(k.maximum, v)) * k.factor
	}
}

// tenthOfNormal is how many standard deviations a tenth of a normal lies below the
// middle.
const tenthOfNormal = 1.2815515655446004
