package sizing_test

import (
	"math"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// homestead makes up years of an invented homestead: panels that are weak in
// winter, spells of dull weather, a creek that rises in autumn and dries up in
// summer, and a steady house.
func homestead(years int) []*sim.Input {
	x := uint64(2024)
	uniform := func() float64 {
		x = x*6364136223846793005 + 1442695040888963407
		return float64(x>>11) / (1 << 53)
	}
	ins := make([]*sim.Input, years)
	for i := range ins {
		const hours = 8760
		in := &sim.Input{
			Start:   time.Date(1990+i, 10, 1, 0, 0, 0, 0, time.UTC),
			Sources: sim.PanelsAndCreek(make([]float64, hours), make([]float64, hours)), DemandW: make([]float64, hours),
		}
		clear, wet := 0.7, 0.6+0.8*uniform()
		for d := range hours / 24 {
			season := math.Cos(2 * math.Pi * float64(d-80) / 365) // 1 about Christmas
			clear = 0.7*clear + 0.3*uniform()*(1.1-0.3*season)
			for h := range 24 {
				sun := math.Max(0, math.Sin(math.Pi*(float64(h)-7-season)/(10-4*season)))
				if float64(h) < 7+season || float64(h) > 17-3*season+2*season {
					sun = 0
				}
				in.W(sim.Panels)[24*d+h] = 2400 * sun * clear
				in.W(sim.Creek)[24*d+h] = math.Max(0, 260*wet*(season+0.3))
				in.DemandW[24*d+h] = 180 + 260*math.Max(0, math.Sin(math.Pi*float64(h-15)/9))
			}
		}
		ins[i] = in
	}
	return ins
}

// lead is a flooded bank of the given size; its cycle points are invented.
func lead(capacityWh float64) storage.Bank {
	return storage.Bank{
		Chemistry: "flooded", CapacityWh: capacityWh, VoltageV: 24, FloorSoC: 0.4, ComfortSoC: 0.6, StartSoC: 1,
		ChargeEfficiency: 0.9, DischargeEfficiency: 0.92, MaxChargeW: capacityWh / 5, MaxDischargeW: capacityWh / 2,
		SelfDischargePerH: 6e-5, IndoorC: 25, CalendarYears: 8,
		CycleLife: []storage.CyclePoint{{Depth: 0.05, Cycles: 15000}, {Depth: 0.31, Cycles: 2000}, {Depth: 0.55, Cycles: 1000}},
	}
}

// ideal is a bank without losses or limits.
func ideal(capacityWh float64) storage.Bank {
	return storage.Bank{
		CapacityWh: capacityWh, StartSoC: 1, ChargeEfficiency: 1, DischargeEfficiency: 1,
		MaxChargeW: math.Inf(1), MaxDischargeW: math.Inf(1),
	}
}
