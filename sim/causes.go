package sim

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// CauseFraction is how much of an answer's spread one cause makes, 0 to 1.
type CauseFraction struct {
	Cause    Cause
	Fraction float64
}

// Blame shares out the spread of an answer: the variance of its conditional
// means over its whole variance, cause by cause, the greatest first. What they
// leave of 1 the causes make together, or the draws are too few to tell.
type Blame struct {
	Fractions []CauseFraction
	Years     float64 // which year comes; 0 where the answer is one of all years
}

// Narrowed returns by what share the spread of the answer would shrink, in
// standard deviations, if a cause of this share were known: 1 − √(1 − S).
func Narrowed(fraction float64) float64 { return 1 - math.Sqrt(1-min(max(fraction, 0), 1)) }

// BlameDraws returns the draws that tell which cause makes how much of a spread:
// n draws, the numbers 1 to n; n others that share nothing with them; and for
// each of the causes the first n again with that cause alone taken from the
// others.
func BlameDraws(n int, causes []Cause) []Draw {
	ds := DrawsTo(2 * n)
	for _, c := range causes {
		for i := range n {
			d := ds[i]
			d[c] = ds[n+i][c]
			ds = append(ds, d)
		}
	}
	return ds
}

// apportion shares out the variance of answers to the draws of [BlameDraws]: by
// the variance of the conditional means, the first-order index of Sobol', with the
// estimator
//
//	V_c = mean of f(B) · (f(A with c of B) − f(A))
//
// on answers less their mean. A cause that does nothing has exactly none.
//
// Ref: I. M. Sobol', Mathematical Modelling and Computational Experiment 1,
// 1993, 407–414; A. Saltelli and others, Computer Physics Communications 181,
// 2010, 259–270, table 2 (b).
func apportion(n int, causes []Cause, f []float64, variance float64) []CauseFraction {
	mean := stat.Mean(f[:2*n], nil)
	fractions := make([]CauseFraction, len(causes))
	for k, c := range causes {
		v := 0.0
		for i := range n {
			v += (f[n+i] - mean) * (f[(2+k)*n+i] - f[i]) / float64(n)
		}
		fractions[k] = CauseFraction{c, 0}
		if variance > 0 {
			fractions[k].Fraction = min(max(v/variance, 0), 1)
		}
	}
	slices.SortStableFunc(fractions, func(a, b CauseFraction) int {
		switch {
		case a.Fraction > b.Fraction:
			return -1
		case a.Fraction < b.Fraction:
			return 1
		}
		return 0
	})
	return fractions
}

// BlameOf shares out the spread of an answer, one value for each of the draws of
// [BlameDraws].
func BlameOf(n int, causes []Cause, answers []float64) Blame {
	return Blame{Fractions: apportion(n, causes, answers, stat.PopVariance(answers[:2*n], nil))}
}

// BlameOfYears shares out the spread of an answer that each year has by itself,
// by draw and by year: of what one does not know who asks for the coming year.
func BlameOfYears(n int, causes []Cause, answers [][]float64) Blame {
	means := make([]float64, len(answers)) // of each draw
	var all []float64
	years := make([]float64, len(answers[0]))
	for d, a := range answers {
		means[d] = stat.Mean(a, nil)
		if d < 2*n {
			all = append(all, a...)
			for y, v := range a {
				years[y] += v / float64(2*n)
			}
		}
	}
	variance := stat.PopVariance(all, nil)
	b := Blame{Fractions: apportion(n, causes, means, variance)}
	if variance > 0 && len(years) > 1 {
		// A year's mean over the draws varies by what the draws leave in it, too.
		left := 0.0
		for d := range 2 * n {
			for y, v := range answers[d] {
				r := v - years[y] - means[d] + stat.Mean(means[:2*n], nil)
				left += r * r
			}
		}
		left /= float64(max((2*n-1)*(len(years)-1), 1))
		b.Years = min(max((stat.Variance(years, nil)-left/float64(2*n))/variance, 0), 1)
	}
	return b
}

// Blames tell what the spread of each decision's answer is made of.
type Blames struct {
	Dark  Blame // unmet hours of the coming year
	Bank  Blame // the deficit that a bank has to carry in four years of five
	Saved Blame // unmet hours that hydro saves in a mean year
	Start Blame // the day from which the turbine can run
}

// startDays is for how many days running the turbine has to run for its season
// to have begun.
const startDays = 7

// Blame runs the years under the draws of [BlameDraws] and shares out what comes
// of them. open are the same years with the valve always open; both have as many
// draws as there are. Without hydro the last two are empty.
func (ys Years) Blame(ctx context.Context, open Years, b Bus, n int, causes []Cause, hydro bool, step func()) (*Blames, error) {
	dark, depth, saved, start := table(ys), table(ys), table(ys), table(ys)
	unmet := func(in *Input) float64 {
		var t Tally
		b.Span(in, b.Start(), 0, in.Hours(), &t)
		return float64(t.UnmetHours)
	}
	err := ys.Visit(ctx, step, func(c Case) error {
		dark[c.Draw][c.Year] = unmet(c.In)
		depth[c.Draw][c.Year] = Deficits(c.In, &b.Bank, nil)
		if hydro {
			saved[c.Draw][c.Year] = unmet(c.As(Variant{Hydro: HydroOff})) - dark[c.Draw][c.Year]
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	var means, fifth []float64
	for d := range dark {
		means, fifth = append(means, stat.Mean(saved[d], nil)), append(fifth, NewSpread(depth[d]).At(0.8))
	}
	u := &Blames{Dark: BlameOfYears(n, causes, dark), Bank: BlameOf(n, causes, fifth)}
	if !hydro {
		return u, nil
	}
	u.Saved = BlameOf(n, causes, means)
	if open.N == 0 {
		return u, nil
	}
	err = open.Visit(ctx, step, func(c Case) error {
		start[c.Draw][c.Year] = float64(startDay(c.In))
		return nil
	})
	u.Start = BlameOfYears(n, causes, start)
	return u, err
}

func table(ys Years) [][]float64 {
	t := make([][]float64, ys.Draws)
	for d := range t {
		t[d] = make([]float64, ys.N)
	}
	return t
}

// startDay returns the first day from which the turbine runs on startDays days
// running; the length of the year if there is none.
func startDay(in *Input) int {
	days, run, creekW := in.Hours()/24, 0, in.W(Creek)
	for d := range days {
		runs := false
		for _, w := range creekW[24*d : 24*d+24] {
			runs = runs || w > UnmetThresholdW
		}
		if run++; !runs {
			run = 0
		}
		if run == startDays {
			return d - startDays + 1
		}
	}
	return days
}
