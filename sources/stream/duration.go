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

// FlowM3S returns the flow that is exceeded on a share of the days, 0 to 1; 0
// for an empty record.
func (d Duration) FlowM3S(share float64) float64 {
	if len(d.sortedM3S) == 0 {
		return 0
	}
	return quantile(d.sortedM3S, min(1, max(0, share)))
}

// Exceeded returns the share of days, 0 to 1, with more than the given flow.
func (d Duration) Exceeded(flowM3S float64) float64 {
	if len(d.sortedM3S) == 0 {
		return 0
	}
	n, _ := slices.BinarySearchFunc(d.sortedM3S, flowM3S, func(have, want float64) int {
		return compare(want, have)
	})
	return float64(n) / float64(len(d.sortedM3S))
}

// BucketSeconds returns the time in s in which a flow fills a bucket.
func BucketSeconds(volumeM3, flowM3S float64) float64 { return volumeM3 / flowM3S }
