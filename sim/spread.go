package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"
)

// Spread is how a result spreads over years, over draws, or over both: the
// values from the least to the greatest.
type Spread []float64

// NewSpread sorts a copy of the values.
func NewSpread(values []float64) Spread { return slices.Sorted(slices.Values(values)) }

// At returns the least value that at least the given share of the values, 0 to
// 1, stays at or below: At(0.8) is that of the 1-in-5 year. NaN without a value.
func (s Spread) At(fraction float64) float64 {
	if len(s) == 0 {
		return math.NaN()
	}
	return stat.Quantile(fraction, stat.Empirical, s, nil)
}

// Mean returns the mean, NaN without a value.
func (s Spread) Mean() float64 { return stat.Mean(s, nil) }

// Counted is [Spread.At] for values that are counted instead of kept: counts[i]
// is how often the value i was met.
func Counted(counts []int32, fraction float64) float64 {
	var values, weights []float64
	for i, n := range counts {
		if n > 0 {
			values, weights = append(values, float64(i)), append(weights, float64(n))
		}
	}
	if values == nil {
		return math.NaN()
	}
	return stat.Quantile(fraction, stat.Empirical, values, weights)
}

// Range is how far a figure reaches in the middle share of cases.
type Range struct {
	Low  float64
	High float64
}

// Middle is the share of cases that a range holds where nothing else is said: 8
// in 10.
const Middle = 0.8

// AtRange returns where [Spread.At] comes out in the middle share of sets of so
// many years drawn from these: with as many as there are, how sure they make it.
// It is exact: the k-th of m drawn values stays at or below v, which a share F of
// the values does, with the chance
//
//	P(Binomial(m, F) ≥ k) = I_F(k, m − k + 1)
//
// I is the incomplete beta function. Ref: B. Efron, Bootstrap methods: another
// look at the jackknife, Annals of Statistics 7, 1979, sect. 3, from memory.
func (s Spread) AtRange(fraction float64, years int, middle float64) Range {
	n := float64(len(s))
	return atRange(fraction, years, middle, len(s), func(i int) (float64, float64) { return s[i], float64(i+1) / n })
}

// CountedRange is [Spread.AtRange] for values that are counted.
func CountedRange(counts []int32, fraction float64, years int, middle float64) Range {
	total, below := 0.0, 0.0
	var values, fractions []float64
	for _, n := range counts {
		total += float64(n)
	}
	for i, n := range counts {
		if n > 0 {
			below += float64(n)
			values, fractions = append(values, float64(i)), append(fractions, below/total)
		}
	}
	return atRange(fraction, years, middle, len(values), func(i int) (float64, float64) { return values[i], fractions[i] })
}

// atRange takes n values, rising, each with the share that stays at or below it.
func atRange(fraction float64, years int, middle float64, n int, of func(i int) (value, below float64)) Range {
	r := Range{math.NaN(), math.NaN()}
	k := math.Max(1, math.Ceil(fraction*float64(years)-1e-9))
	for i := range n {
		value, below := of(i)
		p := 1.0
		if below < 1 {
			p = mathext.RegIncBeta(k, float64(years)-k+1, below)
		}
		if p >= (1-middle)/2 && math.IsNaN(r.Low) {
			r.Low = value
		}
		if p >= (1+middle)/2 && math.IsNaN(r.High) {
			r.High = value
		}
	}
	return r
}

// CountedMeanRange returns where the mean of so many years drawn from counted
// values comes out in the middle share of 2,000 sets; more than 200 years are
// taken as normal.
func CountedMeanRange(counts []int32, years int, middle float64) Range {
	var values, weights []float64
	for i, n := range counts {
		if n > 0 {
			values, weights = append(values, float64(i)), append(weights, float64(n))
		}
	}
	if values == nil || years < 1 {
		return Range{math.NaN(), math.NaN()}
	}
	if years > 200 {
		mean, variance := stat.MeanVariance(values, weights)
		away := math.Sqrt(variance/float64(years)) * math.Sqrt2 * math.Erfinv(middle)
		return Range{mean - away, mean + away}
	}
	total := 0.0
	for i, w := range weights {
		total += w
		weights[i] = total
	}
	rng := rand.New(rand.NewPCG(1, uint64(years)))
	const sets = 2000
	means := make([]float64, sets)
	for k := range means {
		for range years {
			means[k] += values[sort.SearchFloat64s(weights, total*(1-rng.Float64()))] / float64(years)
		}
	}
	s := NewSpread(means)
	return Range{s.At((1 - middle) / 2), s.At((1 + middle) / 2)}
}
