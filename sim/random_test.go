package sim_test

import (
	"time"

	"pgregory.net/rapid"

	"sunrill/sim"
	"sunrill/storage"
)

// homestead draws an input of so many days and a bus to run it on. Every part
// is there in some draws and absent in others.
func homestead(t *rapid.T, days int) (*sim.Input, sim.Bus) {
	n := 24 * days
	power := func(name string, top float64) []float64 {
		scale := rapid.Float64Range(0, top).Draw(t, name)
		// A few drawn hours, repeated with another period than the day's.
		few := rapid.SliceOfN(rapid.Float64Range(0, 1), 37, 37).Draw(t, name+" pattern")
		s := make([]float64, n)
		for h := range s {
			s[h] = scale * few[(h+h/24)%len(few)]
		}
		return s
	}
	maybe := func(name string) bool { return rapid.Bool().Draw(t, name) }

	in := &sim.Input{
		Start:   time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC),
		Sources: sim.PanelsAndCreek(power("pv", 3000), power("hydro", 1500)),
		DemandW: power("demand", 2500),
	}
	for h := range in.W(sim.Panels) { // nights, and days without sun
		if hour := h % 24; hour < 7 || hour > 17 || in.W(sim.Panels)[h] < 400 {
			in.W(sim.Panels)[h] = 0
		}
	}
	for _, k := range []sim.Kind{{Key: "wind"}, {Key: "more panels", Throttled: true, Scalable: true}} {
		if maybe(k.Key) {
			in.Sources = append(in.Sources, sim.Source{Kind: k, W: power(k.Key, 900)})
		}
	}
	if maybe("no creek") {
		in.Sources = append(in.Sources[:1:1], in.Sources[2:]...)
	}
	if maybe("over rating") {
		in.OverW = make([]float64, n)
		for h := range in.OverW {
			in.OverW[h] = max(0, in.DemandW[h]-1200)
		}
	}
	if maybe("flexible") {
		in.FlexibleW = power("flexible", 1500)
		in.FlexibleWh = make([]float64, days)
		for d := range in.FlexibleWh {
			in.FlexibleWh[d] = 800 * float64(d%3)
		}
		if maybe("weekly") {
			in.WeeklyW, in.TogetherW, in.WeeklyWh = power("weekly", 900), make([]float64, n), make([]float64, (days+6)/7)
			for h := range in.WeeklyW {
				in.TogetherW[h] = max(in.FlexibleW[h], min(1700, in.FlexibleW[h]+in.WeeklyW[h]))
			}
			for w := range in.WeeklyWh {
				in.WeeklyWh[w] = 5000 * float64(w%3)
			}
		}
	}
	if maybe("shed") {
		in.BankC = power("bank warmth", 40)
		for h := range in.BankC {
			in.BankC[h] -= 15
		}
	}
	b := sim.Bus{Bank: bank(t), DumpW: rapid.Float64Range(0, 1500).Draw(t, "dump")}
	if maybe("generator") {
		b.Generator = &sim.Generator{
			RatedW: rapid.Float64Range(100, 3000).Draw(t, "rated"), StartSoC: 0.45, StopSoC: 0.8,
			MinRunH: rapid.IntRange(0, 5).Draw(t, "min run"), QuietFromH: 22, QuietToH: rapid.SampledFrom([]int{7, 22}).Draw(t, "quiet to"),
			FuelIdleLH: 0.28, FuelLPerKWh: 0.48,
		}
	}
	return in, b
}

func bank(t *rapid.T) storage.Bank {
	capWh := rapid.SampledFrom([]float64{0, 500, 5000, 20000}).Draw(t, "capacity")
	b := storage.Bank{
		Model:               storage.Bucket,
		CapacityWh:          capWh,
		FloorSoC:            rapid.SampledFrom([]float64{0, 0.3, 0.5}).Draw(t, "floor"),
		ComfortSoC:          0.6,
		StartSoC:            rapid.SampledFrom([]float64{0.5, 1}).Draw(t, "start"),
		ChargeEfficiency:    rapid.Float64Range(0.7, 1).Draw(t, "charge efficiency"),
		DischargeEfficiency: rapid.Float64Range(0.7, 1).Draw(t, "discharge efficiency"),
		MaxChargeW:          capWh * rapid.Float64Range(0.05, 1).Draw(t, "charge rate"),
		MaxDischargeW:       capWh * rapid.Float64Range(0.05, 1).Draw(t, "discharge rate"),
		SelfDischargePerH:   rapid.SampledFrom([]float64{0, 1e-4}).Draw(t, "leak"),
		WellFraction:        rapid.Float64Range(0.1, 1).Draw(t, "c"),
		WellRatePerH:        rapid.Float64Range(0.1, 4).Draw(t, "k"),
		IndoorC:             20,
		ChargeAboveC:        -273.15,
		CapacityByTemp:      []storage.TempPoint{{TempC: -20, Fraction: 0.5}, {TempC: 0, Fraction: 0.84}, {TempC: 25, Fraction: 1}, {TempC: 40, Fraction: 1.05}},
	}
	if rapid.Bool().Draw(t, "two wells") {
		b.Model = storage.TwoWell
	}
	if rapid.Bool().Draw(t, "disconnect") {
		b.ReconnectSoC = b.FloorSoC + 0.1
	}
	if rapid.Bool().Draw(t, "lithium") {
		b.ChargeAboveC = 0
		b.ChargeByTemp = []storage.RateStep{{FromC: 0, PerHour: 0.05}, {FromC: 8, PerHour: 0.4}, {FromC: 22, PerHour: 0.1}}
	}
	return b
}
