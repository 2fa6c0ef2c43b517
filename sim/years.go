package sim

import (
	"context"
	"runtime"
	"sync/atomic"

	"golang.org/x/sync/errgroup"
)

// Years are the water years of a homestead that a study runs: N years, each
// under every one of Draws draws of what nobody knows for sure. They are made
// when they are needed, so that memory does not grow with their number.
type Years struct {
	N     int // water years
	Draws int // draws that each of them is run under; 0 counts as 1
	// Maker returns a function, for one goroutine, that makes year i under a
	// draw. What it returns is good until its next call.
	Maker func() func(draw, i int) *Input
}

// Held are years under one draw that are in memory already.
func Held(ins []*Input) Years {
	return Years{N: len(ins), Maker: func() func(int, int) *Input {
		return func(_, i int) *Input { return ins[i] }
	}}
}

// With returns the years as a variant changes them; its bus is the caller's.
func (ys Years) With(v Variant) Years {
	maker := ys.Maker
	ys.Maker = func() func(int, int) *Input {
		input := maker()
		var o Other
		return func(draw, i int) *Input { return o.Of(input(draw, i), v) }
	}
	return ys
}

// Draw returns the years under one of the draws.
func (ys Years) Draw(d int) Years {
	maker := ys.Maker
	return Years{N: ys.N, Draws: 1, Maker: func() func(int, int) *Input {
		input := maker()
		return func(_, i int) *Input { return input(d, i) }
	}}
}

// Runs returns how many years there are, all draws taken together.
func (ys Years) Runs() int { return ys.N * max(ys.Draws, 1) }

// Case is one year under one draw, on the goroutine that visits it.
type Case struct {
	Draw, Year int // from 0
	Place      int // Draw·N + Year: of the case among all of them
	Worker     int // which goroutine visits it, 0 to [Workers] − 1
	In         *Input
	memory     *memory
}

// memory is what a goroutine uses from one case to the next.
type memory struct {
	year  Year
	other Other
}

// Run runs an input, that of the case or a variant of it, in the goroutine's
// memory: the year is good until the next run.
func (c Case) Run(in *Input, b Bus) (*Year, error) { return Rerun(&c.memory.year, in, b) }

// As returns the case's input as a variant changes it, in the goroutine's
// memory: it is good until the next variant.
func (c Case) As(v Variant) *Input { return c.memory.other.Of(c.In, v) }

// Workers is the greatest number of goroutines that a visit uses.
func Workers() int { return runtime.GOMAXPROCS(0) }

// Visit calls visit for every year under every draw, side by side on all
// processors, until ctx ends or a visit fails, and returns that error. step,
// unless nil, is called after each. visit may be called from several goroutines
// at once; the draws come in order, and so do the years of a draw.
func (ys Years) Visit(ctx context.Context, step func(), visit func(c Case) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for w := range min(Workers(), ys.Runs()) {
		group.Go(func() error {
			input := ys.Maker()
			var m memory
			for {
				if err := ctx.Err(); err != nil {
					return err
				}
				k := int(next.Add(1)) - 1
				if k >= ys.Runs() {
					return nil
				}
				c := Case{Draw: k / ys.N, Year: k % ys.N, Place: k, Worker: w, memory: &m}
				c.In = input(c.Draw, c.Year)
				if err := visit(c); err != nil {
					return err
				}
				if step != nil {
					step()
				}
			}
		})
	}
	return group.Wait()
}

// Progress is called now and then with how many of total steps are done; it
// may be called from several goroutines. Nil is allowed.
type Progress func(done, total int)

// Steps returns a function that counts one step of so many; it may be called
// from several goroutines.
func (p Progress) Steps(total int) func() {
	if p == nil {
		return func() {}
	}
	var done atomic.Int64
	return func() { p(int(done.Add(1)), total) }
}
