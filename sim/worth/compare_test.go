package worth_test

import (
	"context"
	"errors"
	"math"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/worth"
	"sunrill/storage"
)

// An invented homestead: sun that is weak from November to January, a creek
// that runs from November to March, a steady house.
func homestead(years int) *worth.Plan {
	bank, _ := storage.Preset("lfp", 10000, 48)
	p := &worth.Plan{
		Bus:    sim.Bus{Bank: bank, DumpW: 2000},
		World:  worth.World{Prices: prices()},
		PanelW: 3000, Hydro: true, PipeM: 200, HeadM: 40,
	}
	for n := range years {
		start := time.Date(2001+n, 10, 1, 0, 0, 0, 0, time.UTC)
		hours := int(start.AddDate(1, 0, 0).Sub(start).Hours())
		in := &sim.Input{Start: start, Sources: sim.PanelsAndCreek(make([]float64, hours), make([]float64, hours)), DemandW: make([]float64, hours), FlowM3S: make([]float64, hours/24), CloseHour: hours}
		for h := range hours {
			day := start.AddDate(0, 0, h/24)
			sun := 0.7
			if m := day.Month(); m >= 11 || m == 1 {
				sun = 0.10 + 0.02*float64(n)
			}
			in.W(sim.Panels)[h] = 3000 * sun * math.Max(0, math.Sin(math.Pi*(float64(h%24)-6)/12))
			if m := day.Month(); m >= 11 || m <= 3 {
				in.W(sim.Creek)[h] = 300 - 20*float64(n)
				in.FlowM3S[h/24] = 0.002
			}
			in.DemandW[h] = 250
		}
		p.Years = append(p.Years, in)
	}
	p.Generator = worth.DefaultGenerator(sim.PeakDemand(p.Years), bank.FloorSoC)
	p.Through = func(k int) []*sim.Input { return through(p.Years, k, 1) }
	p.Other = func(water, head float64) worth.World {
		times := water * water * head
		return worth.World{Years: through(p.Years, 0, times), Prices: p.Prices, Through: func(k int) []*sim.Input { return through(p.Years, k, times) }}
	}
	return p
}

// through gives years another waterway, and its water times a factor: one that
// takes more of it in the wet months, and one that takes less but runs in
// October too.
func through(years []*sim.Input, waterway int, times float64) []*sim.Input {
	var ins []*sim.Input
	for _, in := range years {
		o := *in
		o.Set(sim.Creek, make([]float64, len(in.W(sim.Creek))))
		for h, w := range in.W(sim.Creek) {
			switch waterway {
			case 1:
				w = math.Min(1.4*w, 380)
			case 2:
				w *= 0.6
				if in.Start.AddDate(0, 0, h/24).Month() == time.October {
					w += 90
				}
			}
			o.W(sim.Creek)[h] = w * times
		}
		ins = append(ins, &o)
	}
	return ins
}

// waterways are those of through.
func waterways() []worth.Waterway {
	return []worth.Waterway{{Pipe: "as given", BoreRatio: 1}, {Pipe: "wide", BoreRatio: 1.5}, {Pipe: "narrow", BoreRatio: 0.7}}
}

func prices() *worth.Prices {
	v := func(x float64) *float64 { return &x }
	return &worth.Prices{
		Currency: "crowns", PanelPerKW: v(1000), BankPerKWh: v(400), PenstockPerM: v(8), Turbine: v(2000), Works: v(1500),
		Inverter: v(1000), Generator: v(900), FuelPerL: v(1.8), UpkeepHydro: v(80), UpkeepPanels: v(20), UpkeepGenerator: v(0.5),
		LabourHydroH: v(30), LabourGeneratorH: v(10), LabourPerH: v(0),
		LifePanelsY: 25, LifeHydroY: 15, LifePenstockY: 40, LifeInverterY: 12, LifeGeneratorH: 3000, DiscountRate: 0.04, Years: 20,
	}
}

func compare(t *testing.T, p *worth.Plan) *worth.Result {
	t.Helper()
	r, err := worth.Compare(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// meanUnmet runs a setup through sim.Run, apart from the study's own code.
func meanUnmet(t *testing.T, p *worth.Plan, panelTimes, bankWh float64, hydro bool) float64 {
	t.Helper()
	b := p.Bus
	b.Bank = b.Bank.Scaled(bankWh)
	sum := 0
	for _, in := range p.Years {
		one := *in
		one.Set(sim.Panels, make([]float64, in.Hours()))
		for h, w := range in.W(sim.Panels) {
			one.W(sim.Panels)[h] = w * panelTimes
		}
		if !hydro {
			one.Set(sim.Creek, make([]float64, in.Hours()))
		}
		y, err := sim.Run(&one, b)
		if err != nil {
			t.Fatal(err)
		}
		sum += y.Tally.UnmetHours
	}
	return float64(sum) / float64(len(p.Years))
}

func TestWithHydroIsTheYear(t *testing.T) {
	p := homestead(3)
	r := compare(t, p)
	want := 0.0
	for _, in := range p.Years {
		y, err := sim.Run(in, p.Bus)
		if err != nil {
			t.Fatal(err)
		}
		want += float64(y.Tally.UnmetHours) / float64(len(p.Years))
	}
	if got := r.Alternative(worth.WithHydro).UnmetMean; math.Abs(got-want) > 1e-9 {
		t.Errorf("with hydro: %g unmet hours, sim.Run over the same years gives %g", got, want)
	}
	if got := r.Alternative(worth.WithoutHydro).UnmetMean; got <= want {
		t.Errorf("without hydro: %g unmet hours, no more than the %g with it", got, want)
	}
}

// The searches' answers reach hydro's unmet hours, and the next smaller size
// does not.
func TestEqualReliabilityIsTheLeastThatDoes(t *testing.T) {
	p := homestead(3)
	r := compare(t, p)
	target := r.Alternative(worth.WithHydro).UnmetMean
	panels := r.Alternative(worth.MorePanels)
	if !panels.Found {
		t.Fatal("more panels: nothing found")
	}
	times := func(kW float64) float64 { return kW * 1000 / p.PanelW }
	bankWh := p.Bus.Bank.CapacityWh
	if got := meanUnmet(t, p, times(panels.PanelW/1000), bankWh, false); got > target {
		t.Errorf("%.0f W of panels leave %g unmet hours, hydro %g", panels.PanelW, got, target)
	}
	if got := meanUnmet(t, p, times(panels.PanelW/1000-0.1), bankWh, false); got <= target {
		t.Errorf("%.0f W would do already: %g unmet hours against %g", panels.PanelW-100, got, target)
	}
	both := r.Alternative(worth.PanelsAndBank)
	if !both.Found {
		t.Fatal("panels and bank: nothing found")
	}
	if got := meanUnmet(t, p, times(both.PanelW/1000), both.BankWh, false); got > target {
		t.Errorf("%.0f W with %.0f Wh leave %g unmet hours, hydro %g", both.PanelW, both.BankWh, got, target)
	}
	if both.BankWh > bankWh {
		if got := meanUnmet(t, p, times(both.PanelW/1000), both.BankWh-100, false); got <= target {
			t.Errorf("%.0f W with %.0f Wh would do already", both.PanelW, both.BankWh-100)
		}
	}
	if *both.CostAYear > *panels.CostAYear+1e-9 {
		t.Errorf("panels and bank cost %g a year, panels alone %g: the search missed it", *both.CostAYear, *panels.CostAYear)
	}
}

// A bank carries days, not months: it is said, not searched for ever.
func TestBankAloneCannot(t *testing.T) {
	p := homestead(1)
	for h := range p.Years[0].W(sim.Panels) {
		if p.Years[0].W(sim.Creek)[h] > 0 {
			p.Years[0].W(sim.Panels)[h] = 0 // five months without any sun
		}
	}
	w := compare(t, p).Alternative(worth.BiggerBank)
	if w.Found {
		t.Errorf("bigger bank is found: %+v", w)
	}
	if math.Abs(w.BankWh-100_000) > 1e-6 {
		t.Errorf("looked up to %g Wh, want ten times 10,000", w.BankWh)
	}
}

func TestMissingPricesAreNamed(t *testing.T) {
	p := homestead(1)
	p.Prices.Turbine, p.Prices.BankPerKWh = nil, nil
	r := compare(t, p)
	for _, want := range []string{"turbine", "bank, per kWh"} {
		found := false
		for _, m := range r.Missing {
			found = found || m == want
		}
		if !found {
			t.Errorf("missing prices %q lack %q", r.Missing, want)
		}
	}
	for _, it := range r.Alternative(worth.WithHydro).Items {
		if it.Name == "turbine" {
			t.Error("a turbine without a price is in the sum")
		}
	}
	p.Prices = nil
	r = compare(t, p)
	if w := r.Alternative(worth.WithHydro); w.CostAYear != nil || w.Capital != nil {
		t.Error("costs without prices")
	}
}

// Costs by hand: the items of hydro and its sum.
func TestCostsOfHydroByHand(t *testing.T) {
	p := homestead(1)
	w := compare(t, p).Alternative(worth.WithHydro)
	if got, want := *w.Capital, 200*8+2000+1500.0; math.Abs(got-want) > 1e-9 {
		t.Errorf("capital %g, by hand %g", got, want)
	}
	crf := worth.CapitalRecovery
	want := 1600*crf(.04, 40) + 2000*crf(.04, 15) + 1500*crf(.04, 40) + 80 + // hydro
		10*400*crf(.04, w.BankLifeY) + 1000*crf(.04, 12) + 20 // bank, inverter, panels
	if math.Abs(*w.CostAYear-want) > 1e-6 {
		t.Errorf("cost a year %g, by hand %g", *w.CostAYear, want)
	}
	if got := *w.PresentValue; math.Abs(got-want/crf(.04, 20)) > 1e-6 {
		t.Errorf("present value %g, by hand %g", got, want/crf(.04, 20))
	}
	if got := *w.CostPerKWh; math.Abs(got-want/(w.ServedWh/1000)) > 1e-9 {
		t.Errorf("per kWh %g, by hand %g", got, want/(w.ServedWh/1000))
	}
}

func TestGeneratorCarriesTheHouse(t *testing.T) {
	r := compare(t, homestead(1))
	w := r.Alternative(worth.GeneratorInstead)
	if w.UnmetMean != 0 || w.FuelL <= 0 || w.RunningH <= 0 {
		t.Errorf("generator instead: %g unmet hours, %g L, %g h", w.UnmetMean, w.FuelL, w.RunningH)
	}
	if both := r.Alternative(worth.HydroAndGenerator); both.FuelL >= w.FuelL {
		t.Errorf("with hydro the generator burns %g L, alone %g L", both.FuelL, w.FuelL)
	}
}

func TestWithoutHydroThereIsNothingToWeigh(t *testing.T) {
	p := homestead(1)
	p.Hydro = false
	if _, err := worth.Compare(context.Background(), p); !errors.Is(err, worth.ErrNoHydro) {
		t.Errorf("error %v, want ErrNoHydro", err)
	}
}

func TestCompareStopsWhenCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := worth.Compare(ctx, homestead(1)); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want context.Canceled", err)
	}
}

// A bank is paid for over the middle of the range of its life: the wear's own range
// for a single year, three quarters of the calendar where that ends first.
func TestBankLifeIsTheMiddleOfItsRange(t *testing.T) {
	for _, calendar := range []float64{0, 12} {
		p := homestead(1)
		p.Bus.Bank.CalendarYears = calendar
		if calendar == 0 {
			p.Bus.Bank.CycleLife = []storage.CyclePoint{{Depth: 0.2, Cycles: 1500}, {Depth: 0.8, Cycles: 300}}
		}
		y, err := sim.Run(p.Years[0], p.Bus)
		if err != nil {
			t.Fatal(err)
		}
		wear := sim.Summarize(y).Wear
		want := (wear.LifeYearsLow + wear.LifeYearsHigh) / 2
		if got := compare(t, p).Alternative(worth.WithHydro).BankLifeY; math.Abs(got-want) > 1e-3*want { // of years of 365 and of 365.25 days
			t.Errorf("calendar of %g years: life %g years, the middle of %g to %g is %g", calendar, got, wear.LifeYearsLow, wear.LifeYearsHigh, want)
		}
	}
}
