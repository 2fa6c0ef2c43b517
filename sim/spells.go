package sim

import "sunrill/storage"

// Spell is a deficit spell. There is one meaning of it everywhere: it is what a
// bank of the site's kind that is never too small would go through without a
// generator. It begins in the hour in which the sources first fall short of the
// demand and ends when the bank has been filled up again, or with the year. So
// it belongs to the sources and the house, whatever bank stands there.
type Spell struct {
	Start int // first hour
	Hours int
	// DepthWh is the greatest fall of the charge below full, at the store. A
	// bank with so much between full and its floor rides through, if it can give
	// and take the power and loses nothing by itself.
	DepthWh float64
	LeftWh  float64 // not made good by the end of the year

	// What the house missed in these hours with the bank and the generator that
	// stand there.
	UnmetWh    float64
	UnmetHours int
}

// Deficits finds the deficit spells of a year for a kind of bank, calls take,
// unless nil, for each in order, and returns the greatest depth in Wh. Each
// hour, the fall is
//
//	D = max(0, D + short/ηout)   if the sources fall short of the demand
//	D = max(0, D − over·ηin)     if they give more
//
// This is Rippl's mass curve, the greatest distance that the sum of inflow less
// draft falls below its earlier peak, taken one step at a time. What the
// inverter cannot carry is not counted: no bank could serve it. Flexible loads
// take only what is left over and are not counted either; self-discharge and
// limits of power are left out. Without a bank nothing is lost.
//
// Ref: W. Rippl, The capacity of storage-reservoirs for water supply, Minutes of
// Proceedings of the Institution of Civil Engineers 71, 1883, 270–278.
func Deficits(in *Input, b *storage.Bank, take func(Spell)) (greatestWh float64) {
	out, into := 1.0, 1.0
	if b.CapacityWh > 0 {
		out, into = 1/b.DischargeEfficiency, b.ChargeEfficiency
	}
	var now Spell
	fallWh := 0.0
	end := func() {
		greatestWh = maximum(greatestWh, now.DepthWh)
		if take != nil {
			take(now)
		}
	}
	f := in.flows()
	for h, demandW := range in.DemandW {
		net := f.throttled[h] + f.dumped[h] - demandW
		if in.OverW != nil {
			net += in.OverW[h]
		}
		if net < 0 {
			if fallWh == 0 {
				now = Spell{Start: h}
			}
			fallWh -= net * out
			now.DepthWh = maximum(now.DepthWh, fallWh)
		} else if fallWh > 0 {
			fallWh = maximum(0, fallWh-net*into)
		} else {
			continue
		}
		now.Hours++
		if fallWh == 0 {
			end()
		}
	}
	if fallWh > 0 {
		now.LeftWh = fallWh
		end()
	}
	return greatestWh
}

// Spells returns the deficit spells of a year, in order.
func Spells(y *Year) []Spell {
	var spells []Spell
	Deficits(y.In, &y.Bus.Bank, func(s Spell) {
		for _, w := range y.UnmetW[s.Start : s.Start+s.Hours] {
			s.UnmetWh += w
			if w > UnmetThresholdW {
				s.UnmetHours++
			}
		}
		spells = append(spells, s)
	})
	return spells
}

// fullSoC is the charge from which the bank counts as full: a bucket fills to
// the brim, two wells only nearly.
func (b *Bus) fullSoC() float64 {
	if b.twoWell() {
		return FullSoC
	}
	return 1 - 1e-6
}

func (b *Bus) twoWell() bool {
	return b.Bank.Model == storage.TwoWell && b.Bank.CapacityWh > 0
}
