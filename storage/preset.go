package storage

import "math"

// sourced is a default with where it comes from.
type sourced struct {
	value float64
	from  string
}

// chemistry is one row of the table of presets.
type chemistry struct {
	name             string
	model            Model
	charge           sourced // stored Wh per Wh from the bus
	discharge        sourced // Wh at the bus per Wh from the store
	floor            sourced // SoC
	chargeRate       sourced // of the capacity an hour
	dischargeRate    sourced // of the capacity an hour
	selfDischarge    sourced // share a month
	wellShare        sourced
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

// Where defaults come from. The measured house is that of [Murphy]; the law
// that the wells are fitted to is [Peukert].
const (
	fromMemory  = "from memory"
	byMurphy    = "measured over 30 months in one off-grid house (Murphy 2012)"
	byPeukert   = "fitted to Peukert's law between 1 and 20 h, exponent"
	byTempTable = "a maker's table for discharges of more than an hour; -20 °C from memory"
)

// Lead-acid capacity against temperature. Above 25 °C the maker's table goes
// on to 1.05 at 40 °C; [Bank.FloorAt] makes no use of it.
var leadByTemp = []TempPoint{
	{-20, 0.55}, {0, 0.84}, {5, 0.88}, {10, 0.90}, {15, 0.94}, {20, 0.99}, {25, 1}, {30, 1.03}, {35, 1.04}, {40, 1.05},
}

var chemistries = []chemistry{
	{
		name: "flooded", model: TwoWell,
		charge:           sourced{0.92, "charge (Ah) efficiency, " + byMurphy},
		discharge:        sourced{0.902, "so that the round trip is 0.83, " + byMurphy},
		floor:            sourced{0.5, "common practice: 50 to 60 % depth"},
		chargeRate:       sourced{0.13, fromMemory},
		dischargeRate:    sourced{0.25, fromMemory},
		selfDischarge:    sourced{0.05, "a reference page's 4 to 6 % a month"},
		wellShare:        sourced{0.50, byPeukert + " 1.2"},
		wellRate:         sourced{0.40, byPeukert + " 1.2"},
		chargeAboveC:     sourced{-273.15, "lead-acid takes charge in the cold"},
		calendarYears:    sourced{5, "a bank that promised 5.5 years failed after 995 days (Murphy 2012)"},
		capacityByTemp:   leadByTemp,
		capacityByTempBy: byTempTable,
		cycleLife:        []CyclePoint{{0.05, 15000}, {0.31, 2000}, {0.55, 1000}, {0.80, 655}},
		cycleLifeBy:      "a generic deep-cycle curve as read by Murphy (2012), carried on to 80 % by its power law",
	},
	{
		name: "agm", model: TwoWell,
		charge:           sourced{0.95, fromMemory},
		discharge:        sourced{0.92, fromMemory},
		floor:            sourced{0.5, "common practice: 50 to 60 % depth"},
		chargeRate:       sourced{0.2, fromMemory},
		dischargeRate:    sourced{0.3, fromMemory},
		selfDischarge:    sourced{0.025, fromMemory},
		wellShare:        sourced{0.69, byPeukert + " 1.1"},
		wellRate:         sourced{0.35, byPeukert + " 1.1"},
		chargeAboveC:     sourced{-273.15, "lead-acid takes charge in the cold"},
		calendarYears:    sourced{6, fromMemory},
		capacityByTemp:   leadByTemp,
		capacityByTempBy: byTempTable,
		cycleLife:        []CyclePoint{{0.10, 5000}, {0.30, 1500}, {0.50, 700}, {0.80, 400}},
		cycleLifeBy:      fromMemory,
	},
	{
		name: "lfp", model: Bucket,
		charge:           sourced{0.97, "so that the round trip is 0.94, within the 0.92 to 0.98 of several secondary pages"},
		discharge:        sourced{0.97, "so that the round trip is 0.94, within the 0.92 to 0.98 of several secondary pages"},
		floor:            sourced{0.2, "common practice: 80 % depth"},
		chargeRate:       sourced{0.5, "a maker's manual for cells of 25 to 50 °C, and within its fast charge of 1 from 10 °C"},
		dischargeRate:    sourced{1, "a maker's manual, fast discharge at 0 to 60 °C"},
		selfDischarge:    sourced{0.02, "a reference page's 2 to 3 % a month"},
		wellShare:        sourced{1, "lithium: nearly all charge is available, from memory"},
		wellRate:         sourced{1, "of no effect with one well"},
		chargeAboveC:     sourced{0, "a maker's manual: no charging below 0 °C, lithium would plate out"},
		chargeByTemp:     []RateStep{{0, 0.1}, {5, 0.2}, {10, 1}, {50, 0.1}, {60, 0}},
		chargeByTempBy:   "a maker's manual: 0.1 an hour of the capacity from 0 °C, 0.2 (fast) from 5 °C, in full from 10 °C, 0.1 from 50 °C, none from 60 °C",
		calendarYears:    sourced{12, fromMemory},
		capacityByTemp:   []TempPoint{{-20, 0.70}, {0, 0.90}, {10, 0.96}, {20, 1}},
		capacityByTempBy: fromMemory,
		cycleLife:        []CyclePoint{{0.20, 15000}, {0.50, 6000}, {0.80, 3000}, {1, 2000}},
		cycleLifeBy:      "2000 to 5000 cycles at 80 to 90 % depth in guides; the rest from memory",
	},
}

const hoursPerMonth = 365.25 * 24 / 12

// Chemistries returns the names that [Preset] knows.
func Chemistries() []string {
	names := make([]string, len(chemistries))
	for i := range chemistries {
		names[i] = chemistries[i].name
	}
	return names
}

// Preset returns a bank of the named chemistry, with every value filled in,
// and whether the name is known. It begins the year full, counts as low below
// 20 points above its floor, stands indoors at 20 °C and has no disconnect.
// Lead-acid follows the two-well model, lithium the bucket.
func Preset(name string, capacityWh, voltageV float64) (Bank, bool) {
	for i := range chemistries {
		c := &chemistries[i]
		if c.name != name {
			continue
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
			WellShare:           c.wellShare.value,
			WellRatePerH:        c.wellRate.value,
			IndoorC:             20,
			CapacityByTemp:      append([]TempPoint(nil), c.capacityByTemp...),
			ChargeAboveC:        c.chargeAboveC.value,
			ChargeByTemp:        append([]RateStep(nil), c.chargeByTemp...),
			CycleLife:           append([]CyclePoint(nil), c.cycleLife...),
			CalendarYears:       c.calendarYears.value,
		}, true
	}
	return Bank{}, false
}

// MonthlyLeak returns the share of its charge that a bank loses in an hour if
// it loses the given share in a month of 730.5 hours.
func MonthlyLeak(share float64) float64 {
	return -math.Expm1(math.Log1p(-share) / hoursPerMonth)
}

// Why returns where a preset's value comes from, or "" for an unknown
// chemistry or key. Keys are those of a site's [bank]: charge_efficiency,
// discharge_efficiency, floor, charge_rate, discharge_rate, self_discharge,
// well_share, well_rate, charge_above, charge_by_temperature, calendar_life,
// capacity_by_temperature and cycle_life. Lead-acid has no charge_by_temperature.
func Why(name, key string) string {
	for i := range chemistries {
		c := &chemistries[i]
		if c.name != name {
			continue
		}
		switch key {
		case "charge_efficiency":
			return c.charge.from
		case "discharge_efficiency":
			return c.discharge.from
		case "floor":
			return c.floor.from
		case "charge_rate":
			return c.chargeRate.from
		case "discharge_rate":
			return c.dischargeRate.from
		case "self_discharge":
			return c.selfDischarge.from
		case "well_share":
			return c.wellShare.from
		case "well_rate":
			return c.wellRate.from
		case "charge_above":
			return c.chargeAboveC.from
		case "charge_by_temperature":
			return c.chargeByTempBy
		case "calendar_life":
			return c.calendarYears.from
		case "capacity_by_temperature":
			return c.capacityByTempBy
		case "cycle_life":
			return c.cycleLifeBy
		}
	}
	return ""
}
