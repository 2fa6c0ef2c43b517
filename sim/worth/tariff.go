package worth

import "math"

// tariff is what mixes cost a year at some prices, laid out by the places of a
// grid: the sums of [Plan.Price], part by part, so that many mixes are priced
// quickly.
type tariff struct {
	rate           float64
	panel          []float64 // by size: what is new, and upkeep
	bank           []float64 // by size, over the life of a bank that is never worn
	bankPerWh      float64   // to buy
	inverter       float64
	water          []float64 // by waterway, walks apart
	perWalk        float64
	generator      float64 // to buy
	generatorLifeH float64
	perHour, perL  float64 // of its running, of its fuel
	engine         float64 // own hours of a generator
}

func orNone(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// newTariff lays the plan's grid out at prices q.
func newTariff(p *Plan, q *Prices) *tariff {
	annuity := func(life float64) float64 { return CapitalRecovery(q.DiscountRate, life) }
	hour := orNone(q.LabourPerH)
	t := &tariff{
		rate: q.DiscountRate, bankPerWh: orNone(q.BankPerKWh) / 1000, inverter: orNone(q.Inverter) * annuity(q.LifeInverterY),
		perWalk: orNone(q.CleanIntakeH) * hour, generator: orNone(q.Generator), generatorLifeH: q.LifeGeneratorH,
		perHour: orNone(q.UpkeepGenerator), perL: orNone(q.FuelPerL), engine: orNone(q.LabourGeneratorH) * hour,
	}
	for _, w := range p.Grid.PanelsW {
		cost := orNone(q.PanelPerKW) * math.Max(0, w-p.PanelW) / 1000 * annuity(q.LifePanelsY)
		if shape := p.shapeW(); shape > 0 && w > 0 {
			cost += orNone(q.UpkeepPanels) * w / shape
		}
		t.panel = append(t.panel, cost)
	}
	for _, wh := range p.Grid.BanksWh {
		bank := p.Bus.Bank.Scaled(wh)
		t.bank = append(t.bank, t.bankFor(wh, bankLife(bank.LifeYears(0))))
	}
	perM := orNone(q.PenstockPerM)
	rest := orNone(q.DiggingPerM)*p.PipeM + orNone(q.Works) + orNone(q.Permits) + orNone(q.BuildHydroH)*hour
	for _, w := range p.Waterways {
		pipe := perM * p.PipeM * math.Pow(w.BoreRatio, q.PenstockExponent)
		t.water = append(t.water, (pipe+rest)*annuity(q.LifePenstockY)+orNone(q.Turbine)*annuity(q.LifeHydroY)+
			orNone(q.UpkeepHydro)+orNone(q.LabourHydroH)*hour)
	}
	return t
}

// bankFor returns what a bank costs a year that lives so long.
func (t *tariff) bankFor(wh, lifeY float64) float64 {
	if wh <= 0 || lifeY <= 0 || math.IsInf(lifeY, 1) {
		return 0
	}
	return t.bankPerWh * wh * CapitalRecovery(t.rate, lifeY)
}

// atLeast returns what a mix costs a year at the least, by what is known of it;
// once it was run with its bank's wear, what it costs.
func (t *tariff) atLeast(k *market, m *mix) float64 {
	cost := t.inverter + t.panel[m.panel]
	if m.worn {
		cost += t.bankFor(k.p.Grid.BanksWh[m.bank], m.bankLifeY)
	} else {
		cost += t.bank[m.bank]
	}
	if m.water != noWater {
		cost += t.water[m.water] + t.perWalk*k.walks[m.water]
	}
	if m.generator {
		life := float64(GeneratorMaxY)
		if m.runningH > 0 && t.generatorLifeH > 0 {
			life = math.Min(life, t.generatorLifeH/m.runningH)
		}
		cost += t.generator*CapitalRecovery(t.rate, life) + t.perL*m.fuelL + t.perHour*m.runningH + t.engine
	}
	return cost
}
