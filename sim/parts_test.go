package sim_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// ideal is a bucket of 1000 Wh without losses or limits.
func ideal() storage.Bank {
	return storage.Bank{CapacityWh: 1000, StartSoC: 1, ChargeEfficiency: 1, DischargeEfficiency: 1, MaxChargeW: 1e4, MaxDischargeW: 1e4}
}

func hours(pv, hydro, demand []float64) *sim.Input {
	return &sim.Input{Start: time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC), Sources: sim.PanelsAndCreek(pv, hydro), DemandW: demand}
}

func fill(n int, v float64) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

func mustRun(t *testing.T, in *sim.Input, b sim.Bus) *sim.Year {
	t.Helper()
	y, err := sim.Run(in, b)
	if err != nil {
		t.Fatal(err)
	}
	return y
}

// Hydro feeds the house first and charges first; flexible loads come before
// the dump load; panels are curtailed; what the dump load cannot take is a
// hazard.
func TestOrderOnTheBus(t *testing.T) {
	in := hours([]float64{300, 300}, []float64{500, 900}, []float64{100, 100})
	in.FlexibleW, in.FlexibleWh = []float64{150, 150}, []float64{200}
	bank := ideal()
	bank.StartSoC = 0.9 // room for 100 Wh
	y := mustRun(t, in, sim.Bus{Bank: bank, DumpW: 200})
	for _, row := range []struct {
		what      string
		got, want float64
	}{
		{"charged", y.BankInW[0], 100}, {"flexible", y.FlexibleW[0], 150}, {"dumped", y.DumpW[0], 150},
		{"beyond the dump load", y.OverDumpW[0], 0}, {"curtailed", y.CurtailedW[0], 300},
		{"charged when full", y.BankInW[1], 0}, {"rest of the day's need", y.FlexibleW[1], 50}, {"dumped", y.DumpW[1], 200},
		{"beyond the dump load", y.OverDumpW[1], 550}, {"curtailed", y.CurtailedW[1], 300},
	} {
		near(t, row.what, row.got, row.want, 1e-9)
	}
	s := sim.Summarize(y)
	if s.HazardHours != 1 || s.FirstHazardHour != 1 || s.HydroDays != 1 {
		t.Errorf("summary %+v", s)
	}
	near(t, "flexible share", s.FlexibleFraction(), 1, 1e-12)
}

// A need of the week carries over from day to day until the week ends, and
// comes after that of the day; both together take what the inverter allows.
func TestWeeklyNeedCarriesOver(t *testing.T) {
	const n = 9 * 24
	sun := fill(n, 0)
	sun[12], sun[2*24+12], sun[6*24+12], sun[7*24+12] = 700, 700, 700, 700
	in := hours(sun, fill(n, 0), fill(n, 0))
	in.FlexibleW, in.FlexibleWh = fill(n, 200), fill(9, 150)
	in.WeeklyW, in.WeeklyWh, in.TogetherW = fill(n, 400), []float64{900, 250}, fill(n, 500)
	y := mustRun(t, in, sim.Bus{})
	for _, row := range []struct {
		what  string
		day   int
		wantW float64
	}{
		{"150 W for the day, 350 W for the week", 0, 500}, {"again", 2, 500}, {"what is left of the week's", 6, 350}, {"a new week", 7, 400},
	} {
		near(t, row.what, y.FlexibleW[24*row.day+12], row.wantW, 1e-9)
	}
	s := sim.Summarize(y)
	near(t, "need of nine days and two weeks", s.FlexibleNeedWh, 9*150+900+250, 1e-9)
	near(t, "held back", y.CurtailedW[24*7+12], 300, 1e-9)
}

func TestDisconnectTakesTheHouseOff(t *testing.T) {
	// 1000 Wh, floor 50 %, reconnect at 70 %: 300 W empty it in the second
	// hour; 100 W of sun need two hours more to bring it back.
	in := hours([]float64{0, 0, 100, 100, 100, 100}, fill(6, 0), []float64{300, 300, 50, 50, 50, 50})
	bank := ideal()
	bank.FloorSoC, bank.ReconnectSoC = 0.5, 0.7
	y := mustRun(t, in, sim.Bus{Bank: bank})
	want := []float64{300, 200, 0, 0, 50, 50}
	for h := range want {
		near(t, "served", y.ServedW[h], want[h], 1e-9)
	}
	near(t, "charged while off", y.BankInW[2], 100, 1e-9)

	bank.ReconnectSoC = 0 // partial service instead
	y = mustRun(t, in, sim.Bus{Bank: bank})
	near(t, "served at the floor", y.ServedW[2], 50, 1e-9)
}

func TestGenerator(t *testing.T) {
	demand := fill(48, 100)
	bank := ideal()
	bank.MaxChargeW = 300
	g := &sim.Generator{RatedW: 500, StartSoC: 0.3, StopSoC: 0.8, MinRunH: 2, FuelIdleLH: 0.3, FuelLPerKWh: 0.5, ServiceHours: 4}
	in := hours(fill(48, 0), fill(48, 0), demand)
	y := mustRun(t, in, sim.Bus{Bank: bank, Generator: g})
	// Down to 300 Wh after 7 hours; then 100 W to the house and 300 W to the
	// bank until it is at 800 Wh: two hours. 900 Wh; 6 hours down to 300 again.
	for h, want := range []float64{0, 0, 0, 0, 0, 0, 0, 400, 400, 0, 0, 0, 0, 0, 0, 400, 400, 0} {
		near(t, "generator", y.GeneratorW[h], want, 1e-9)
	}
	if y.Tally.UnmetHours != 0 {
		t.Errorf("%d unmet hours", y.Tally.UnmetHours)
	}
	n := y.Tally.GeneratorHours
	near(t, "fuel", y.Tally.FuelL, 0.3*float64(n)+0.5*0.4*float64(n), 1e-9)
	s := sim.Summarize(y)
	if s.GeneratorStarts != (n+1)/2 || s.Services != n/4 {
		t.Errorf("%d starts, %d services in %d hours", s.GeneratorStarts, s.Services, n)
	}

	g.QuietFromH, g.QuietToH = 5, 9 // not while the neighbours sleep
	y = mustRun(t, in, sim.Bus{Bank: bank, Generator: g})
	near(t, "quiet", y.GeneratorW[7]+y.GeneratorW[8], 0, 0)
	near(t, "after the quiet hours", y.GeneratorW[9], 400, 1e-9)
	g.QuietFromH, g.QuietToH = 21, 9 // across midnight
	y = mustRun(t, in, sim.Bus{Bank: bank, Generator: g})
	for h := range 9 {
		near(t, "quiet", y.GeneratorW[h]+y.GeneratorW[24+h], 0, 0)
	}

	// It does not leave the house in the dark behind an open disconnect, though
	// it would not start at this charge: from 09:00 on it carries it.
	cut := ideal()
	cut.FloorSoC, cut.ReconnectSoC = 0.5, 0.7
	g.StartSoC = 0.2
	y = mustRun(t, in, sim.Bus{Bank: cut, Generator: g})
	near(t, "dark in quiet hours", y.ServedW[8], 0, 0)
	near(t, "carried after them", y.ServedW[9], 100, 1e-9)
	near(t, "and the bank charged", y.GeneratorW[9], 500, 1e-9)
	g.StartSoC = 0.3

	// Without a bank it starts when the house is short and covers it.
	y = mustRun(t, in, sim.Bus{Generator: &sim.Generator{RatedW: 60, StartSoC: 0.3, StopSoC: 0.8}})
	near(t, "covered", y.ServedW[5], 60, 1e-9)
	near(t, "unmet", y.UnmetW[5], 40, 1e-9)
}

func TestOverRatingIsUnmetWhateverTheBank(t *testing.T) {
	in := hours(fill(4, 0), fill(4, 1000), []float64{100, 300, 100, 100})
	in.OverW = []float64{0, 120, 0, 0}
	y := mustRun(t, in, sim.Bus{Bank: ideal(), DumpW: 2000})
	near(t, "unmet", y.UnmetW[1], 120, 1e-9)
	s := sim.Summarize(y)
	if s.OverHours != 1 || s.FirstOverHour != 1 || s.UnmetHours != 1 || s.DeepestDeficit.DepthWh != 0 {
		t.Errorf("summary %+v", s)
	}
}

func TestColdBank(t *testing.T) {
	lfp, _ := storage.Preset("lfp", 1000, 48)
	lfp.StartSoC = 0.5
	in := hours(fill(2, 100), fill(2, 0), fill(2, 0))
	in.BankC = []float64{-1, 1}
	y := mustRun(t, in, sim.Bus{Bank: lfp})
	near(t, "lithium below freezing takes nothing", y.BankInW[0], 0, 0)
	near(t, "above it charges", y.BankInW[1], 100, 1e-9)
	in = hours(fill(3, 400), fill(3, 0), fill(3, 0))
	in.BankC = []float64{2, 7, 12}
	lfp.SelfDischargePerH, lfp.StartSoC = 0, 0
	y = mustRun(t, in, sim.Bus{Bank: lfp})
	for h, want := range []float64{100, 200, 400} { // 0.1 and 0.2 an hour, then all
		near(t, "cool lithium charges slowly", y.BankInW[h], want, 1e-9)
	}

	lead, _ := storage.Preset("flooded", 1000, 48)
	lead.Model, lead.SelfDischargePerH, lead.MaxDischargeW = storage.Bucket, 0, 1e4
	for _, c := range []struct{ tempC, fraction float64 }{{25, 1}, {10, 0.90}, {0, 0.84}, {40, 1}} {
		in := hours(fill(3, 0), fill(3, 0), fill(3, 2000))
		in.BankC = fill(3, c.tempC)
		y := mustRun(t, in, sim.Bus{Bank: lead})
		near(t, "usable", y.Tally.BankOutWh, c.fraction*0.5*1000*lead.DischargeEfficiency, 1e-6)
	}
}

func TestNoBank(t *testing.T) {
	in := hours([]float64{0, 500}, []float64{50, 50}, []float64{80, 80})
	var b sim.Bus
	b.DumpW = 100
	y := mustRun(t, in, b)
	near(t, "served", y.ServedW[0], 50, 1e-12)
	near(t, "curtailed", y.CurtailedW[1], 470, 1e-12)
	if y.SoC[1] != 0 || y.Tally.LowHours != 0 || y.Tally.MinSoC != 0 {
		t.Errorf("no bank, but %+v", y.Tally)
	}
}

func TestSpells(t *testing.T) {
	// Full, a night, full again; then a deep one, in which this bank leaves 200 Wh
	// unmet, and which never ends: 900 + 300 − 200 + 100 Wh are owed.
	in := hours([]float64{100, 0, 0, 400, 100, 0, 0, 300, 0}, fill(9, 0), []float64{100, 100, 100, 100, 100, 900, 300, 100, 100})
	got := sim.Spells(mustRun(t, in, sim.Bus{Bank: ideal()}))
	want := []sim.Spell{
		{Start: 1, Hours: 3, DepthWh: 200},
		{Start: 5, Hours: 4, DepthWh: 1200, LeftWh: 1100, UnmetWh: 200, UnmetHours: 1},
	}
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("spells %+v, want %+v", got, want)
	}
	// A bank of that depth rides through the second.
	bank := ideal().Scaled(1200)
	if y := mustRun(t, in, sim.Bus{Bank: bank}); y.Tally.UnmetHours != 0 {
		t.Errorf("1200 Wh leave %g Wh unmet", y.Tally.UnmetWh)
	}
}

// The spells of a year are the same whatever bank is run through it, none
// included but for its losses.
func TestSpellsAreTheSameOnAnyBank(t *testing.T) {
	in := hours([]float64{100, 0, 0, 400, 100, 0, 0, 300, 0}, fill(9, 0), []float64{100, 100, 100, 100, 100, 900, 300, 100, 100})
	want := sim.Spells(mustRun(t, in, sim.Bus{Bank: ideal()}))
	two := ideal()
	two.Model, two.WellFraction, two.WellRatePerH = storage.TwoWell, 0.5, 1
	for _, bank := range []storage.Bank{ideal().Scaled(10), ideal().Scaled(1e5), two, {}} {
		got := sim.Spells(mustRun(t, in, sim.Bus{Bank: bank}))
		if len(got) != len(want) {
			t.Fatalf("%g Wh: spells %+v, want %+v", bank.CapacityWh, got, want)
		}
		for i := range got {
			got[i].UnmetWh, got[i].UnmetHours = want[i].UnmetWh, want[i].UnmetHours
			if got[i] != want[i] {
				t.Errorf("%g Wh: spell %+v, want %+v", bank.CapacityWh, got[i], want[i])
			}
		}
	}
}

func TestSummary(t *testing.T) {
	demand := fill(72, 100)
	in := hours(fill(72, 0), fill(72, 100), demand)
	for h := range demand {
		if h >= 20 && h < 50 {
			in.W(sim.Creek)[h] = 0
		}
	}
	in.DryStopHour = []int{20}
	s := sim.Summarize(mustRun(t, in, sim.Bus{Bank: ideal()}))
	if s.UnmetHours != 20 || s.UnmetDays != 2 || s.LongestUnmetH != 20 || s.HydroDays != 2 || s.DryPipeStops != 1 || s.Deficits != 1 {
		t.Errorf("summary %+v", s)
	}
	near(t, "deepest deficit", s.DeepestDeficit.DepthWh, 3000, 1e-9)
	near(t, "full cycles", s.Wear.FullCycles, 0.5, 1e-9)
}

func TestCompareMeter(t *testing.T) {
	start := time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)
	r := sim.Reading{
		Time:   []time.Time{start.Add(-time.Hour), start, start.Add(30 * time.Minute), start.Add(2 * time.Hour), start.Add(3 * time.Hour), start.Add(99 * time.Hour)},
		Values: []float64{5, 10, 20, 40, math.NaN(), 7},
	}
	c := sim.CompareMeter(start, []float64{18, 100, 36, 50}, r)
	if len(c.Hours) != 2 || c.Hours[0] != 0 || c.Hours[1] != 2 || c.Meter[0] != 15 || c.Model[1] != 36 {
		t.Fatalf("%+v", c)
	}
	near(t, "bias", c.Bias, (3-4)/2.0, 1e-12)
	near(t, "mean error", c.MeanError, 3.5, 1e-12)
	near(t, "RMS error", c.RMSError, math.Sqrt(12.5), 1e-12)
	near(t, "correlation", c.Correlation, 1, 1e-12)
	if c = sim.CompareMeter(start, []float64{0.3, 0.1 + 0.2, 0.3}, r); !math.IsNaN(c.Correlation) {
		t.Errorf("a level run correlates by %g", c.Correlation)
	}
}

func TestNaNIsFound(t *testing.T) {
	for name, put := range map[string]func(*sim.Input){
		"panels": func(in *sim.Input) { in.W(sim.Panels)[3] = math.NaN() },
		"hydro":  func(in *sim.Input) { in.W(sim.Creek)[3] = math.NaN() },
		"demand": func(in *sim.Input) { in.DemandW[3] = math.NaN() },
		"inf":    func(in *sim.Input) { in.W(sim.Panels)[3] = math.Inf(1) },
	} {
		for _, extra := range []bool{false, true} {
			in := hours(fill(24, 100), fill(24, 50), fill(24, 120))
			b := sim.Bus{Bank: ideal(), DumpW: 100}
			if extra {
				in.FlexibleW, in.FlexibleWh = fill(24, 10), fill(1, 50)
				b.Bank.Model, b.Bank.WellFraction, b.Bank.WellRatePerH = storage.TwoWell, 0.5, 0.4
			}
			put(in)
			if _, err := sim.Run(in, b); !errors.Is(err, sim.ErrUnbalanced) {
				t.Errorf("%s: error %v", name, err)
			}
		}
	}
	in := hours(fill(24, 0), fill(24, 0), fill(24, 10))
	in.BankC = fill(24, 10)
	in.BankC[7] = math.NaN()
	bank, _ := storage.Preset("flooded", 5000, 24)
	_, err := sim.Run(in, sim.Bus{Bank: bank})
	if !errors.Is(err, sim.ErrUnbalanced) || !strings.Contains(err.Error(), "hour 7") {
		t.Errorf("temperature: error %v", err)
	}
}

func TestAllocations(t *testing.T) {
	in, b := fullHomestead()
	plain := bucketBus()
	if n := testing.AllocsPerRun(5, func() {
		var c sim.Tally
		b.Span(in, b.Start(), 0, in.Hours(), &c)
		plain.Span(year1, plain.Start(), 0, in.Hours(), &c)
	}); n != 0 {
		t.Errorf("Span allocates %g times", n)
	}
	if n := testing.AllocsPerRun(5, func() { mustRun(t, in, b) }); n > 3 {
		t.Errorf("Run allocates %g times", n)
	}
}

var year1 = year()
