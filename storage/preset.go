package storage

// Where defaults come from. The measured house is that of [Murphy]; the law
// that the wells are fitted to is [Peukert].
const (
	fromMemory  = "from memory"
	byMurphy    = "measured over 30 months in one off-grid house (Murphy 2012)"
	byPeukert   = "fitted to Peukert's law between 1 and 20 h, exponent"
	byTempTable = "a maker's table for discharges of more than an hour; {-20 °C} from memory"
)

// Lead-acid capacity against temperature. Above 25 °C the maker's table goes
// on to 1.05 at 40 °C; [Bank.FloorAt] makes no use of it.
var leadByTemp = []TempPoint{
	{-20, 0.55}, {0, 0.84}, {5, 0.88}, {10, 0.90}, {15, 0.94}, {20, 0.99}, {25, 1}, {30, 1.03}, {35, 1.04}, {40, 1.05},
}

// Cautions that chemistries share.
const (
	flame  = "ventilate the room to below 1 % of hydrogen; no flame, spark or smoking. "
	noMix  = " Do not put old and new cells side by side."
	guards = "Wear face shield, gloves and apron, keep water for flushing eyes at hand"
)

var acid = Caution{"Hydrogen and acid.", "Lead-acid cells give off an explosive gas while they charge: " + flame +
	guards + ", pour acid into water and never water into acid, and lay no tools on the cells." + noMix}

const sulphates = "Lead-acid that is seldom full sulphates and loses capacity for good: bring it to full every week or two, by a generator if need be."

// chemistries is the table of presets.
//
// Gassing currents are those that [Vent] names: 2 A per 100 Ah for vented cells
// charged to no more than 2.4 V, up to 6 without a limit; of sealed cells half
// of 2, from memory; of vented cells in lye 5, the standard's value for their
// boost charge, from memory.
var chemistries = []Chemistry{
	{
		Name: "flooded", Cells: "lead-acid in open cells",
		CellV: 2, GassingA100Ah: 2, EqualisingA100Ah: 6,
		SeldomFull: sulphates,
		Cautions: []Caution{acid, {"Equalising.", "A flooded bank that is equalised gasses several times more than on float. Open the room wide for as long as it lasts, " +
			"watch the cells’ temperature, top up with distilled water afterwards, and take off loads that the higher voltage would harm."}},
		preset: preset{
			model:            TwoWell,
			charge:           sourced{0.92, "charge (Ah) efficiency, " + byMurphy},
			discharge:        sourced{0.902, "so that the round trip is 0.83, " + byMurphy},
			floor:            sourced{0.5, "common practice: 50 to 60 % depth"},
			chargeRate:       sourced{0.13, fromMemory},
			dischargeRate:    sourced{0.25, fromMemory},
			selfDischarge:    sourced{0.05, "a reference page's 4 to 6 % a month"},
			wellFraction:     sourced{0.50, byPeukert + " 1.2"},
			wellRate:         sourced{0.40, byPeukert + " 1.2"},
			chargeAboveC:     sourced{-273.15, "lead-acid takes charge in the cold"},
			calendarYears:    sourced{5, "a bank that promised 5.5 years failed after 995 days (Murphy 2012)"},
			capacityByTemp:   leadByTemp,
			capacityByTempBy: byTempTable,
			cycleLife:        []CyclePoint{{0.05, 15000}, {0.31, 2000}, {0.55, 1000}, {0.80, 655}},
			cycleLifeBy:      "a generic deep-cycle curve as read by Murphy (2012), carried on to 80 % by its power law",
		},
	},
	{
		Name: "agm", Cells: "sealed lead-acid",
		CellV: 2, GassingA100Ah: 1,
		SeldomFull: sulphates,
		Cautions:   []Caution{acid},
		preset: preset{
			model:            TwoWell,
			charge:           sourced{0.95, fromMemory},
			discharge:        sourced{0.92, fromMemory},
			floor:            sourced{0.5, "common practice: 50 to 60 % depth"},
			chargeRate:       sourced{0.2, fromMemory},
			dischargeRate:    sourced{0.3, fromMemory},
			selfDischarge:    sourced{0.025, fromMemory},
			wellFraction:     sourced{0.69, byPeukert + " 1.1"},
			wellRate:         sourced{0.35, byPeukert + " 1.1"},
			chargeAboveC:     sourced{-273.15, "lead-acid takes charge in the cold"},
			calendarYears:    sourced{6, fromMemory},
			capacityByTemp:   leadByTemp,
			capacityByTempBy: byTempTable,
			cycleLife:        []CyclePoint{{0.10, 5000}, {0.30, 1500}, {0.50, 700}, {0.80, 400}},
			cycleLifeBy:      fromMemory,
		},
	},
	{
		Name: "lfp", Cells: "lithium iron phosphate",
		CellV:    3.2,
		Cautions: []Caution{{"Cold lithium cells.", "Lithium iron phosphate must not be charged below freezing (0 °C, 32 °F), and needs its management system to watch every cell."}},
		preset: preset{
			model:            Bucket,
			charge:           sourced{0.97, "so that the round trip is 0.94, within the 0.92 to 0.98 of several secondary pages"},
			discharge:        sourced{0.97, "so that the round trip is 0.94, within the 0.92 to 0.98 of several secondary pages"},
			floor:            sourced{0.2, "common practice: 80 % depth"},
			chargeRate:       sourced{0.5, "a maker's manual for cells of {25 to 50 °C}, and within its fast charge of 1 from {10 °C}"},
			dischargeRate:    sourced{1, "a maker's manual, fast discharge at {0 to 60 °C}"},
			selfDischarge:    sourced{0.02, "a reference page's 2 to 3 % a month"},
			wellFraction:     sourced{1, "lithium: nearly all charge is available, from memory"},
			wellRate:         sourced{1, "of no effect with one well"},
			chargeAboveC:     sourced{0, "a maker's manual: no charging below {0 °C}, lithium would plate out"},
			chargeByTemp:     []RateStep{{0, 0.1}, {5, 0.2}, {10, 1}, {50, 0.1}, {60, 0}},
			chargeByTempBy:   "a maker's manual: 0.1 an hour of the capacity from {0 °C}, 0.2 (fast) from {5 °C}, in full from {10 °C}, 0.1 from {50 °C}, none from {60 °C}",
			calendarYears:    sourced{12, fromMemory},
			capacityByTemp:   []TempPoint{{-20, 0.70}, {0, 0.90}, {10, 0.96}, {20, 1}},
			capacityByTempBy: fromMemory,
			cycleLife:        []CyclePoint{{0.20, 15000}, {0.50, 6000}, {0.80, 3000}, {1, 2000}},
			cycleLifeBy:      "2000 to 5000 cycles at 80 to 90 % depth in guides; the rest from memory",
		},
	},
	{
		Name: "nickel-iron", Cells: "nickel and iron in lye, open cells",
		CellV: 1.2, GassingA100Ah: 5,
		Cautions: []Caution{{"Hydrogen and lye.", "Nickel-iron cells give off an explosive gas all the while they charge: " + flame +
			guards + "; lye on skin or in eyes is rinsed with plenty of water at once, and seen by a doctor. Keep its funnels and hydrometer for it alone, " +
			"top it up with distilled water every few weeks, and lay no tools on the cells." + noMix}},
		preset: preset{
			model:            Bucket,
			charge:           sourced{0.80, "of what it is charged with a fifth goes into gas, " + fromMemory},
			discharge:        sourced{0.81, "so that the round trip is 0.65, within the 0.65 to 0.80 told of such cells, " + fromMemory},
			floor:            sourced{0.2, "makers allow 80 % depth, " + fromMemory},
			chargeRate:       sourced{0.2, "a five-hour charge, " + fromMemory},
			dischargeRate:    sourced{0.2, "its inner resistance is high; rated over five hours, " + fromMemory},
			selfDischarge:    sourced{0.25, "20 to 30 % a month, " + fromMemory},
			wellFraction:     sourced{1, "reckoned as one well, " + fromMemory},
			wellRate:         sourced{1, "of no effect with one well"},
			chargeAboveC:     sourced{-273.15, "lye does not freeze in a house or shed, " + fromMemory},
			calendarYears:    sourced{20, "told to last 20 years and more if watered, " + fromMemory},
			capacityByTemp:   []TempPoint{{-20, 0.5}, {0, 0.8}, {20, 1}},
			capacityByTempBy: fromMemory,
			cycleLife:        []CyclePoint{{0.20, 12000}, {0.50, 5000}, {0.80, 3000}, {1, 2000}},
			cycleLifeBy:      "deep discharges do it little harm; the numbers are " + fromMemory,
		},
	},
}
