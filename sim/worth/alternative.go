package worth

import (
	"context"
	"math"
	"time"

	"sunrill/sim"
)

// Alternative is one way to live, run over all years. Energies are means over the
// years; costs are nil where no price was given.
type Alternative struct {
	Name  string
	Found bool // false: nothing up to ten times today's does it
	// Why tells of a way that is not found what leaves it short.
	Why       *sim.Diagnosis
	PanelW    float64
	BankWh    float64
	Hydro     bool
	Generator bool
	// BoreRatio is the pipe's bore over that of the pipe described; 0: that pipe.
	BoreRatio float64
	Waterway  *Waterway // of a mix with the creek; nil: as described

	UnmetMean  float64
	UnmetP80   float64 // the 1-in-5 year
	UnmetWorst float64
	// Where both come out in 8 of 10 sets of as many years, drawn again from the
	// same: few years make neither sure.
	P80Range   sim.Range
	WorstRange sim.Range

	Given       sim.Yields // by the sources
	GeneratorWh float64
	ServedWh    float64 // flexible loads included
	UnmetWh     float64
	DumpWh      float64
	CurtailedWh float64
	FuelL       float64
	RunningH    float64
	BankLifeY   float64
	LabourH     float64
	Walks       float64 // up to the intake
	Dark        Dark

	Capital      *float64
	CostAYear    *float64
	PresentValue *float64
	CostPerKWh   *float64
	Items        []Item
	Missing      []string

	setup setup
}

// Dark is the energy of the month in which the panels give least.
type Dark struct {
	Month       int
	Given       sim.Yields
	GeneratorWh float64
	UnmetWh     float64
	DemandWh    float64
}

// evaluate runs a setup over all years, hour by hour, and prices it.
func (p *Plan) evaluate(name string, s setup, dark time.Month) (Alternative, error) {
	n := len(p.Years)
	tallies, given := make([]sim.Tally, n), make([]sim.Yields, n)
	worn, unmet := make([]float64, n), make([]float64, n)
	v := p.variant(s)
	b := v.Bus(p.Bus)
	darks := make([]Dark, n)
	years := p.Years
	if s.hydro {
		years = p.through(s.water)
	}
	err := sim.Held(years).Visit(context.Background(), nil, func(c sim.Case) error {
		i := c.Year
		y, err := c.Run(c.As(v), b)
		if err != nil {
			return err
		}
		worn[i] = b.Bank.Wear(y.SoC, sim.FullSoC).UsedAYear
		tallies[i], given[i] = y.Tally, y.In.Given()
		unmet[i] = float64(y.Tally.UnmetHours)
		for _, m := range y.Months() {
			if m.Start.Month() == dark {
				darks[i].Given = darks[i].Given.And(m.Given)
				darks[i].GeneratorWh += m.GeneratorWh
				darks[i].UnmetWh += m.UnmetWh
				darks[i].DemandWh += m.DemandWh
			}
		}
		return nil
	})
	if err != nil {
		return Alternative{}, err
	}
	w := Alternative{
		Name: name, Found: true, setup: s,
		PanelW: s.panelW, BankWh: s.bankWh, Hydro: s.hydro, Generator: s.generator,
		Dark: Dark{Month: int(dark)},
	}
	if s.hydro && p.Waterways != nil {
		w.Waterway = &p.Waterways[s.water]
		w.BoreRatio = w.Waterway.BoreRatio
	}
	mean := 1 / float64(n)
	for i := range tallies {
		t := &tallies[i]
		w.GeneratorWh += t.GeneratorWh * mean
		w.ServedWh += (t.ServedWh + t.FlexibleWh) * mean
		w.UnmetWh += t.UnmetWh * mean
		w.DumpWh += (t.DumpWh + t.OverDumpWh) * mean
		w.CurtailedWh += t.CurtailedWh * mean
		w.FuelL += t.FuelL * mean
		w.RunningH += float64(t.GeneratorHours) * mean
		w.Dark.GeneratorWh += darks[i].GeneratorWh * mean
		w.Dark.UnmetWh += darks[i].UnmetWh * mean
		w.Dark.DemandWh += darks[i].DemandWh * mean
		if s.hydro {
			w.Walks += float64(len(years[i].VisitDay)) * mean
		}
	}
	inDark := make([]sim.Yields, n)
	for i := range darks {
		inDark[i] = darks[i].Given
	}
	w.Given, w.Dark.Given = sim.MeanYields(given), sim.MeanYields(inDark)
	hours := sim.NewSpread(unmet)
	w.UnmetMean, w.UnmetP80, w.UnmetWorst = hours.Mean(), hours.At(0.8), hours.At(1)
	w.P80Range, w.WorstRange = hours.AtRange(0.8, n, sim.Middle), hours.AtRange(1, n, sim.Middle)
	if s.bankWh <= 0 {
		p.price(&w)
		return w, nil
	}
	if y := bankLife(b.Bank.LifeYears(sim.NewSpread(worn).Mean())); !math.IsInf(y, 1) {
		w.BankLifeY = y
	}
	p.price(&w)
	return w, nil
}

// bankLife returns how long a bank lives that its curve promises a life of so
// many years. A measured bank lived half of that (see [storage.Wear]): the middle
// of the range.
func bankLife(promisedY float64) float64 { return 0.75 * promisedY }
