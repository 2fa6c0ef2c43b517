package sizing

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"sunrill/sim"
)

// Years are the water years that a study runs. They are made when they are
// needed, so that memory does not grow with their number.
type Years struct {
	N int
	// Maker returns a function, for one goroutine, that gives the input of
	// year i. The input is valid until the next call of that function.
	Maker func() func(i int) *sim.Input
}

// Held are years that are in memory already.
func Held(ins []*sim.Input) Years {
	return Years{len(ins), func() func(int) *sim.Input {
		return func(i int) *sim.Input { return ins[i] }
	}}
}

// Progress is called now and then with how many of total steps are done; it
// may be called from several goroutines. Nil is allowed.
type Progress func(done, total int)

// each calls visit for every year, on all processors, until ctx ends.
func (ys Years) each(ctx context.Context, step func(), visit func(i int, in *sim.Input)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), ys.N) {
		wg.Go(func() {
			input := ys.Maker()
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= ys.N {
					return
				}
				visit(i, input(i))
				step()
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// steps counts the years done for a Progress.
func (p Progress) steps(total int) func() {
	if p == nil {
		return func() {}
	}
	var done atomic.Int64
	return func() { p(int(done.Add(1)), total) }
}
