package site

import "sunrill/sim/worth"

// costs reads [costs]. A price that is not given stays unknown; only lives,
// the rate and the years looked at have defaults.
func (l *loader) costs() {
	t := l.table("costs")
	if t == nil {
		return
	}
	p := &worth.Prices{}
	p.Currency = t.text("currency", need("a label for the sums: currency = \"EUR\""))
	price := func(key string) *float64 {
		if !t.has(key) {
			return nil
		}
		v := t.number(key, 0, 1e9, optional, "a sum of money, 0 or more, without the currency")
		return &v
	}
	// either reads one of two keys that say the same in different units.
	either := func(key, usKey string, factor float64) *float64 {
		a, b := price(key), price(usKey)
		if a != nil && b != nil {
			t.wrong(usKey, "keep one of them", "is given beside %s", key)
		}
		if a == nil && b != nil {
			v := *b * factor
			return &v
		}
		return a
	}
	hours := func(key string) *float64 {
		if !t.has(key) {
			return nil
		}
		v := t.quantity(key, Hours, 0, 8760, optional, "own hours a year")
		return &v
	}
	p.PanelPerKW = price("panel_per_kw")
	p.BankPerKWh = price("bank_per_kwh")
	p.PenstockPerM = either("penstock_per_m", "penstock_per_ft", 1/footM)
	p.Turbine = price("turbine")
	p.Works = price("works")
	p.Inverter = price("inverter")
	p.Generator = price("generator")
	p.FuelPerL = either("fuel_per_l", "fuel_per_gal", 1/gallonL)
	p.UpkeepHydro = price("upkeep_hydro")
	p.UpkeepPanels = price("upkeep_panels")
	p.UpkeepGenerator = price("upkeep_generator_per_h")
	p.LabourHydroH = hours("labour_hydro")
	p.LabourGeneratorH = hours("labour_generator")
	p.LabourPerH = price("labour_per_h")
	p.LifePanelsY = t.quantity("life_panels", Years, 1, 100, or("25 years", "common practice; panels lose about 0.5 % a year"))
	p.LifeHydroY = t.quantity("life_hydro", Years, 1, 100, or("15 years", "judgement; large machines are reckoned at 40 years, their runners at 10"))
	p.LifePenstockY = t.quantity("life_penstock", Years, 1, 100, or("40 years", "judgement; large plant is reckoned at 70 years"))
	p.LifeInverterY = t.quantity("life_inverter", Years, 1, 100, or("12 years", "10 to 15, from memory"))
	p.LifeGeneratorH = t.quantity("life_generator", Hours, 10, 1e6, or("3000 h", "a small petrol set, from memory"))
	p.DiscountRate = t.quantity("discount_rate", Share, 0, 1, or("4 %", "judgement"), "a share a year, 0 or more")
	p.Years = t.quantity("years", Years, 1, 100, or("20 years", "judgement"))
	l.site.Prices = p
	t.done()
}
