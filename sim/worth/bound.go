package worth

import (
	"context"
	"sync"

	"sunrill/sim"
	"sunrill/storage"
)

// bounds are what mixes lack at the least, whatever their bank and generator do:
// a bank of the same capacity above its floor with the same losses, but without
// limits of power, that gives whenever it can. No way to run
// a generator beside it needs less: what it gives earlier than it must, the bank
// loses a part of or has no room for. So of panels, bank and waterway
//
//	generator's Wh + unmet Wh ≥ what such a bank leaves short,
//
// and what it leaves short never grows with more panels, bank or water. A mix is
// bounded by a larger one, at the upper corner of its block of the grid, before it
// is looked at by itself.
type bounds struct {
	short  [][][]float64 // Wh by year; by waterway (the first: without the creek), then panels and bank; nil: not known
	firm   [][]float64   // by year, what the house asks that the inverter can carry less what unscaled sources but the creek give
	scaled [][]float64   // by year, what sources give that grow with the panels
	peakW  float64       // the most that is asked in an hour
	once   sync.Once
}

// block is how many sizes of panels or bank are bounded by their largest.
const block = 4

// prepare sums up the years once.
func (b *bounds) prepare(k *market) {
	b.short = make([][][]float64, len(k.p.Waterways)+1)
	for w := range b.short {
		b.short[w] = make([][]float64, len(k.p.Grid.PanelsW)*len(k.p.Grid.BanksWh))
	}
	for _, in := range k.p.Years {
		firm, scaled := make([]float64, in.Hours()), make([]float64, in.Hours())
		for h, w := range in.DemandW {
			if in.OverW != nil {
				w -= in.OverW[h]
			}
			firm[h] = w
			b.peakW = max(b.peakW, w)
		}
		for _, s := range in.Sources {
			switch {
			case s.Key == sim.Creek.Key:
			case s.Scalable:
				for h, w := range s.W {
					scaled[h] += w
				}
			default:
				for h, w := range s.W {
					firm[h] -= w
				}
			}
		}
		b.firm, b.scaled = append(b.firm, firm), append(b.scaled, scaled)
	}
}

// shortOf returns what a mix is short of in each year at the least, in Wh: by
// itself, or by the upper corner of its block.
func (k *market) shortOf(ctx context.Context, m *mix, itself bool) ([]float64, error) {
	b := &k.bounds
	b.once.Do(func() { b.prepare(k) })
	panel, bank := m.panel, m.bank
	place := func() *[]float64 { return &b.short[m.water+1][panel*len(k.p.Grid.BanksWh)+bank] }
	if own := *place(); own != nil {
		return own, nil
	}
	if !itself {
		panel = min(panel-panel%block+block-1, len(k.p.Grid.PanelsW)-1)
		bank = min(bank-bank%block+block-1, len(k.p.Grid.BanksWh)-1)
		if corner := *place(); corner != nil {
			return corner, nil
		}
	}
	bankOf := k.p.Bus.Bank.Scaled(k.p.Grid.BanksWh[bank])
	times := 1.0
	if shape := k.p.shapeW(); shape > 0 {
		times = k.p.Grid.PanelsW[panel] / shape
	}
	years := k.years(m.water)
	wh := make([]float64, len(years))
	err := sim.Held(years).Visit(ctx, nil, func(c sim.Case) error {
		var creek []float64
		if m.water != noWater {
			creek = c.In.W(sim.Creek)
		}
		wh[c.Year] = leastShort(b.firm[c.Year], b.scaled[c.Year], creek, times, &bankOf)
		return nil
	})
	if err == nil {
		*place() = wh
	}
	return wh, err
}

// leastShort returns the Wh of a year that such a bank leaves short of what is
// asked; creek may be nil.
func leastShort(firm, scaled, creek []float64, times float64, bank *storage.Bank) float64 {
	roomWh := max(0, (1-bank.FloorSoC)*bank.CapacityWh)
	inEff, outEff, keep := bank.ChargeEfficiency, bank.DischargeEfficiency, 1-bank.SelfDischargePerH
	short, stored := 0.0, min(roomWh, max(0, (bank.StartSoC-bank.FloorSoC)*bank.CapacityWh))
	if roomWh <= 0 {
		inEff, outEff, keep = 1, 1, 1
	}
	perOut := 1 / outEff
	for h, ask := range firm {
		net := times*scaled[h] - ask
		if creek != nil {
			net += creek[h]
		}
		stored *= keep
		if net >= 0 {
			stored += net * inEff
			if stored > roomWh {
				stored = roomWh
			}
			continue
		}
		stored += net * perOut
		if stored < 0 {
			short -= stored * outEff
			stored = 0
		}
	}
	return short
}

// engine returns the generator of the mixes that have one.
func (k *market) engine() *sim.Generator {
	if g := k.p.Bus.Generator; g != nil {
		return g
	}
	return &k.p.Generator
}

// mayLack returns how many Wh a year a mix may leave dark that keeps to a target:
// its unmet hours, and in all other hours what does not count as one. A generator
// that carries the house at any hour leaves nothing dark.
func (k *market) mayLack(m *mix, t Target) float64 {
	if g := k.engine(); m.generator && g.QuietFromH == g.QuietToH && g.RatedW >= k.peakW {
		return sim.UnmetThresholdW * hoursOfYear
	}
	return t.UnmetHours*k.peakW + sim.UnmetThresholdW*hoursOfYear
}

// burns puts into a mix what its generator burns and runs at the least: in n years
// so much, and beside it what it gives for so many Wh.
func (k *market) burns(m *mix, fuelL, runningH, wh, n float64) {
	if wh > 0 {
		g := k.engine()
		runningH += wh / g.RatedW
		fuelL += g.FuelIdleLH*wh/g.RatedW + g.FuelLPerKWh*wh/1000
	}
	m.fuelL, m.runningH = fuelL/n, runningH/n
}

// lacks reports whether a mix that was not run is short of so much at the least,
// by itself or by its block, that it does not keep to a target. What its
// generator then burns at the least is put into it.
func (k *market) lacks(ctx context.Context, m *mix, t Target, itself bool) (bool, error) {
	short, err := k.shortOf(ctx, m, itself)
	if err != nil {
		return false, err
	}
	n := float64(len(short))
	wh := -n * k.mayLack(m, t)
	for _, w := range short {
		wh += w
	}
	if !m.generator {
		return wh > 0, nil
	}
	k.burns(m, 0, 0, wh, n)
	if t.UnmetHours <= m.stopped.target {
		m.fuelL, m.runningH = max(m.fuelL, m.stopped.fuelL), max(m.runningH, m.stopped.runningH)
	}
	return m.fuelL > t.FuelL, nil
}

const hoursOfYear = 366 * 24
