package sim

import "sunrill/storage"

// Spell is a deficit spell: it runs from the hour in which the bank begins to
// fall until the bank is full again, or to the end of the run.
type Spell struct {
	Start int // first hour
	Hours int
	// DepthWh is how much charge the spell took: the greatest of what the bank
	// had lost since the start plus, at the store, what it could not give
	// until then. A bank of the same kind with so much usable capacity would
	// have ridden through.
	DepthWh    float64
	UnmetWh    float64
	UnmetHours int
}

// Spells returns the deficit spells of a year, in order.
func Spells(y *Year) []Spell {
	var (
		spells []Spell
		now    Spell
		open   bool
		fromWh float64 // stored when the spell began
		owedWh float64 // unmet so far, at the store
	)
	k := &y.Bus.Bank
	perOut := 1.0
	if k.CapacityWh > 0 {
		perOut = 1 / k.DischargeEfficiency
	}
	full := y.Bus.fullSoC() * k.CapacityWh
	before := y.Bus.Start().StoredWh
	for h, stored := range y.StoredWh {
		unmet := y.UnmetW[h]
		if y.In.OverW != nil {
			unmet -= y.In.OverW[h] // no bank could have helped
		}
		if !open && (stored < full || unmet > UnmetThresholdW) {
			open, fromWh, owedWh = true, before, 0
			now = Spell{Start: h}
		}
		before = stored
		if !open {
			continue
		}
		now.Hours++
		now.UnmetWh += y.UnmetW[h]
		if y.UnmetW[h] > UnmetThresholdW {
			now.UnmetHours++
		}
		owedWh += max(0, unmet) * perOut
		now.DepthWh = max(now.DepthWh, fromWh-stored+owedWh)
		if stored >= full && unmet <= UnmetThresholdW {
			spells = append(spells, now)
			open = false
		}
	}
	if open {
		spells = append(spells, now)
	}
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
