package series

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"sunrill/sim"
	"sunrill/weather"
)

// MadeUp makes up n years and calls use for each, on as many goroutines as
// there are processors: use must bear that, and its input is good only until
// it returns. Memory does not grow with n.
func (h *Homestead) MadeUp(ctx context.Context, chain *weather.Chain, n int, use func(i int, in *sim.Input)) error {
	var wg sync.WaitGroup
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			worker := h.Worker()
			var r weather.Record
			for {
				i := int(next.Add(1)) - 1
				if i >= n || ctx.Err() != nil {
					return
				}
				y := chain.MadeUp(&r, i)
				use(i, worker(r, i*y.Days)(y))
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}
