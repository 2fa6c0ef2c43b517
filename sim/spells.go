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
	start := y.Bus.Start().StoredWh
	before := start
	free := 0 // first hour after the last spell
	for h, stored := range y.StoredWh {
		unmet := y.UnmetW[h]
		if y.In.OverW != nil {
			unmet -= y.In.OverW[h] // no bank could have helped
		}
		if !open && (stored < full || unmet > UnmetThresholdW) {
			// Two wells count as full before they are: go back to where the
			// charge began to fall.
			open, fromWh, owedWh = true, before, 0
			now = Spell{Start: h}
			for i := h - 1; i >= free; i-- {
				above := start
				if i > 0 {
					above = y.StoredWh[i-1]
				}
				if y.StoredWh[i] >= above {
					break
				}
				now.Start, now.Hours, fromWh = i, now.Hours+1, above
			}
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
			open, free = false, h+1
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
