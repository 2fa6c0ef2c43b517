package changeover_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/storage"
)

// Every pair of a few wild weeks, on any bus, is as the run of that pair.
func TestPairsOfAnyHomestead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, bus := wild(t, rapid.IntRange(1, 24).Draw(t, "days"))
		if rapid.Bool().Draw(t, "ways") {
			alternatives(in, rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed of the ways"), 9)))
		}
		s := changeover.NewSearch(bus)
		table := s.Pairs(in)
		s.Around(table, in)
		days := in.Hours() / 24
		for range 12 {
			p := changeover.Pair{Open: rapid.IntRange(0, days-1).Draw(t, "open"), Close: rapid.IntRange(0, days).Draw(t, "close")}
			if p.Close == 0 {
				p.Close = days
			}
			got, want := table.Of(p), runPair(t, in, bus, p)
			if !same(got, want) {
				t.Fatalf("open on day %d, closed on day %d of %d: %+v, the run gives %+v", p.Open, p.Close, days, got, want)
			}
		}
	})
}

// wild draws weeks without any sense of weather, and a bus with any parts.
func wild(t *rapid.T, days int) (*sim.Input, sim.Bus) {
	n := 24 * days
	power := func(name string, top float64) []float64 {
		scale := rapid.Float64Range(0, top).Draw(t, name)
		few := rapid.SliceOfN(rapid.Float64Range(0, 1), 31, 31).Draw(t, name+" pattern")
		s := make([]float64, n)
		for h := range s {
			s[h] = scale * few[(h+h/24)%len(few)]
		}
		return s
	}
	maybe := func(name string) bool { return rapid.Bool().Draw(t, name) }
	in := &sim.Input{
		Start:   time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC),
		Sources: sim.PanelsAndCreek(power("pv", 2500), power("hydro", 900)), DemandW: power("demand", 1800),
	}
	for h := range in.W(sim.Panels) {
		if hour := h % 24; hour < 7 || hour > 17 {
			in.W(sim.Panels)[h] = 0
		}
		if in.W(sim.Creek)[h] < 120 {
			in.W(sim.Creek)[h] = 0
		}
	}
	if maybe("over rating") {
		in.OverW = make([]float64, n)
		for h := range in.OverW {
			in.OverW[h] = max(0, in.DemandW[h]-1000)
		}
	}
	if maybe("flexible") {
		in.FlexibleW, in.FlexibleWh = power("flexible", 1500), make([]float64, days)
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
	capWh := rapid.SampledFrom([]float64{0, 800, 6000, 60000, 400000}).Draw(t, "capacity")
	b := sim.Bus{DumpW: 500, Bank: storage.Bank{
		CapacityWh:          capWh,
		FloorSoC:            rapid.SampledFrom([]float64{0, 0.3, 0.5}).Draw(t, "floor"),
		ComfortSoC:          0.6,
		StartSoC:            rapid.SampledFrom([]float64{0.55, 0.8, 1}).Draw(t, "start"),
		ChargeEfficiency:    rapid.Float64Range(0.7, 1).Draw(t, "charge efficiency"),
		DischargeEfficiency: rapid.Float64Range(0.7, 1).Draw(t, "discharge efficiency"),
		MaxChargeW:          capWh * rapid.Float64Range(0.05, 1).Draw(t, "charge rate"),
		MaxDischargeW:       capWh * rapid.Float64Range(0.05, 1).Draw(t, "discharge rate"),
		SelfDischargePerH:   rapid.SampledFrom([]float64{0, 1e-4, 1e-3}).Draw(t, "leak"),
		WellFraction:        rapid.Float64Range(0.1, 1).Draw(t, "c"),
		WellRatePerH:        rapid.Float64Range(0.1, 4).Draw(t, "k"),
		IndoorC:             20,
		ChargeAboveC:        rapid.SampledFrom([]float64{-273.15, 0}).Draw(t, "charge above"),
		CapacityByTemp:      []storage.TempPoint{{TempC: -20, Fraction: 0.5}, {TempC: 0, Fraction: 0.84}, {TempC: 25, Fraction: 1}},
	}}
	if maybe("two wells") {
		b.Bank.Model = storage.TwoWell
	}
	if maybe("disconnect") {
		b.Bank.ReconnectSoC = b.Bank.FloorSoC + 0.1
	}
	if maybe("generator") {
		b.Generator = &sim.Generator{
			RatedW: rapid.Float64Range(100, 2500).Draw(t, "rated"), StartSoC: 0.45, StopSoC: 0.8,
			MinRunH: rapid.IntRange(0, 5).Draw(t, "min run"), QuietFromH: 22, QuietToH: rapid.SampledFrom([]int{7, 22}).Draw(t, "quiet to"),
		}
	}
	return in, b
}
