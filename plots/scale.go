package plots

// Scale turns SI numbers into numbers of the unit that an axis is printed in:
// number = SI·Factor + Offset. Chart functions take SI and a Scale wherever a
// household may prefer other units.
type Scale struct {
	Unit           string
	Factor, Offset float64
}

// Of returns si in the scale's unit.
func (s Scale) Of(si float64) float64 { return si*s.Factor + s.Offset }

// All returns a new slice with every value in the scale's unit.
func (s Scale) All(si []float64) []float64 { return scaled(si, s.Of) }

// or returns the scale, or the given one where none was set.
func (s Scale) or(usual Scale) Scale {
	if s.Factor == 0 {
		return usual
	}
	return s
}

// The usual scales of flows in m³/s and of rain in mm.
var (
	litresPerSecond = Scale{Unit: "L/s", Factor: 1000}
	millimetres     = Scale{Unit: "mm", Factor: 1}
)

func scaled(vs []float64, f func(float64) float64) []float64 {
	out := make([]float64, len(vs))
	for i, v := range vs {
		out[i] = f(v)
	}
	return out
}
