package sim

import (
	"math"
	"slices"

	"sunrill/storage"
)

// Tallies runs the whole of in for each of the buses and returns a tally for
// each, the same as [Run] would give: to the last bit, unless the processor
// fuses multiplication and addition. It keeps no hours.
//
// Buses without a generator and without a disconnect go through the hours side
// by side, in a shed only those whose banks feel the cold alike: what does not
// depend on the bank's size is worked out once an hour for all of them.
func Tallies(in *Input, buses []Bus) []Tally {
	ts := make([]Tally, len(buses))
	lanes := make([]lane, 0, len(buses))
	for i := range buses {
		b := &buses[i]
		apart := b.Generator != nil || b.Bank.ReconnectSoC > 0 || in.BankC != nil && !coldAlike(&b.Bank, &buses[0].Bank)
		if apart || in.Hours() == 0 {
			b.Span(in, b.Start(), 0, in.Hours(), &ts[i])
			continue
		}
		s := b.Start()
		p := b.ready(in)
		lanes = append(lanes, newLane(&p, s, i))
	}
	if len(lanes) == 0 {
		return ts
	}
	common := sideBySide(in, lanes, buses[lanes[0].to].ready(in))
	for i := range lanes {
		l := &lanes[i]
		t := &ts[l.to]
		*t = common
		t.UnmetWh, t.BankInWh, t.BankOutWh, t.FlexibleWh = l.unmetWh, l.inWh, l.outWh, l.flexibleWh
		t.DumpWh, t.OverDumpWh, t.CurtailedWh, t.leakWh = l.dumpWh, l.overDumpWh, l.curtailedWh, l.leakWh
		t.UnmetHours, t.LowHours, t.HazardHours = int(l.unmetHours), int(l.lowHours), int(l.hazardHours)
		p := buses[l.to].ready(in)
		t.MinStoredSoC = l.lowest * p.invCap
		p.derive(t)
	}
	return ts
}

// lane is one bank of several that go through the hours side by side: its
// charge, its sums, and what it needs of [ready], close together.
type lane struct {
	stored, available, needWh       float64
	lowest                          float64
	inWh, outWh, unmetWh, leakWh    float64
	dumpWh, overDumpWh, curtailedWh float64
	flexibleWh                      float64
	unmetHours, lowHours            int32
	hazardHours, to                 int32

	capWh, floorWh, comfortWh float64
	inEff, perIn              float64
	outEff, perOut            float64
	maxInW, maxOutW           float64
	warmInW                   float64 // maxInW where the temperature allows charging
	leak, keep, dumpW         float64
	twoWell                   bool
	well                      storage.Kinetic
	wellWh                    float64
}

func newLane(p *ready, s State, to int) lane {
	warm := 0.0
	if p.capWh > 0 {
		warm = p.bank.MaxChargeW
	}
	return lane{
		warmInW: warm,
		stored:  s.StoredWh, available: s.AvailableWh, lowest: math.Inf(1), to: int32(to),
		capWh: p.capWh, floorWh: p.floorWh, comfortWh: p.comfortWh,
		inEff: p.inEff, perIn: p.perIn, outEff: p.outEff, perOut: p.perOut,
		maxInW: p.maxInW, maxOutW: p.maxOutW, leak: p.leak, keep: p.keep, dumpW: p.dumpW,
		twoWell: p.twoWell, well: p.well, wellWh: p.wellWh,
	}
}

// coldAlike reports whether temperature does the same to two banks, apart from
// their size.
func coldAlike(a, b *storage.Bank) bool {
	return a.FloorSoC == b.FloorSoC && a.ChargeAboveC == b.ChargeAboveC && slices.Equal(a.CapacityByTemp, b.CapacityByTemp)
}

// sideBySide runs all hours of in on every lane and returns what they have in
// common. first is the first lane's bus.
func sideBySide(in *Input, lanes []lane, first ready) Tally {
	c := Tally{Hours: in.Hours()}
	for h, demand := range in.DemandW {
		if in.BankC != nil {
			share, canCharge := first.floorSoC(in.BankC[h])
			for i := range lanes {
				lanes[i].setFloor(share, canCharge)
			}
		}
		hydro, pv := in.HydroW[h], in.PVW[h]
		c.PVWh += pv
		c.HydroWh += hydro
		c.DemandWh += demand
		firm := demand
		if in.OverW != nil {
			over := in.OverW[h]
			firm -= over
			if over > UnmetThresholdW {
				c.OverHours++
			}
		}
		flexibleW := 0.0
		if in.FlexibleW != nil {
			flexibleW = in.FlexibleW[h]
			if h%24 == 0 {
				need := in.FlexibleWh[h/24]
				for i := range lanes {
					lanes[i].needWh = need
				}
			}
		}
		missed := demand - firm
		net := hydro + pv - firm
		switch {
		case net < 0:
			shortHour(lanes, -net, missed)
		case hydro < firm:
			surplusHour(lanes, 0, net, flexibleW, missed)
		default:
			surplusHour(lanes, hydro-firm, pv, flexibleW, missed)
		}
	}
	return c
}

// setFloor takes a lane to another temperature.
func (l *lane) setFloor(share float64, canCharge bool) {
	l.floorWh = share * l.capWh
	l.maxInW = 0
	if canCharge {
		l.maxInW = l.warmInW
	}
}

// shortHour takes every lane through an hour in which the sources fall short.
func shortHour(lanes []lane, short, missed float64) {
	for i := range lanes {
		l := &lanes[i]
		leakWh := l.stored * l.leak
		l.leakWh += leakWh
		stored := l.stored - leakWh
		above := stored - l.floorWh
		idle := 0.0
		if l.twoWell {
			idle = l.well.Idle(l.available*l.keep, stored)
			above = least(above, l.well.MaxDraw(idle))
		}
		out := least(short, most(0, least(l.maxOutW, above*l.outEff)))
		draw := out * l.perOut
		if l.twoWell {
			l.available = most(0, l.well.Next(idle, draw))
		}
		stored -= draw
		if draw > 0 && stored < l.floorWh {
			stored = l.floorWh
		}
		l.outWh += out
		if unmet := short - out + missed; unmet > 0 {
			l.unmetWh += unmet
			if unmet > UnmetThresholdW {
				l.unmetHours++
			}
		}
		l.stored = stored
		if stored < l.comfortWh {
			l.lowHours++
		}
		if stored < l.lowest {
			l.lowest = stored
		}
	}
}

// surplusHour takes every lane through an hour in which the sources carry the
// house and leave so much of hydro and panels.
func surplusHour(lanes []lane, hydroLeft, pvLeft, flexibleW, missed float64) {
	left := hydroLeft + pvLeft
	for i := range lanes {
		l := &lanes[i]
		leakWh := l.stored * l.leak
		l.leakWh += leakWh
		stored := l.stored - leakWh
		room := l.capWh - stored
		idle := 0.0
		if l.twoWell {
			idle = l.well.Idle(l.available*l.keep, stored)
			room = least(room, l.well.MaxFill(idle, l.wellWh))
		}
		in := least(left, most(0, least(l.maxInW, room*l.perIn)))
		draw := -in * l.inEff
		if l.twoWell {
			l.available = most(0, l.well.Next(idle, draw))
		}
		stored -= draw
		if stored > l.capWh {
			stored = l.capWh
		}
		l.inWh += in
		if in < left {
			l.throw(hydroLeft, pvLeft, in, flexibleW)
		}
		if missed > 0 {
			l.unmetWh += missed
			if missed > UnmetThresholdW {
				l.unmetHours++
			}
		}
		l.stored = stored
		if stored < l.comfortWh {
			l.lowHours++
		}
		if stored < l.lowest {
			l.lowest = stored
		}
	}
}

// throw gives what the bank does not take to flexible loads and the dump
// load; the rest is curtailed.
func (l *lane) throw(hydroLeft, pvLeft, taken, flexibleW float64) {
	if flexibleW > 0 {
		flexible := least(hydroLeft+pvLeft-taken, least(flexibleW, l.needWh))
		taken += flexible
		l.needWh -= flexible
		l.flexibleWh += flexible
	}
	curtail := pvLeft
	if hydroLeft > taken {
		dump := least(hydroLeft-taken, l.dumpW)
		overDump := hydroLeft - taken - dump
		l.dumpWh += dump
		l.overDumpWh += overDump
		if overDump > UnmetThresholdW {
			l.hazardHours++
		}
	} else {
		curtail = most(0, pvLeft-(taken-hydroLeft))
	}
	l.curtailedWh += curtail
}
