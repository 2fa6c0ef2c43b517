package worth

import "math"

// Item is one line of what a way costs.
type Item struct {
	Name    string  `json:"name"`
	Capital float64 `json:"capital"` // bought beyond what stands today
	Yearly  float64 `json:"cost_a_year"`
	price   int     // index into the named prices, for the turning points
}

// named is a price with the words for it.
type named struct {
	name  string
	value *float64
}

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
)

func (p *Prices) list() []named {
	return []named{
		panelPrice:      {"panels, per kW", p.PanelPerKW},
		bankPrice:       {"bank, per kWh", p.BankPerKWh},
		penstockPrice:   {"penstock, per m", p.PenstockPerM},
		turbinePrice:    {"turbine", p.Turbine},
		worksPrice:      {"works", p.Works},
		inverterPrice:   {"inverter", p.Inverter},
		generatorPrice:  {"generator", p.Generator},
		fuelPrice:       {"fuel, per L", p.FuelPerL},
		hydroUpkeep:     {"upkeep of hydro, a year", p.UpkeepHydro},
		panelUpkeep:     {"upkeep of panels, a year", p.UpkeepPanels},
		generatorUpkeep: {"upkeep of the generator, an hour of running", p.UpkeepGenerator},
		hourPrice:       {"an own hour", p.LabourPerH},
	}
}

// price adds up what a way costs. Each thing is paid for by an annuity over
// its life, so replacements are in the cost of a year; the bank's life is what
// the run leaves of it.
func (p *Plan) price(w *Way) {
	w.Items, w.Missing = []Item{}, []string{}
	if w.Hydro {
		w.LabourH += p.hours(func(q *Prices) *float64 { return q.LabourHydroH })
	}
	if w.Generator {
		w.LabourH += p.hours(func(q *Prices) *float64 { return q.LabourGeneratorH })
	}
	if p.Prices == nil {
		return
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
	if w.ServedKWh > 0 {
		perKWh := yearly / w.ServedKWh
		w.CostPerKWh = &perKWh
	}
}

func (p *Plan) hours(of func(*Prices) *float64) float64 {
	if p.Prices == nil || of(p.Prices) == nil {
		return 0
	}
	return *of(p.Prices)
}

// items lists what a way costs at the given prices and names those that are
// missing.
func (p *Plan) items(w *Way, prices []named, missing *[]string) []Item {
	q := p.Prices
	items := []Item{}
	add := func(price int, name string, amount, yearly float64) {
		if prices[price].value == nil {
			if missing != nil {
				*missing = append(*missing, prices[price].name)
			}
			return
		}
		v := *prices[price].value
		items = append(items, Item{Name: name, Capital: v * amount, Yearly: v * yearly, price: price})
	}
	annuity := func(life float64) float64 { return CapitalRecovery(q.DiscountRate, life) }

	newKW := math.Max(0, w.PanelKW-p.PanelW/1000)
	if newKW > 0 {
		add(panelPrice, "more panels", newKW, newKW*annuity(q.LifePanelsY))
	}
	if p.PanelW > 0 {
		add(panelUpkeep, "upkeep of panels", 0, w.PanelKW/(p.PanelW/1000))
	}
	if w.BankKWh > 0 && w.BankLifeY > 0 {
		newKWh := math.Max(0, w.BankKWh-p.Bus.Bank.CapacityWh/1000)
		add(bankPrice, "bank, as the years wear it", newKWh, w.BankKWh*annuity(w.BankLifeY))
	}
	add(inverterPrice, "inverter, replaced", 0, annuity(q.LifeInverterY))
	if w.Hydro {
		add(penstockPrice, "penstock", p.PipeM, p.PipeM*annuity(q.LifePenstockY))
		add(turbinePrice, "turbine", 1, annuity(q.LifeHydroY))
		add(worksPrice, "works", 1, annuity(q.LifePenstockY))
		add(hydroUpkeep, "upkeep of hydro", 0, 1)
	}
	if w.Generator {
		// A set that stands most of the time still rusts: 20 years at the most.
		const mostY = 20
		life := float64(mostY)
		if w.RunningH > 0 && q.LifeGeneratorH > 0 {
			life = math.Min(mostY, q.LifeGeneratorH/w.RunningH)
		}
		bought := 1.0
		if p.Bus.Generator != nil {
			bought = 0 // it stands already
		}
		add(generatorPrice, "generator", bought, annuity(life))
		add(fuelPrice, "fuel", 0, w.FuelL)
		add(generatorUpkeep, "upkeep of the generator", 0, w.RunningH)
	}
	if w.LabourH > 0 {
		add(hourPrice, "own hours", 0, w.LabourH)
	}
	return items
}
