package plots

import "sunrill/sim/measure"

// orUsual returns a scale, or the given one where none was set. Chart functions
// take SI and a [measure.Scale] wherever a household may prefer other units.
func orUsual(s, usual measure.Scale) measure.Scale {
	if s.Factor == 0 {
		return usual
	}
	return s
}

// The usual scales of flows in m³/s and of rain in mm.
var (
	litresPerSecond = measure.Scale{Unit: "L/s", Factor: 1000}
	millimetres     = measure.Scale{Unit: "mm", Factor: 1}
)

func scaled(vs []float64, f func(float64) float64) []float64 {
	out := make([]float64, len(vs))
	for i, v := range vs {
		out[i] = f(v)
	}
	return out
}
