package stream

import (
	"errors"
	"fmt"
	"math"
)

// FloatRun is a float timed over a straight reach of the creek.
type FloatRun struct {
	WidthM    float64
	DepthsM   []float64 // at equal steps from bank to bank, the banks' zeros left out
	DistanceM float64
	Seconds   []float64 // repeated timings
	Bed       string    // "rocky", "gravel" or "smooth"
}

// Beds lists the beds that a [FloatRun] knows.
var Beds = [...]string{"rocky", "gravel", "smooth"}

// bedFactor returns the mean velocity as a fraction of the float's. 0.8 for a
// rough or rocky bed and 0.9 for a smooth one are the factors of [EPA], 0.85
// the usual middle; all from memory.
func bedFactor(bed string) (float64, bool) {
	switch bed {
	case "rocky":
		return 0.8, true
	case "gravel":
		return 0.85, true
	case "smooth":
		return 0.9, true
	}
	return 0, false
}

// floatError is the method's error beside the timings: the bed factor, the
// section and the path of the float; from memory.
const floatError = 0.20

// Float returns the flow A·k·L/t of a float run: A the section between equally
// spaced depths, k the bed's factor, L the distance, t the mean time. Ref: [EPA].
func Float(f FloatRun) (Reading, error) {
	k, ok := bedFactor(f.Bed)
	if !ok {
		return Reading{}, fmt.Errorf("bed %q is not known: rocky, gravel or smooth", f.Bed)
	}
	if !(f.WidthM > 0) || !(f.DistanceM > 0) || math.IsInf(f.WidthM+f.DistanceM, 0) {
		return Reading{}, errors.New("width and distance must be above zero")
	}
	if len(f.DepthsM) == 0 {
		return Reading{}, errors.New("no depth is given")
	}
	sum := 0.0
	for _, d := range f.DepthsM {
		if !(d >= 0) || math.IsInf(d, 0) {
			return Reading{}, fmt.Errorf("a depth of %g m is not possible", d)
		}
		sum += d
	}
	if sum == 0 {
		return Reading{}, errors.New("every depth is zero")
	}
	mean, timing, err := timings(f.Seconds)
	if err != nil {
		return Reading{}, err
	}
	areaM2 := f.WidthM / float64(len(f.DepthsM)+1) * sum
	r := reading("float", areaM2*k*f.DistanceM/mean, timing, floatError)
	if len(f.DepthsM) < 3 {
		r.caution("%s: take at least 3 across the creek", count(len(f.DepthsM), "depth"))
	}
	if len(f.Seconds) < 3 {
		r.caution("%s: take at least 3, in mid-stream and beside it", count(len(f.Seconds), "run"))
	}
	if mean < 10 {
		r.caution("the float passes in %.1f s: a longer reach, of 10 s or more, is surer", mean)
	}
	return r, nil
}
