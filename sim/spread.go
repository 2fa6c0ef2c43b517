package sim

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Spread is how a result spreads over years, over draws, or over both: the
// values from the least to the greatest.
type Spread []float64

// NewSpread sorts a copy of the values.
func NewSpread(values []float64) Spread { return slices.Sorted(slices.Values(values)) }

// At returns the least value that at least the given share of the values, 0 to
// 1, stays at or below: At(0.8) is that of the 1-in-5 year. NaN without a value.
func (s Spread) At(share float64) float64 {
	if len(s) == 0 {
		return math.NaN()
	}
	return stat.Quantile(share, stat.Empirical, s, nil)
}

// Mean returns the mean, NaN without a value.
func (s Spread) Mean() float64 { return stat.Mean(s, nil) }

// Counted is [Spread.At] for values that are counted instead of kept: counts[i]
// is how often the value i was met.
func Counted(counts []int32, share float64) float64 {
	var values, weights []float64
	for i, n := range counts {
		if n > 0 {
			values, weights = append(values, float64(i)), append(weights, float64(n))
		}
	}
	if values == nil {
		return math.NaN()
	}
	return stat.Quantile(share, stat.Empirical, values, weights)
}
