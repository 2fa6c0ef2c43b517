package site

import (
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// costs reads [costs]. A price that is not given stays unknown; only lives,
// the rate and the years looked at have defaults.
func (l *loader) costs() {
	t := l.Table("costs")
	if t == nil {
		return
	}
	p := &worth.Prices{}
	p.Currency = t.Text("currency", files.Need("a label for the sums: currency = \"EUR\""))
	price := func(key string) *float64 {
		if !t.Has(key) {
			return nil
		}
		v := t.Number(key, 0, 1e9, files.Optional, "a sum of money, 0 or more, without the currency")
		return &v
	}
	// either reads one of two keys that say the same in different units.
	either := func(key, usKey string, factor float64) *float64 {
		a, b := price(key), price(usKey)
		if a != nil && b != nil {
			t.Wrong(usKey, "keep one of them", "is given beside %s", key)
		}
		if a == nil && b != nil {
			v := *b * factor
			return &v
		}
		return a
	}
	hours := func(key string) *float64 {
		if !t.Has(key) {
			return nil
		}
		v := t.Quantity(key, measure.HourCounts, 0, 8760, files.Optional, "own hours a year")
		return &v
	}
	p.PanelPerKW = price("panel_per_kw")
	p.BankPerKWh = price("bank_per_kwh")
	p.PenstockPerM = either("penstock_per_m", "penstock_per_ft", 1/measure.FootM)
	p.Turbine = price("turbine")
	p.Works = price("works")
	p.PenstockExponent = t.Number("penstock_exponent", 0, 4, files.Or("2", "by weight: of one pressure class the wall goes with the bore"), "how a metre's price goes with the bore: 2 is with its square")
	p.DiggingPerM = either("digging_per_m", "digging_per_ft", 1/measure.FootM)
	p.Permits = price("permits")
	p.Inverter = price("inverter")
	p.Generator = price("generator")
	p.FuelPerL = either("fuel_per_l", "fuel_per_gal", 1/measure.GallonL)
	p.UpkeepHydro = price("upkeep_hydro")
	p.UpkeepPanels = price("upkeep_panels")
	p.UpkeepGenerator = price("upkeep_generator_per_h")
	p.LabourHydroH = hours("labour_hydro")
	p.CleanIntakeH = hours("clean_intake")
	p.BuildHydroH = hours("build_hydro")
	p.LabourGeneratorH = hours("labour_generator")
	p.LabourPerH = price("labour_per_h")
	p.LifePanelsY = t.Quantity("life_panels", measure.YearCounts, 1, 100, files.Or("25 years", "common practice; panels lose about 0.5 % a year"))
	p.LifeHydroY = t.Quantity("life_hydro", measure.YearCounts, 1, 100, files.Or("15 years", "judgement; large machines are reckoned at 40 years, their runners at 10"))
	p.LifePenstockY = t.Quantity("life_penstock", measure.YearCounts, 1, 100, files.Or("40 years", "judgement; large plant is reckoned at 70 years"))
	p.LifeInverterY = t.Quantity("life_inverter", measure.YearCounts, 1, 100, files.Or("12 years", "10 to 15, from memory"))
	p.LifeGeneratorH = t.Quantity("life_generator", measure.HourCounts, 10, 1e6, files.Or("3000 h", "a small petrol set, from memory"))
	p.DiscountRate = t.Quantity("discount_rate", measure.InterestRates, 0, 1, files.Or("4 %", "judgement"), "a share a year, 0 or more")
	p.Years = t.Quantity("years", measure.YearCounts, 1, 100, files.Or("20 years", "judgement"))
	l.site.Prices = p
	t.Done()
}

// limits reads [limits]: what cannot be passed, whatever it costs.
func (l *loader) limits() {
	t := l.Table("limits")
	if t == nil {
		return
	}
	l.site.MaxPanelsW = t.Quantity("panels", measure.Powers, 0, 1e6, files.Optional, "what roof and ground hold: panels = \"12 kW\"")
	t.Done()
}
