package changeover_test

import (
	"math"
	"math/rand/v2"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// kind is what a made-up homestead is like.
type kind struct {
	name       string
	capWh      float64
	two        bool // wells
	disconnect bool
	generator  bool
	shed       bool // the bank stands in the cold
	flexible   bool
	over       bool // the inverter is too small
	leak       float64
	south      bool
	start      float64 // charge; 0: full
	hydroW     float64
}

// homestead makes up a water year: panels that fail in dull spells, a creek
// that comes with the rain, evenings of demand.
func homestead(k kind, seed uint64) (*sim.Input, sim.Bus) {
	r := rand.New(rand.NewPCG(seed, 1))
	start := time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC) // a leap year follows
	if k.south {
		start = time.Date(2016, 4, 1, 0, 0, 0, 0, time.UTC)
	}
	days := int(start.AddDate(1, 0, 0).Sub(start).Hours() / 24)
	n := 24 * days
	in := &sim.Input{
		Start:   start,
		Sources: sim.PanelsAndCreek(make([]float64, n), make([]float64, n)), DemandW: make([]float64, n),
		RainMM: make([]float64, days), FlowM3S: make([]float64, days), SunHours: make([]float64, days),
	}
	if k.shed {
		in.BankC = make([]float64, n)
	}
	if k.over {
		in.OverW = make([]float64, n)
	}
	if k.flexible {
		in.FlexibleW, in.FlexibleWh = make([]float64, n), make([]float64, days)
	}
	flow, dull := 0.4, 0.5
	for d := range days {
		winter := math.Cos(2 * math.Pi * float64(d-83) / 365) // 1 in midwinter
		dull = 0.6*dull + 0.4*r.Float64()
		wet := dull > 0.55-0.2*winter
		if wet {
			in.RainMM[d] = -8 * math.Log(1-r.Float64()) * (1.2 + winter)
		}
		flow = 0.93*flow + 0.06*in.RainMM[d]
		in.FlowM3S[d] = flow / 1000
		peak := 900 * (1.15 - 0.6*winter) * (1 - 0.8*dull)
		in.SunHours[d] = 5 * peak / 900
		for h := range 24 {
			i := 24*d + h
			in.W(sim.Panels)[i] = peak * max(0, math.Sin(math.Pi*(float64(h)-6.5)/11))
			if k.hydroW > 0 && flow > 0.8 {
				in.W(sim.Creek)[i] = k.hydroW * min(1, flow/3)
			}
			in.DemandW[i] = 60 + 40*r.Float64()
			if h >= 17 && h < 23 {
				in.DemandW[i] += 150 * (1 + 0.6*winter) * (0.5 + r.Float64())
			}
			if k.over {
				in.OverW[i] = max(0, in.DemandW[i]-380)
			}
			if k.shed {
				in.BankC[i] = 10 - 12*winter + 4*math.Sin(2*math.Pi*float64(h-9)/24) + 3*r.Float64()
			}
			if k.flexible {
				in.FlexibleW[i] = 300
			}
		}
		if k.flexible {
			in.FlexibleWh[d] = 900
		}
		if flow > 0.8 && r.Float64() < 0.05 {
			in.DryStopHour = append(in.DryStopHour, 24*d+r.IntN(24))
		}
	}
	b := sim.Bus{DumpW: 200, Bank: storage.Bank{
		CapacityWh: k.capWh, FloorSoC: 0.3, ComfortSoC: 0.5, StartSoC: 1,
		ChargeEfficiency: 0.92, DischargeEfficiency: 0.95,
		MaxChargeW: k.capWh / 6, MaxDischargeW: k.capWh / 4, SelfDischargePerH: k.leak,
		IndoorC: 15, ChargeAboveC: -273.15,
	}}
	if k.shed {
		b.Bank.CapacityByTemp = []storage.TempPoint{{TempC: -20, Fraction: 0.5}, {TempC: 0, Fraction: 0.84}, {TempC: 25, Fraction: 1}}
		b.Bank.ChargeAboveC = 0
	}
	if k.start > 0 {
		b.Bank.StartSoC = k.start
	}
	if k.two {
		b.Bank.Model, b.Bank.WellFraction, b.Bank.WellRatePerH = storage.TwoWell, 0.35, 0.5
	}
	if k.disconnect {
		b.Bank.ReconnectSoC = 0.42
	}
	if k.generator {
		b.Generator = &sim.Generator{RatedW: 800, StartSoC: 0.4, StopSoC: 0.7, MinRunH: 2, QuietFromH: 22, QuietToH: 7, FuelIdleLH: 0.3, FuelLPerKWh: 0.35}
	}
	return in, b
}

// Where some of the kinds stand.
const (
	neverMeet = 2
	twoWells  = 7
)

// kinds are ten homesteads that differ in all that a run can meet.
var kinds = []kind{
	{name: "plain", capWh: 6000, leak: 5e-5, hydroW: 90},
	{name: "small bank, southern", capWh: 1500, hydroW: 60, south: true},
	{name: "never full, never empty", capWh: 1700e3, leak: 3e-5, hydroW: 110, start: 0.6},
	{name: "cold shed, small inverter", capWh: 9000, leak: 1e-4, hydroW: 70, shed: true, over: true},
	{name: "disconnect", capWh: 6000, leak: 5e-5, hydroW: 60, disconnect: true},
	{name: "generator, flexible loads", capWh: 8000, leak: 5e-5, hydroW: 60, generator: true, flexible: true},
	{name: "generator, disconnect, shed", capWh: 12000, hydroW: 50, generator: true, disconnect: true, shed: true},
	{name: "two wells", capWh: 7000, leak: 5e-5, hydroW: 70, two: true},
	{name: "two wells, disconnect, southern", capWh: 5000, leak: 1e-4, hydroW: 60, two: true, disconnect: true, south: true, over: true},
	{name: "no bank", capWh: 0, hydroW: 90},
}
