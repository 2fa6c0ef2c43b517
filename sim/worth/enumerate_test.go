package worth_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"sunrill/sim"
	"sunrill/sim/worth"
)

// weighed is a mix run and priced by the code of this file alone.
type weighed struct{ p80, mean, fuelL, cost float64 }

// weigh runs a mix hour by hour over all years and adds up what it costs, apart
// from the study's own code. waterway is −1 without the creek.
func weigh(t *testing.T, p *worth.Plan, years []*sim.Input, panelW, bankWh float64, generator bool, waterway int) weighed {
	t.Helper()
	b := p.Bus
	b.Bank = b.Bank.Scaled(bankWh)
	if generator && b.Generator == nil {
		b.Generator = &p.Generator
	}
	n := float64(len(years))
	var unmet []float64
	var w weighed
	used, running, walks := 0.0, 0.0, 0.0
	for _, in := range years {
		one := *in
		one.Set(sim.Panels, make([]float64, in.Hours()))
		for h, pv := range in.W(sim.Panels) {
			one.W(sim.Panels)[h] = pv * panelW / p.PanelW
		}
		if waterway < 0 {
			one.Set(sim.Creek, make([]float64, in.Hours()))
		} else {
			walks += float64(len(in.VisitDay)) / n
		}
		y, err := sim.Run(&one, b)
		if err != nil {
			t.Fatal(err)
		}
		unmet = append(unmet, float64(y.Tally.UnmetHours))
		w.mean += float64(y.Tally.UnmetHours) / n
		w.fuelL += y.Tally.FuelL / n
		running += float64(y.Tally.GeneratorHours) / n
		used += b.Bank.Wear(y.SoC, sim.FullSoC).UsedAYear / n
	}
	slices.Sort(unmet)
	for i, u := range unmet { // the least that four years of five stay at or below
		if float64(i+1) >= 0.8*n {
			w.p80 = u
			break
		}
	}
	q := p.Prices
	// An annuity by its textbook form: a payment at each year's end that pays
	// back 1 at rate i over so many years is i/(1 − (1+i)^−n).
	a := func(years float64) float64 { return q.DiscountRate / (1 - math.Pow(1+q.DiscountRate, -years)) }
	w.cost = *q.PanelPerKW*(panelW-p.PanelW)/1000*a(q.LifePanelsY) + *q.UpkeepPanels*panelW/p.PanelW + *q.Inverter*a(q.LifeInverterY)
	// Three quarters of what the maker's curve promises.
	if life := 0.75 * b.Bank.LifeYears(used); !math.IsInf(life, 1) {
		w.cost += *q.BankPerKWh * bankWh / 1000 * a(life)
	}
	if waterway >= 0 {
		ratio := 1.0
		if p.Waterways != nil {
			ratio = p.Waterways[waterway].BoreRatio
		}
		w.cost += (*q.PenstockPerM*p.PipeM*math.Pow(ratio, q.PenstockExponent)+*q.DiggingPerM*p.PipeM+*q.Works+*q.Permits+*q.BuildHydroH**q.LabourPerH)*a(q.LifePenstockY) +
			*q.Turbine*a(q.LifeHydroY) + *q.UpkeepHydro + (*q.LabourHydroH+*q.CleanIntakeH*walks)**q.LabourPerH
	}
	if generator {
		life := 20.0
		if running > 0 {
			life = math.Min(life, q.LifeGeneratorH/running)
		}
		w.cost += *q.Generator*a(life) + *q.FuelPerL*w.fuelL + *q.UpkeepGenerator*running + *q.LabourGeneratorH**q.LabourPerH
	}
	return w
}

// enumerate returns what the cheapest mix of a grid costs with the creek and
// without it, +Inf where none keeps to the target.
func enumerate(t *testing.T, p *worth.Plan, target worth.Target, g worth.Grid) (with, without float64) {
	t.Helper()
	with, without = math.Inf(1), math.Inf(1)
	for waterway := -1; waterway < max(1, len(p.Waterways)); waterway++ {
		years := p.Years
		if waterway > 0 {
			years = p.Through(waterway)
		}
		for _, w := range g.PanelsW {
			for _, wh := range g.BanksWh {
				for _, generator := range []bool{false, true} {
					if p.Bus.Generator != nil && !generator {
						continue
					}
					m := weigh(t, p, years, w, wh, generator, waterway)
					if m.p80 > target.UnmetHours || m.mean > target.UnmetHours || generator && m.fuelL > target.FuelL {
						continue
					}
					if waterway < 0 {
						without = math.Min(without, m.cost)
					} else {
						with = math.Min(with, m.cost)
					}
				}
			}
		}
	}
	return with, without
}

// randomHomestead is homestead with its creek, sun, demand, walks and prices
// drawn.
func randomHomestead(rng *rand.Rand, years int) *worth.Plan {
	p := homestead(years)
	p.Waterways = waterways()
	creek, sun, use := 2*rng.Float64(), 0.3+rng.Float64(), 0.5+rng.Float64()
	for _, in := range p.Years {
		for h := range in.W(sim.Creek) {
			in.W(sim.Creek)[h] *= creek
			in.W(sim.Panels)[h] *= sun
			in.DemandW[h] *= use * (0.8 + 0.4*rng.Float64())
		}
		for d := 30; d < 150; d += 5 + rng.IntN(10) {
			in.VisitDay = append(in.VisitDay, d)
		}
	}
	if rng.IntN(3) == 0 {
		p.Bus.Bank.ReconnectSoC = 0.5
	}
	if rng.IntN(4) == 0 {
		g := p.Generator
		p.Bus.Generator = &g
	}
	q := p.Prices
	q.DiggingPerM, q.Permits, q.BuildHydroH, q.CleanIntakeH = pointer(2), pointer(300), pointer(60), pointer(0.5)
	*q.LabourPerH = 12 * rng.Float64()
	q.PenstockExponent = 3 * rng.Float64()
	for _, v := range []*float64{q.PanelPerKW, q.BankPerKWh, q.PenstockPerM, q.Turbine, q.Works, q.Generator, q.FuelPerL, q.UpkeepHydro, q.UpkeepGenerator} {
		*v *= math.Exp(rng.NormFloat64() * 0.7)
	}
	return p
}

func pointer(v float64) *float64 { return &v }

// On 20 random homesteads the search finds mixes that cost what running every
// mix of the grid hour by hour, and pricing it by hand, finds; and so under a draw
// of sun, creek and prices.
func TestMixesAgreeWithEnumeration(t *testing.T) {
	kept, worthy, run, tried := 0, 0, 0, 0
	water := map[string]int{}
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(seed, 19))
		p := randomHomestead(rng, []int{5, 2, 2, 2}[seed%4]) // of five years one may be darker
		p.Other = nil
		target := worth.Target{UnmetHours: []float64{0, 20, 200}[rng.IntN(3)], FuelL: math.Inf(1), Told: true}
		if rng.IntN(2) == 0 {
			target.FuelL = 60
		}
		g := worth.Grid{PanelsW: []float64{3000, 4500, 9000}, BanksWh: []float64{10000, 16000}}
		p.Grid, p.Target = &g, target
		drawn := randomHomestead(rng, len(p.Years))
		p.Draws, p.Draw = 1, func(int) worth.World { return drawn.World }
		r := compare(t, p)
		got := r.Mixes
		with, without := enumerate(t, p, target, g)
		for _, c := range []struct {
			name        string
			alternative *worth.Alternative
			minimum     float64
		}{{"with", got.With, with}, {"without", got.Without, without}} {
			switch {
			case c.alternative == nil && !math.IsInf(c.minimum, 1):
				t.Errorf("seed %d: %s the creek none is found, one costs %g", seed, c.name, c.minimum)
			case c.alternative != nil && math.Abs(*c.alternative.CostAYear-c.minimum) > 1e-9*c.minimum:
				t.Errorf("seed %d: %s the creek the cheapest costs %g, by enumeration %g", seed, c.name, *c.alternative.CostAYear, c.minimum)
			case c.alternative != nil:
				kept++
			}
		}
		if got.With != nil {
			water[got.With.Waterway.Pipe]++
		}
		if got.Worth() != (with <= without && !math.IsInf(with, 1)) {
			t.Errorf("seed %d: worth %v, by enumeration %g with and %g without", seed, got.Worth(), with, without)
		}
		if got.Worth() {
			worthy++
		}
		run, tried = run+got.Run, tried+got.Tried

		p.World = drawn.World // what stands is p's, weather and prices are the draw's
		with, without = enumerate(t, p, target, g)
		if saved, want := r.Sure.Mixes.Saved.Draws[0], without-with; saved != want && !(math.Abs(saved-want) <= 1e-9*(math.Abs(with)+math.Abs(without))) && !(math.IsNaN(saved) && math.IsNaN(want)) {
			t.Errorf("seed %d: under the draw the creek saves %g a year, by enumeration %g", seed, saved, want)
		}
	}
	t.Logf("%d mixes found, worth it at %d of 20, through %v; %d of %d mixes were run", kept, worthy, water, run, tried)
	if kept < 20 || worthy < 3 || worthy > 17 || len(water) < 2 {
		t.Errorf("%d mixes kept to their target, the creek is worth it at %d of 20, through %v: too alike to tell", kept, worthy, water)
	}
}

// What turns the verdict is found again by weighing every mix at prices on both
// sides of it: on the near side the verdict is as now, beyond it another; and no
// tenth of the way up to there turns it.
func TestTurningPointsAgainstEnumeration(t *testing.T) {
	of := map[string]func(q *worth.Prices) *float64{
		"turbine": func(q *worth.Prices) *float64 { return q.Turbine }, "works": func(q *worth.Prices) *float64 { return q.Works },
		worth.PenstockPrice: func(q *worth.Prices) *float64 { return q.PenstockPerM }, worth.FuelPrice: func(q *worth.Prices) *float64 { return q.FuelPerL },
		"panels, per kW": func(q *worth.Prices) *float64 { return q.PanelPerKW }, "an own hour": func(q *worth.Prices) *float64 { return q.LabourPerH },
		worth.DiscountRate: func(q *worth.Prices) *float64 { return &q.DiscountRate }, worth.LifeOfTurbine: func(q *worth.Prices) *float64 { return &q.LifeHydroY },
		worth.HoursOfHydro: func(q *worth.Prices) *float64 { return q.LabourHydroH }, worth.HoursOfBuilding: func(q *worth.Prices) *float64 { return q.BuildHydroH },
	}
	seen := map[string]bool{}
	for _, seed := range []uint64{1, 4, 9} {
		rng := rand.New(rand.NewPCG(seed, 5))
		p := randomHomestead(rng, 1)
		p.Other = nil
		*p.Prices.LabourPerH = 9
		target := worth.Target{UnmetHours: 150, FuelL: math.Inf(1), Told: true}
		g := worth.Grid{PanelsW: []float64{3000, 6000}, BanksWh: []float64{10000, 16000}}
		p.Grid, p.Target = &g, target
		// Hydro costs some 3 % more or less than the cheapest without it.
		p.Prices.UpkeepHydro = pointer(0)
		with, without := enumerate(t, p, target, g)
		*p.Prices.UpkeepHydro = math.Max(0, (without-with)+0.03*without*math.Copysign(1, rng.Float64()-0.5))
		r := compare(t, p)
		worthAt := func() bool {
			with, without := enumerate(t, p, target, g)
			return with <= without && !math.IsInf(with, 1)
		}
		now := worthAt()
		for _, turn := range r.Turns {
			if turn.Factor > 5 || turn.Factor < 0.2 {
				t.Errorf("seed %d: %s is followed to %g times", seed, turn.Name, turn.Factor)
			}
			price := of[turn.Name]
			if price == nil || seen[turn.Name] {
				continue
			}
			given := *price(p.Prices)
			at := func(factor float64) bool { *price(p.Prices) = given * factor; return worthAt() }
			if at(turn.Factor) == now || at(math.Pow(turn.Factor, 0.9)) != now && math.Abs(math.Log(turn.Factor)) > 0.11 || at(turn.Factor/math.Exp(math.Copysign(0.011, math.Log(turn.Factor)))) != now {
				t.Errorf("seed %d: %s is said to turn it at %.3f times", seed, turn.Name, turn.Factor)
			}
			*price(p.Prices) = given
			seen[turn.Name] = true
		}
	}
	t.Log(seen)
	if len(seen) < 6 {
		t.Errorf("only %v were seen to turn", seen)
	}
}

// The creek's water and its head turn the verdict where running with them says.
func TestWaterAndHeadTurn(t *testing.T) {
	for _, creek := range []float64{1, 0.2} {
		p := gridded(2)
		*p.Prices.Turbine = 300
		for _, in := range p.Years {
			for h := range in.W(sim.Creek) {
				in.W(sim.Creek)[h] *= creek
			}
		}
		r := compare(t, p)
		found := 0
		for _, turn := range r.Turns {
			world := map[string]func(f float64) worth.World{
				worth.WaterOfCreek: func(f float64) worth.World { return p.Other(f, 1) },
				worth.HeadOfPipe:   func(f float64) worth.World { return p.Other(1, f) },
			}[turn.Name]
			if world == nil {
				continue
			}
			found++
			near := turn.Factor / math.Exp(math.Copysign(0.031, math.Log(turn.Factor)))
			for f, want := range map[float64]bool{near: r.Worth, turn.Factor: !r.Worth} {
				q := *p
				q.World = world(f)
				if got := findMixes(t, &q, p.Target, *p.Grid).Worth(); got != want {
					t.Errorf("%g of the creek: worth it is %v, and at %.3f times the %s %v", creek, r.Worth, f, turn.Name, got)
				}
			}
			if turn.TurnsAt != turn.Given*turn.Factor {
				t.Errorf("%+v", turn)
			}
		}
		if found != 2 || r.Worth != (creek == 1) {
			t.Errorf("%g of the creek, worth it %v: %+v", creek, r.Worth, r.Turns)
		}
	}
}

// Prices laid out for many mixes add up to what pricing one by one does.
// (The items of a way are held against sums by hand elsewhere.)
func TestMixesCostWhatTheirItemsSum(t *testing.T) {
	p := randomHomestead(rand.New(rand.NewPCG(3, 3)), 2)
	r := findMixes(t, p, worth.Target{UnmetHours: 200, FuelL: math.Inf(1)}, worth.Grid{PanelsW: []float64{3000, 4500}, BanksWh: []float64{10000}})
	for _, line := range [][]worth.MixPoint{r.WithLine, r.WithoutLine} {
		for _, point := range line {
			if point.Alternative == nil {
				continue
			}
			sum := 0.0
			for _, it := range point.Alternative.Items {
				sum += it.Yearly
			}
			if math.Abs(sum-*point.Alternative.CostAYear) > 1e-9 {
				t.Errorf("items %g, cost %g", sum, *point.Alternative.CostAYear)
			}
		}
	}
}
