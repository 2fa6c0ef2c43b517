package stream

import (
	"context"
	"math"
	"math/rand/v2"
)

const (
	splits        = 3 // ways of dealing the readings into parts
	parts         = 5 // of a split; each is left out once
	leftOutSteps  = 6 // of least squares from the ends of the search
	leftOutStarts = 2 // ends of the search that are tried again without a part
)

// fewestWeeks is how many calendar weeks must have readings for a test on
// readings left out.
const fewestWeeks = parts

// leftOut returns the flows in m³/s that models give for the readings which they
// had not seen, by split and reading; nil where the readings are from too few
// weeks. Each split deals the weeks at random into parts and fits to all parts
// but one, in turn: readings of one week stay together, since they tell
// nearly the same.
func (t *target) leftOut(ctx context.Context, starts [][]float64, seed uint64, work *progress) ([][]float64, error) {
	var weeks []int // the number of each reading's week among those read
	for i, w := range t.week {
		switch {
		case i == 0:
			weeks = append(weeks, 0)
		case w != t.week[i-1]:
			weeks = append(weeks, weeks[i-1]+1)
		default:
			weeks = append(weeks, weeks[i-1])
		}
	}
	number := weeks[len(weeks)-1] + 1
	if number < fewestWeeks {
		work.skip(splits * parts)
		return nil, nil
	}
	part := make([][]int, splits) // of each reading
	sim := make([][]float64, splits)
	for s := range part {
		rng := rand.New(rand.NewPCG(seed, 1<<32+uint64(s)))
		deal := rng.Perm(number)
		for _, w := range weeks {
			part[s] = append(part[s], deal[w]%parts)
		}
		sim[s] = make([]float64, len(t.day))
	}
	workers := t.workers()
	errs := make([]error, splits*parts)
	parallel(len(errs), func(w, i int) {
		s, p := i/parts, i%parts
		worker := workers[w]
		worker.without(func(i int) bool { return part[s][i] == p })
		var best []float64
		minimum := math.Inf(1)
		for _, start := range starts[:min(leftOutStarts, len(starts))] {
			z, misfit, err := worker.settle(ctx, start, leftOutSteps)
			if err != nil {
				errs[i] = err
				return
			}
			if misfit < minimum {
				best, minimum = z, misfit
			}
		}
		worker.simulate(t.space.model(t.space.values(best)))
		for j, q := range worker.flow {
			if part[s][j] == p {
				sim[s][j] = q
			}
		}
		work.step()
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return sim, nil
}

// without takes the weight from the readings that are left out, and weighs the
// others anew.
func (t *target) without(out func(i int) bool) {
	var kept []int
	for i, day := range t.day {
		if !out(i) {
			kept = append(kept, day)
		}
	}
	own := apart(kept)
	for i := range t.weight {
		t.weight[i] = 0
		if !out(i) {
			t.weight[i], own = own[0], own[1:]
		}
	}
}

// leftOutScores scores each split and returns the mean of the splits.
func (t *target) leftOutScores(sim [][]float64) Scores {
	nan := math.NaN()
	if sim == nil {
		return Scores{NSE: nan, KGE: nan, NSELog: nan, ErrorM3S: nan}
	}
	var sum Scores
	for _, q := range sim {
		s := scoresOf(t.observed, q)
		sum.N = s.N
		sum.NSE += s.NSE / splits
		sum.KGE += s.KGE / splits
		sum.NSELog += s.NSELog / splits
		sum.ErrorM3S += s.ErrorM3S * s.ErrorM3S / splits
	}
	sum.ErrorM3S = math.Sqrt(sum.ErrorM3S)
	return sum
}
