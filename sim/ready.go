package sim

import (
	"math"

	"sunrill/storage"
)

// FullSoC is the charge from which a bank counts as full: chargers end by a
// small tail current, not at the last watt hour, and the two-well bank nears
// 100 % only as a limit.
const FullSoC = 0.99

// ready is a bus with everything that does not change from hour to hour
// worked out.
type ready struct {
	capWh, invCap      float64
	floorWh            float64
	inEff, perIn       float64 // charge efficiency and its inverse
	outEff, perOut     float64 // discharge efficiency and its inverse
	maxInW, maxOutW    float64
	leak               float64 // share lost in an hour
	keep               float64
	reconnectWh        float64 // 0: no disconnect
	comfortWh          float64
	dumpW              float64
	twoWell            bool
	well               storage.Kinetic
	wellWh             float64 // what the available well holds
	gen                *Generator
	startWh, stopWh    float64
	quietFrom, quietTo int
	bank               *storage.Bank
	line               line
	firstHour          int
	toleranceWh        float64 // by which the bank's balance may be off, besides their share of the throughput
	badHour            int     // first hour whose balance did not close; -1: none
}

func (b *Bus) ready(in *Input) ready {
	k := &b.Bank
	p := ready{
		capWh:   k.CapacityWh,
		inEff:   k.ChargeEfficiency,
		outEff:  k.DischargeEfficiency,
		maxInW:  k.MaxChargeW,
		maxOutW: k.MaxDischargeW,
		leak:    k.SelfDischargePerH,
		dumpW:   b.DumpW,
		gen:     b.Generator,
		bank:    k,
		badHour: -1,
	}
	p.keep = 1 - p.leak
	if p.capWh <= 0 { // no bank: it takes and gives nothing
		p.capWh, p.maxInW, p.maxOutW = 0, 0, 0
		p.inEff, p.outEff = 1, 1
	} else {
		p.invCap = 1 / p.capWh
		p.toleranceWh = balanceTolerance * p.capWh
		p.comfortWh = (k.ComfortSoC - socTolerance) * p.capWh
		p.reconnectWh = k.ReconnectSoC * p.capWh
	}
	p.perIn, p.perOut = 1/p.inEff, 1/p.outEff
	if k.Model == storage.TwoWell && p.capWh > 0 {
		p.twoWell = true
		p.well = storage.NewKinetic(k.WellFraction, k.WellRatePerH)
		p.wellWh = k.WellFraction * p.capWh
	}
	p.setTemp(k.IndoorC)
	if g := b.Generator; g != nil {
		p.startWh, p.stopWh = g.StartSoC*p.capWh, math.Min(g.StopSoC, FullSoC)*p.capWh
		if p.capWh == 0 {
			p.startWh = -1 // without a bank only a shortage starts it
		}
		p.quietFrom, p.quietTo = g.QuietFromH, g.QuietToH
		p.firstHour = in.Start.Hour()
	}
	return p
}

// setTemp takes the bank to a temperature: its floor, as
// [storage.Bank.FloorAt] gives it, and what it may be charged with. Between two
// points of the capacity's curve the floor is a straight line in the
// temperature; the line of the last visit is kept, with the charge limit that
// goes with it.
func (p *ready) setTemp(tempC float64) {
	if !(tempC >= p.line.fromC && tempC < p.line.toC) {
		p.line = floorLine(p.bank, tempC)
		p.line.limit(p.bank, tempC)
	}
	fraction := p.line.base + p.line.slope*tempC
	if fraction < p.bank.FloorSoC {
		fraction = p.bank.FloorSoC
	}
	p.floorWh = fraction * p.capWh
	if !(p.floorWh >= 0) {
		p.toleranceWh = math.NaN() // so that no balance closes
	}
	p.maxInW = 0
	if p.capWh > 0 {
		p.maxInW = p.line.maxInW
	}
}

// line is a floor SoC of base + slope T and a charge limit for temperatures T
// from fromC to toC.
type line struct{ fromC, toC, base, slope, maxInW float64 }

// limit puts the charge limit at a temperature into the line, and cuts the line
// where the limit changes.
func (l *line) limit(k *storage.Bank, tempC float64) {
	l.maxInW = k.ChargeLimitAt(tempC)
	cut := func(atC float64) {
		if atC <= tempC {
			l.fromC = math.Max(l.fromC, atC)
		} else {
			l.toC = math.Min(l.toC, atC)
		}
	}
	cut(k.ChargeAboveC)
	for i := range k.ChargeByTemp {
		cut(k.ChargeByTemp[i].FromC)
	}
}

// floorLine returns the piece of the floor's curve, [storage.Bank.FloorAt]
// before its lower limit, that a temperature lies on.
func floorLine(k *storage.Bank, tempC float64) line {
	usable := 1 - k.FloorSoC
	pts := k.CapacityByTemp
	level := func(fromC, toC, fraction float64) line {
		return line{fromC: fromC, toC: toC, base: 1 - fraction*usable}
	}
	switch n := len(pts); {
	case n == 0:
		return level(math.Inf(-1), math.Inf(1), 1)
	case tempC < pts[0].TempC:
		return level(math.Inf(-1), pts[0].TempC, pts[0].Fraction)
	case tempC >= pts[n-1].TempC:
		return level(pts[n-1].TempC, math.Inf(1), pts[n-1].Fraction)
	}
	i := 1
	for i < len(pts)-1 && tempC >= pts[i].TempC {
		i++
	}
	a, b := pts[i-1], pts[i]
	slope := -usable * (b.Fraction - a.Fraction) / (b.TempC - a.TempC)
	return line{fromC: a.TempC, toC: b.TempC, base: 1 - a.Fraction*usable - slope*a.TempC, slope: slope}
}

// quiet reports whether the generator must stand in hour h of the run.
func (p *ready) quiet(h int) bool {
	if p.quietFrom == p.quietTo {
		return false
	}
	clock := (p.firstHour + h) % 24
	if p.quietFrom < p.quietTo {
		return clock >= p.quietFrom && clock < p.quietTo
	}
	return clock >= p.quietFrom || clock < p.quietTo
}

// socTolerance is the share of the capacity within which two charges are the
// same.
const socTolerance = 1e-9
