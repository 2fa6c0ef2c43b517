package sim

import (
	"errors"
	"fmt"
	"math"
)

// ErrUnbalanced is the error of a run whose books do not close: a fault of
// the program, or a number in its input that is none.
var ErrUnbalanced = errors.New("energy does not balance")

// Run runs the whole of in on the bus b, from b's starting state, and keeps
// every hour. It returns an error that wraps [ErrUnbalanced] if the books of
// any hour do not close.
func Run(in *Input, b Bus) (*Year, error) {
	y := newYear(in, b)
	s := b.Start()
	p := y.Bus.ready(in)
	p.span(in, s, 0, in.Hours(), &y.Tally, y)
	if err := y.check(s.StoredWh); err != nil {
		return nil, err
	}
	return y, nil
}

// newYear makes room for the hours, all in one piece.
func newYear(in *Input, b Bus) *Year {
	n := in.Hours()
	if len(in.PVW) != n || len(in.HydroW) != n {
		panic("sim: the series of the input differ in length")
	}
	all := make([]float64, 11*n)
	next := func() []float64 {
		part := all[:n:n]
		all = all[n:]
		return part
	}
	return &Year{
		In: in, Bus: b,
		ServedW: next(), UnmetW: next(), FlexibleW: next(),
		BankInW: next(), BankOutW: next(), GeneratorW: next(),
		DumpW: next(), OverDumpW: next(), CurtailedW: next(),
		StoredWh: next(), SoC: next(),
	}
}

// put keeps one hour.
func (y *Year) put(in *Input, h int, f *flows, storedWh, invCap float64) {
	y.ServedW[h] = most(0, in.DemandW[h]-f.unmet)
	y.UnmetW[h] = f.unmet
	y.FlexibleW[h] = f.flexible
	y.BankInW[h] = f.in
	y.BankOutW[h] = f.out
	y.GeneratorW[h] = f.gen
	y.DumpW[h] = f.dump
	y.OverDumpW[h] = f.overDump
	y.CurtailedW[h] = f.curtail
	y.StoredWh[h] = storedWh
	y.SoC[h] = storedWh * invCap
}

// balanceSlack is the share of an hour's throughput by which its books may be
// off.
const balanceSlack = 1e-9

// check goes over the books of every hour: what came onto the bus left it,
// what was asked was served or missed, and the bank holds what it held and
// took less what it gave and lost. NaN fails every comparison and is found
// here too.
func (y *Year) check(storedWh float64) error {
	in, k := y.In, &y.Bus.Bank
	inEff, perOut, keep, capWh := k.ChargeEfficiency, 1/k.DischargeEfficiency, 1-k.SelfDischargePerH, k.CapacityWh
	if capWh <= 0 {
		inEff, perOut, capWh = 1, 1, 0
	}
	for h := range y.StoredWh {
		came := in.PVW[h] + in.HydroW[h] + y.GeneratorW[h] + y.BankOutW[h]
		went := y.ServedW[h] + y.FlexibleW[h] + y.BankInW[h] + y.DumpW[h] + y.OverDumpW[h] + y.CurtailedW[h]
		slack := balanceSlack * (came + in.DemandW[h])
		bank := storedWh*keep + y.BankInW[h]*inEff - y.BankOutW[h]*perOut - y.StoredWh[h]
		storedWh = y.StoredWh[h]
		if math.Abs(came-went) <= slack &&
			math.Abs(y.ServedW[h]+y.UnmetW[h]-in.DemandW[h]) <= slack &&
			math.Abs(bank) <= slack+balanceSlack*capWh &&
			storedWh >= 0 && storedWh <= capWh {
			continue
		}
		return fmt.Errorf("%w in hour %d: %.6g W came onto the bus and %.6g W left it; %.6g W were asked, %.6g W served, %.6g W missed; the bank is off by %.6g Wh and holds %.6g Wh",
			ErrUnbalanced, h, came, went, in.DemandW[h], y.ServedW[h], y.UnmetW[h], bank, storedWh)
	}
	return nil
}
