package sim

import (
	"errors"
	"fmt"
)

// ErrUnbalanced is the error of a run whose balance does not close: a fault of
// the program, or a number in its input that is none.
var ErrUnbalanced = errors.New("energy does not balance")

// Run runs the whole of in on the bus b, from b's starting state, and keeps
// every hour. It returns an error that wraps [ErrUnbalanced] if the balance of
// any hour does not close.
func Run(in *Input, b Bus) (*Year, error) { return Rerun(nil, in, b) }

// Rerun is [Run] in the memory of an earlier run's year, which it fills anew
// and returns: what dst told before, and slices taken from it, must no longer
// be needed. A nil dst makes a year of its own.
func Rerun(dst *Year, in *Input, b Bus) (*Year, error) {
	y := makeYear(dst, in, b)
	p := y.Bus.ready(in)
	p.span(in, b.Start(), 0, in.Hours(), &y.Tally, y)
	if p.badHour >= 0 {
		return nil, y.fault(p.badHour)
	}
	return y, nil
}

// makeYear makes room for the hours, all in one piece, in dst's where that is
// large enough. Quantities that cannot be but zero share one slice of zeros:
// filling memory is half of a run's time.
func makeYear(dst *Year, in *Input, b Bus) *Year {
	n := in.Hours()
	for i := range in.Sources {
		if len(in.Sources[i].W) != n {
			panic("sim: the series of the input differ in length")
		}
	}
	y := &Year{}
	if dst != nil {
		y = dst
	}
	memory := y.memory
	*y = Year{In: in, Bus: b}
	parts := [...]struct {
		to           *[]float64
		used, filled bool // filled: every hour is written
	}{
		{&y.ServedW, true, true}, {&y.StoredWh, true, true}, {&y.SoC, true, true},
		{&y.UnmetW, true, true}, {&y.BankInW, true, true}, {&y.BankOutW, true, true},
		{&y.CurtailedW, true, false},
		{&y.DumpW, true, false}, {&y.OverDumpW, true, false},
		{&y.GeneratorW, b.Generator != nil, false}, {&y.FlexibleW, in.FlexibleW != nil, false},
	}
	count := 1 // the zeros
	for _, p := range parts {
		if p.used {
			count++
		}
	}
	again := cap(memory) >= count*n
	if !again {
		memory = make([]float64, count*n)
	}
	y.memory = memory
	memory = memory[:count*n]
	zeros, at := memory[:n:n], n
	if again {
		clear(zeros)
	}
	for _, p := range parts {
		if *p.to = zeros; p.used {
			*p.to = memory[at : at+n : at+n]
			at += n
			if again && !p.filled {
				clear(*p.to)
			}
		}
	}
	return y
}

// balanceTolerance is the share of an hour's throughput by which its balance may be
// off.
const balanceTolerance = 1e-9

// fault is the error for an hour whose balance does not close.
func (y *Year) fault(h int) error {
	in := y.In
	before := y.Bus.Start().StoredWh
	if h > 0 {
		before = y.StoredWh[h-1]
	}
	came := y.GeneratorW[h] + y.BankOutW[h]
	for _, s := range in.Sources {
		came += s.W[h]
	}
	went := y.ServedW[h] + y.FlexibleW[h] + y.BankInW[h] + y.DumpW[h] + y.OverDumpW[h] + y.CurtailedW[h]
	return fmt.Errorf("%w in hour %d: %.6g W came onto the bus and %.6g W left it; %.6g W were asked, %.6g W served, %.6g W missed; the bank went from %.6g Wh to %.6g Wh",
		ErrUnbalanced, h, came, went, in.DemandW[h], y.ServedW[h], y.UnmetW[h], before, y.StoredWh[h])
}
