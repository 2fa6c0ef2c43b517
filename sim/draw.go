package sim

import (
	"hash/fnv"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Cause is one of the things that nobody knows for sure.
type Cause int

// The causes of doubt.
const (
	TheSky        Cause = iota // which of the skies that sun hours and rain allow
	TheCreek                   // the parameters of its model
	TheSunHours                // how much sun a month has
	TheHead                    // gross
	TheFlow                    // all of it alike
	TheEfficiency              // of machine, alternator and cable
	TheLoads                   // what the appliances take
	ThePrices
	Causes int = iota // their number
)

// Draw is one set of what nobody knows for sure: for each cause a number. 0 is
// the middle, what the site says; each other number stands for one value, drawn
// at random once and for all. Alternatives that are compared under one draw
// meet the same sky, creek and house.
type Draw [Causes]int

// DrawOf returns the draw that has number i for every cause: 0 is the middle.
func DrawOf(i int) Draw {
	var d Draw
	for c := range d {
		d[c] = i
	}
	return d
}

// DrawsTo returns the draws 1 to n.
func DrawsTo(n int) []Draw {
	var ds []Draw
	for i := range n {
		ds = append(ds, DrawOf(i+1))
	}
	return ds
}

// layer is the number of draws that together lie evenly over what a cause may
// be.
const layer = 20

// Z returns how many standard deviations off the middle a part of a cause lies
// in draw number i: 0 for i = 0, and for the others a normal number that depends
// on the seed, the cause, the part and i alone. Of any 20 numbers from 20k + 1
// to 20k + 20 one lies in each twentieth of the normal, in an order of each
// part's own: a Latin hypercube.
//
// Ref: M. D. McKay, R. J. Beckman, W. J. Conover, Technometrics 21, 1979,
// 239–245.
func Z(seed uint64, c Cause, part, i int) float64 {
	if i <= 0 {
		return 0
	}
	block := (i - 1) / layer
	h := fnv.New64a()
	for _, v := range []uint64{seed, uint64(c), uint64(part), uint64(block)} {
		var b [8]byte
		for k := range b {
			b[k] = byte(v >> (8 * k))
		}
		h.Write(b[:])
	}
	rng := rand.New(rand.NewPCG(h.Sum64(), 0x5eed))
	order := rng.Perm(layer)
	within := 0.0
	for range (i-1)%layer + 1 {
		within = rng.Float64()
	}
	return distuv.UnitNormal.Quantile((float64(order[(i-1)%layer]) + within) / layer)
}

// tenthSD is how many standard deviations a tenth of a normal lies off the
// middle.
const tenthSD = 1.2815515655446004

// Factor returns the factor for a value that in 8 cases of 10 lies within a
// share of what was told, z standard deviations off: 1 + share for a z that one
// case in ten exceeds, and 1/(1 + share) as far below.
func Factor(fraction, z float64) float64 { return math.Pow(1+fraction, z/tenthSD) }

// Doubt is an answer as it is with the middle values and in each of the draws.
type Doubt struct {
	Middle float64
	Draws  []float64 // by draw; may be +Inf for one that has no answer
}

// Times returns the same answer in another unit.
func (d Doubt) Times(by float64) Doubt {
	out := Doubt{Middle: by * d.Middle}
	for _, v := range d.Draws {
		out.Draws = append(out.Draws, by*v)
	}
	return out
}

// Median returns the middle of the draws; without draws, the answer itself.
func (d Doubt) Median() float64 {
	if len(d.Draws) == 0 {
		return d.Middle
	}
	s := NewSpread(d.Draws)
	n := len(s)
	if n%2 == 1 || s[n/2-1] == s[n/2] {
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}

// Range returns the 8-in-10 range of the answer: of n draws the k-th least and
// the k-th greatest, k = (n + 1)/10 to the nearest whole number and 1 at least,
// between which one more draw lies with odds of (n + 1 − 2k)/(n + 1). Without
// draws it is the answer itself.
func (d Doubt) Range() (low, high float64) {
	n := len(d.Draws)
	if n == 0 {
		return d.Middle, d.Middle
	}
	s := NewSpread(d.Draws)
	k := max(1, int(math.Round(float64(n+1)/10)))
	k = min(k, (n+1)/2)
	return s[k-1], s[n-k]
}

// Count returns in how many of the draws the answer is as asked; without draws,
// of the one answer there is.
func (d Doubt) Count(is func(float64) bool) (n, of int) {
	draws := d.Draws
	if len(draws) == 0 {
		draws = []float64{d.Middle}
	}
	for _, v := range draws {
		if is(v) {
			n++
		}
	}
	return n, len(draws)
}
