package stream

import (
	"cmp"
	"context"
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/optimize"
)

const (
	firstDraws  = 30 // of the prior, from which the starts are picked
	fitStarts   = 3
	simplexSize = 0.4 // in standard deviations of the prior
	fitEvals    = 50  // runs of the model by a start's simplex
	fitSteps    = 12  // of least squares after it
	roundSteps  = 6   // of least squares of a draw, from the best fit
)

// descend runs a simplex from z, which steps over small hollows, and settles
// where it ends.
func (t *target) descend(ctx context.Context, z []float64) ([]float64, float64, error) {
	problem := optimize.Problem{
		Func: t.misfit,
		Status: func() (optimize.Status, error) {
			if err := ctx.Err(); err != nil {
				return optimize.Failure, err
			}
			return optimize.NotTerminated, nil
		},
	}
	settings := &optimize.Settings{
		FuncEvaluations: fitEvals,
		Converger:       &optimize.FunctionConverge{Absolute: 1e-4, Iterations: 30},
	}
	r, err := optimize.Minimize(problem, z, settings, &optimize.NelderMead{SimplexSize: simplexSize})
	if ctx.Err() != nil {
		return nil, 0, ctx.Err()
	}
	if err != nil {
		return nil, 0, fmt.Errorf("fit: %w", err)
	}
	return t.settle(ctx, r.X, fitSteps)
}

// search returns where several descents end, the best first.
func (t *target) search(ctx context.Context, seed uint64, work *progress) ([][]float64, error) {
	type start struct {
		z []float64
		f float64
	}
	rng := rand.New(rand.NewPCG(seed, 1))
	starts := make([]start, firstDraws)
	for i := range starts {
		starts[i].z = make([]float64, len(t.space.dims))
		if i > 0 { // the first is the middle of the prior
			for j := range starts[i].z {
				starts[i].z[j] = rng.NormFloat64()
			}
		}
	}
	workers := t.workers()
	parallel(len(starts), func(w, i int) { starts[i].f = workers[w].misfit(starts[i].z) })
	slices.SortStableFunc(starts, func(a, b start) int { return cmp.Compare(a.f, b.f) })
	starts = starts[:fitStarts]
	errs := make([]error, len(starts))
	parallel(len(starts), func(w, i int) {
		s := &starts[i]
		s.z, s.f, errs[i] = workers[w].descend(ctx, s.z)
		work.step()
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(starts, func(a, b start) int { return cmp.Compare(a.f, b.f) })
	var ends [][]float64
	for _, s := range starts {
		ends = append(ends, s.z)
	}
	return ends, nil
}

func (t *target) workers() []*target {
	ws := make([]*target, runtime.GOMAXPROCS(0))
	for i := range ws {
		ws[i] = t.clone()
	}
	return ws
}

// parallel calls do(worker, i) for each i below n, on all processors.
func parallel(n int, do func(worker, i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for w := range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				do(w, i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// progress counts pieces of work done by several workers.
type progress struct {
	mu          sync.Mutex
	done, total int
	tell        func(done, total int)
}

func (p *progress) step() { p.skip(1) }

// add makes the work longer.
func (p *progress) add(n int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.total += n
}

// skip counts n pieces of work at once.
func (p *progress) skip(n int) {
	if p.tell == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done += n
	p.tell(p.done, p.total)
}
