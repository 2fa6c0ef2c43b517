package storage

import "math"

// Chemistry is all that is told apart by the kind of cells: one row of the
// table [chemistries]. Nothing else in the program knows a chemistry by name.
type Chemistry struct {
	Name  string // as a site writes it
	Cells string // what it is, in a few words

	// How it gives off hydrogen while it charges, see [Vent]; 0: it does not.
	CellV            float64 // nominal, of one cell
	GassingA100Ah    float64 // at the usual end of charge
	EqualisingA100Ah float64 // while it is equalised; 0: it is not
	SeldomFull       string  // what follows if it is seldom full, and what to do; empty: nothing
	Cautions         []Caution
	preset
}

// Caution is a danger of a chemistry, and what to do about it.
type Caution struct{ Title, Text string }

// sourced is a default with where it comes from.
type sourced struct {
	value float64
	from  string
}

// preset is what [Preset] fills a bank in with.
type preset struct {
	model            Model
	charge           sourced // stored Wh per Wh from the bus
	discharge        sourced // Wh at the bus per Wh from the store
	floor            sourced // SoC
	chargeRate       sourced // of the capacity an hour
	dischargeRate    sourced // of the capacity an hour
	selfDischarge    sourced // share a month
	wellFraction     sourced
	wellRate         sourced // 1/h
	chargeAboveC     sourced
	chargeByTemp     []RateStep
	chargeByTempBy   string
	calendarYears    sourced
	capacityByTemp   []TempPoint
	capacityByTempBy string
	cycleLife        []CyclePoint
	cycleLifeBy      string
}

const hoursPerMonth = 365.25 * 24 / 12

// Chemistries returns the names that [Preset] knows.
func Chemistries() []string {
	names := make([]string, len(chemistries))
	for i := range chemistries {
		names[i] = chemistries[i].Name
	}
	return names
}

// ChemistryOf returns the row of the named chemistry, and whether there is one.
func ChemistryOf(name string) (Chemistry, bool) {
	for i := range chemistries {
		if chemistries[i].Name == name {
			return chemistries[i], true
		}
	}
	return Chemistry{}, false
}

// Kind returns the row of the bank's chemistry; of a bank that is not of a known
// one, a row that says nothing.
func (b *Bank) Kind() Chemistry {
	c, _ := ChemistryOf(b.Chemistry)
	return c
}

// Preset returns a bank of the named chemistry, with every value filled in,
// and whether the name is known. It begins the year full, counts as low below
// 20 points above its floor, stands indoors at 20 °C and has no disconnect.
func Preset(name string, capacityWh, voltageV float64) (Bank, bool) {
	c, ok := ChemistryOf(name)
	if !ok {
		return Bank{}, false
	}
	return Bank{
		Chemistry:           name,
		Model:               c.model,
		CapacityWh:          capacityWh,
		VoltageV:            voltageV,
		FloorSoC:            c.floor.value,
		ComfortSoC:          c.floor.value + 0.2,
		StartSoC:            1,
		ChargeEfficiency:    c.charge.value,
		DischargeEfficiency: c.discharge.value,
		MaxChargeW:          c.chargeRate.value * capacityWh,
		MaxDischargeW:       c.dischargeRate.value * capacityWh,
		SelfDischargePerH:   MonthlyLeak(c.selfDischarge.value),
		WellFraction:        c.wellFraction.value,
		WellRatePerH:        c.wellRate.value,
		IndoorC:             20,
		CapacityByTemp:      append([]TempPoint(nil), c.capacityByTemp...),
		ChargeAboveC:        c.chargeAboveC.value,
		ChargeByTemp:        append([]RateStep(nil), c.chargeByTemp...),
		CycleLife:           append([]CyclePoint(nil), c.cycleLife...),
		CalendarYears:       c.calendarYears.value,
	}, true
}

// MonthlyLeak returns the fraction of its charge that a bank loses in an hour if
// it loses the given share in a month of 730.5 hours.
func MonthlyLeak(fraction float64) float64 {
	return -math.Expm1(math.Log1p(-fraction) / hoursPerMonth)
}

// Why returns where a preset's value comes from, or "" for an unknown
// chemistry or key. Keys are those of a site's [bank]: charge_efficiency,
// discharge_efficiency, floor, charge_rate, discharge_rate, self_discharge,
// well_share, well_rate, charge_above, charge_by_temperature, calendar_life,
// capacity_by_temperature and cycle_life. A chemistry that takes the same
// charge at any temperature has no charge_by_temperature. Quantities stand in
// braces, "{0 to 60 °C}", for the units of who reads them.
func Why(name, key string) string {
	c, ok := ChemistryOf(name)
	if !ok {
		return ""
	}
	return map[string]string{
		"charge_efficiency": c.charge.from, "discharge_efficiency": c.discharge.from, "floor": c.floor.from,
		"charge_rate": c.chargeRate.from, "discharge_rate": c.dischargeRate.from, "self_discharge": c.selfDischarge.from,
		"well_share": c.wellFraction.from, "well_rate": c.wellRate.from,
		"charge_above": c.chargeAboveC.from, "charge_by_temperature": c.chargeByTempBy,
		"calendar_life": c.calendarYears.from, "capacity_by_temperature": c.capacityByTempBy, "cycle_life": c.cycleLifeBy,
	}[key]
}
