package stream

import "slices"

// Duration is a flow-duration curve: the flows of a record, sorted.
type Duration struct {
	sortedM3S []float64 // falling
}

// NewDuration sorts the flows of a record.
func NewDuration(flowM3S []float64) Duration {
	s := slices.Clone(flowM3S)
	slices.Sort(s)
	slices.Reverse(s)
	return Duration{s}
}

// FlowM3S returns the flow that is exceeded on a fraction of the days, 0 to 1; 0
// for an empty record.
func (d Duration) FlowM3S(fraction float64) float64 {
	if len(d.sortedM3S) == 0 {
		return 0
	}
	return quantile(d.sortedM3S, min(1, max(0, fraction)))
}

// quantile reads a fraction of sorted values, on straight lines between them.
func quantile(sorted []float64, fraction float64) float64 {
	x := fraction * float64(len(sorted)-1)
	i := min(int(x), len(sorted)-1)
	if i == len(sorted)-1 {
		return sorted[i]
	}
	return sorted[i] + (x-float64(i))*(sorted[i+1]-sorted[i])
}
