package worth

import "math"

// Item is one line of what a way costs.
type Item struct {
	Name    string
	Part    string  // one of Parts
	Capital float64 // bought beyond what stands today
	Yearly  float64
	price   int // index into the named prices, for the turning points
}

// The parts under which the cost of a year is told.
const (
	PanelPart     = "panels"
	BankPart      = "bank"
	InverterPart  = "inverter"
	HydroPart     = "hydro"
	GeneratorPart = "generator"
	FuelPart      = "fuel"
	OwnHoursPart  = "own hours"
)

// Parts returns the parts in the order in which they are told.
func Parts() []string {
	return []string{PanelPart, BankPart, InverterPart, HydroPart, GeneratorPart, FuelPart, OwnHoursPart}
}

// PartAYear returns what a part of the way costs a year.
func (w *Alternative) PartAYear(part string) float64 {
	sum := 0.0
	for _, it := range w.Items {
		if it.Part == part {
			sum += it.Yearly
		}
	}
	return sum
}

// named is a price with the words for it.
type named struct {
	name  string
	value *float64
}

// The names of prices that another system of units gives another name.
const (
	PenstockPrice = "penstock, per m"
	FuelPrice     = "fuel, per L"
	DiggingPrice  = "digging, per m"
)

// The prices by index.
const (
	panelPrice = iota
	bankPrice
	penstockPrice
	turbinePrice
	worksPrice
	inverterPrice
	generatorPrice
	fuelPrice
	hydroUpkeep
	panelUpkeep
	generatorUpkeep
	hourPrice
	diggingPrice
	permitsPrice
)

func (p *Prices) list() []named {
	return []named{
		panelPrice:      {"panels, per kW", p.PanelPerKW},
		bankPrice:       {"bank, per kWh", p.BankPerKWh},
		penstockPrice:   {PenstockPrice, p.PenstockPerM},
		turbinePrice:    {"turbine", p.Turbine},
		worksPrice:      {"works", p.Works},
		inverterPrice:   {"inverter", p.Inverter},
		generatorPrice:  {"generator", p.Generator},
		fuelPrice:       {FuelPrice, p.FuelPerL},
		hydroUpkeep:     {"upkeep of hydro, a year", p.UpkeepHydro},
		panelUpkeep:     {"upkeep of panels, a year", p.UpkeepPanels},
		generatorUpkeep: {"upkeep of the generator, an hour of running", p.UpkeepGenerator},
		hourPrice:       {"an own hour", p.LabourPerH},
		diggingPrice:    {DiggingPrice, p.DiggingPerM},
		permitsPrice:    {"permits and water right", p.Permits},
	}
}

// Price adds up what a way costs: its panels, bank, hydro, generator, fuel, hours
// and the bank's life must be set. Capital is what it takes beyond the plan's
// panels and bank, and the whole of the hydro.
func (p *Plan) Price(w *Alternative) { p.price(w) }

// price adds up what a way costs. Each thing is paid for by an annuity over
// its life, so replacements are in the cost of a year; the bank's life is what
// the run leaves of it.
func (p *Plan) price(w *Alternative) {
	w.Items, w.Missing = []Item{}, []string{}
	if p.Prices == nil {
		return
	}
	for _, own := range []struct {
		does  bool
		hours *float64
		name  string
	}{
		{w.Hydro, p.Prices.LabourHydroH, HoursOfHydro},
		{w.Hydro, times(p.Prices.CleanIntakeH, w.Walks), HoursOfWalk},
		{w.Generator, p.Prices.LabourGeneratorH, HoursOfGenerator},
	} {
		switch {
		case !own.does:
		case own.hours == nil:
			w.Missing = append(w.Missing, own.name)
		default:
			w.LabourH += *own.hours
		}
	}
	items := p.items(w, p.Prices.list(), &w.Missing)
	capital, yearly := 0.0, 0.0
	for _, it := range items {
		capital += it.Capital
		yearly += it.Yearly
	}
	w.Items = items
	w.Capital, w.CostAYear = &capital, &yearly
	present := PresentValue(yearly, p.Prices.DiscountRate, p.Prices.Years)
	w.PresentValue = &present
	if w.ServedWh > 0 {
		perKWh := yearly / (w.ServedWh / 1000)
		w.CostPerKWh = &perKWh
	}
}

// times returns a value times a factor; nil of nil.
func times(v *float64, by float64) *float64 {
	if v == nil {
		return nil
	}
	t := *v * by
	return &t
}

// GeneratorMaxY is how many years a generator lasts at most: a set that
// stands most of the time rusts. Judgement.
const GeneratorMaxY = 20

// items lists what a way costs at the given prices and names those that are
// missing.
func (p *Plan) items(w *Alternative, prices []named, missing *[]string) []Item {
	q := p.Prices
	items := []Item{}
	add := func(part string, price int, name string, amount, yearly float64) {
		if prices[price].value == nil {
			if missing != nil {
				*missing = append(*missing, prices[price].name)
			}
			return
		}
		v := *prices[price].value
		items = append(items, Item{Name: name, Part: part, Capital: v * amount, Yearly: v * yearly, price: price})
	}
	annuity := func(life float64) float64 { return CapitalRecovery(q.DiscountRate, life) }

	newKW := math.Max(0, w.PanelW-p.PanelW) / 1000
	if newKW > 0 {
		add(PanelPart, panelPrice, "more panels", newKW, newKW*annuity(q.LifePanelsY))
	}
	if shape := p.shapeW(); shape > 0 && w.PanelW > 0 {
		add(PanelPart, panelUpkeep, "upkeep of panels", 0, w.PanelW/shape)
	}
	if w.BankWh > 0 && w.BankLifeY > 0 {
		newKWh := w.BankWh / 1000
		if !p.scratch {
			newKWh = math.Max(0, w.BankWh-p.Bus.Bank.CapacityWh) / 1000
		}
		add(BankPart, bankPrice, "bank, as the years wear it", newKWh, w.BankWh/1000*annuity(w.BankLifeY))
	}
	add(InverterPart, inverterPrice, "inverter, replaced", 0, annuity(q.LifeInverterY))
	if w.Hydro {
		pipe := p.PipeM
		if w.BoreRatio > 0 {
			pipe *= math.Pow(w.BoreRatio, q.PenstockExponent)
		}
		add(HydroPart, penstockPrice, "penstock", pipe, pipe*annuity(q.LifePenstockY))
		add(HydroPart, turbinePrice, "turbine", 1, annuity(q.LifeHydroY))
		add(HydroPart, worksPrice, "works", 1, annuity(q.LifePenstockY))
		add(HydroPart, diggingPrice, "digging", p.PipeM, p.PipeM*annuity(q.LifePenstockY))
		add(HydroPart, permitsPrice, "permits and water right", 1, annuity(q.LifePenstockY))
		add(HydroPart, hydroUpkeep, "upkeep of hydro", 0, 1)
		switch {
		case q.BuildHydroH == nil:
			if missing != nil {
				*missing = append(*missing, HoursOfBuilding)
			}
		case *q.BuildHydroH > 0:
			add(OwnHoursPart, hourPrice, HoursOfBuilding, *q.BuildHydroH, *q.BuildHydroH*annuity(q.LifePenstockY))
		}
	}
	if w.Generator {
		life := float64(GeneratorMaxY)
		if w.RunningH > 0 && q.LifeGeneratorH > 0 {
			life = math.Min(GeneratorMaxY, q.LifeGeneratorH/w.RunningH)
		}
		bought := 1.0
		if p.Bus.Generator != nil && !p.scratch {
			bought = 0 // it stands already
		}
		add(GeneratorPart, generatorPrice, "generator", bought, annuity(life))
		add(FuelPart, fuelPrice, "fuel", 0, w.FuelL)
		add(GeneratorPart, generatorUpkeep, "upkeep of the generator", 0, w.RunningH)
	}
	if w.LabourH > 0 {
		add(OwnHoursPart, hourPrice, "own hours", 0, w.LabourH)
	}
	return items
}
