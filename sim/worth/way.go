package worth

import (
	"context"
	"math"
	"time"

	"sunrill/sim"
)

// Way is one way to live, run over all years. Energies are means over the
// years; costs are nil where no price was given.
type Way struct {
	Name  string
	Found bool   // false: no number up to ten times today's does it
	Note  string // why not, or what it takes
	// Why tells of a way that is not found what leaves it short.
	Why       *sim.Diagnosis
	PanelKW   float64
	BankKWh   float64
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

	PVKWh        float64
	HydroKWh     float64
	GeneratorKWh float64
	ServedKWh    float64 // flexible loads included
	UnmetKWh     float64
	DumpKWh      float64
	CurtailedKWh float64
	FuelL        float64
	RunningH     float64
	BankLifeY    float64
	LabourH      float64
	Walks        float64 // up to the intake
	Dark         Dark

	Capital      *float64
	CostAYear    *float64
	PresentValue *float64
	CostPerKWh   *float64
	Items        []Item
	Missing      []string

	setup setup
}

// Dark is the energy of the month in which the panels give least, in kWh.
type Dark struct {
	Month        int
	PVKWh        float64
	HydroKWh     float64
	GeneratorKWh float64
	UnmetKWh     float64
	DemandKWh    float64
}

// evaluate runs a setup over all years, hour by hour, and prices it.
func (p *Plan) evaluate(name string, s setup, dark time.Month) (Way, error) {
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
				darks[i].PVKWh += m.Given.Of(sim.Panels) / 1000
				darks[i].HydroKWh += m.Given.Of(sim.Creek) / 1000
				darks[i].GeneratorKWh += m.GeneratorWh / 1000
				darks[i].UnmetKWh += m.UnmetWh / 1000
				darks[i].DemandKWh += m.DemandWh / 1000
			}
		}
		return nil
	})
	if err != nil {
		return Way{}, err
	}
	w := Way{
		Name: name, Found: true, setup: s,
		PanelKW: s.panelW / 1000, BankKWh: s.bankWh / 1000, Hydro: s.hydro, Generator: s.generator,
		Dark: Dark{Month: int(dark)},
	}
	if s.hydro && p.Waterways != nil {
		w.Waterway = &p.Waterways[s.water]
		w.BoreRatio = w.Waterway.BoreRatio
	}
	mean := 1 / float64(n)
	kWh := mean / 1000
	for i := range tallies {
		t := &tallies[i]
		w.PVKWh += given[i].Of(sim.Panels) * kWh
		w.HydroKWh += given[i].Of(sim.Creek) * kWh
		w.GeneratorKWh += t.GeneratorWh * kWh
		w.ServedKWh += (t.ServedWh + t.FlexibleWh) * kWh
		w.UnmetKWh += t.UnmetWh * kWh
		w.DumpKWh += (t.DumpWh + t.OverDumpWh) * kWh
		w.CurtailedKWh += t.CurtailedWh * kWh
		w.FuelL += t.FuelL * mean
		w.RunningH += float64(t.GeneratorHours) * mean
		w.Dark.PVKWh += darks[i].PVKWh * mean
		w.Dark.HydroKWh += darks[i].HydroKWh * mean
		w.Dark.GeneratorKWh += darks[i].GeneratorKWh * mean
		w.Dark.UnmetKWh += darks[i].UnmetKWh * mean
		w.Dark.DemandKWh += darks[i].DemandKWh * mean
		if s.hydro {
			w.Walks += float64(len(years[i].VisitDay)) * mean
		}
	}
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
