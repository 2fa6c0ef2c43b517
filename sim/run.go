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

// balanceSlack is the share of an hour's throughput by which its books may be
// off.
const balanceSlack = 1e-9

// check goes over the books of every hour: what came onto the bus left it,
// what was asked was served or missed, and the bank holds what it held and
// took less what it gave and lost. NaN fails every comparison and is found
// here too.
func (y *Year) check(storedWh float64) error {
	n := len(y.StoredWh)
	pv, hydro, demand := y.In.PVW[:n], y.In.HydroW[:n], y.In.DemandW[:n]
	served, unmet, flexible := y.ServedW[:n], y.UnmetW[:n], y.FlexibleW[:n]
	bankIn, bankOut, gen := y.BankInW[:n], y.BankOutW[:n], y.GeneratorW[:n]
	dump, over, curtailed, stored := y.DumpW[:n], y.OverDumpW[:n], y.CurtailedW[:n], y.StoredWh[:n]

	k := &y.Bus.Bank
	inEff, perOut, keep, capWh := k.ChargeEfficiency, 1/k.DischargeEfficiency, 1-k.SelfDischargePerH, k.CapacityWh
	if capWh <= 0 {
		inEff, perOut, capWh = 1, 1, 0
	}
	bankSlack := balanceSlack * capWh
	for h := 0; h < n; h++ {
		came := pv[h] + hydro[h] + gen[h] + bankOut[h]
		went := served[h] + flexible[h] + bankIn[h] + dump[h] + over[h] + curtailed[h]
		house := served[h] + unmet[h] - demand[h]
		bank := storedWh*keep + bankIn[h]*inEff - bankOut[h]*perOut - stored[h]
		storedWh = stored[h]
		slack := balanceSlack * (came + demand[h])
		if math.Abs(came-went)+math.Abs(house) <= slack && math.Abs(bank) <= slack+bankSlack &&
			storedWh >= 0 && storedWh <= capWh {
			continue
		}
		return fmt.Errorf("%w in hour %d: %.6g W came onto the bus and %.6g W left it; %.6g W were asked, %.6g W served, %.6g W missed; the bank is off by %.6g Wh and holds %.6g Wh",
			ErrUnbalanced, h, came, went, demand[h], served[h], unmet[h], bank, storedWh)
	}
	return nil
}
