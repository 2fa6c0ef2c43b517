package report

import (
	"fmt"
	"math"
	"slices"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// energy is the chapter on what came in and what was asked for.
func (v Year) energy() Section {
	months := v.Year.Months()
	var m plots.MonthlyEnergy
	m.From = livesOn(v.Year.In.Kinds())
	generator := 0.0
	var given []sim.Yields
	var generatorWh []float64
	for _, p := range months {
		m.Months = append(m.Months, p.Start)
		given = append(given, p.Given)
		generatorWh = append(generatorWh, p.GeneratorWh)
		m.DemandWh = append(m.DemandWh, p.DemandWh)
		m.UnmetWh = append(m.UnmetWh, p.UnmetWh)
		m.UnmetHours = append(m.UnmetHours, p.UnmetHours)
		if v.flexible() {
			m.FlexibleWh = append(m.FlexibleWh, p.FlexibleWh)
		}
		generator += p.GeneratorWh
	}
	m.Supplies = supplies(given, generatorWh)
	return Section{
		ID:      "energy",
		Title:   "Energy through the " + v.span(),
		Text:    v.energyText(),
		Figures: []Figure{{plots.EnergyByMonth(m), "months.csv"}},
		Tables:  []Table{v.monthTable(months, generator > 0)},
	}
}

// shown are the sources that the chapter names: the creek only where there is
// water.
func (v Year) shown() sim.Yields {
	return slices.DeleteFunc(slices.Clone(v.Summary.Given), func(y sim.Yield) bool { return y.Kind == sim.Creek && !v.hasWater() })
}

// flexible reports whether the house has uses that wait for what is left over.
func (v Year) flexible() bool { return v.Summary.FlexibleNeedWh > 0 }

func (v Year) energyText() []string {
	t := v.Summary.Tally
	given := v.Summary.Given.Total() + t.GeneratorWh
	s := ""
	for _, y := range v.shown() {
		if s == "" {
			s = fmt.Sprintf("The %s could give %s", y.Name, measure.Energy(y.Wh))
			continue
		}
		s += fmt.Sprintf(", the %s %s", y.Name, measure.Energy(y.Wh))
	}
	if t.GeneratorWh > 0 {
		s += fmt.Sprintf(", and the generator gave %s in %s with %s of fuel", measure.Energy(t.GeneratorWh),
			measure.Plural(v.Summary.GeneratorHours, "hour", "hours"), v.System.Volume(t.FuelL/1000))
	}
	s += fmt.Sprintf(". The house asked for %s and got %s.", measure.Energy(t.DemandWh), measure.Energy(t.ServedWh))
	over := t.DumpWh + t.OverDumpWh + t.CurtailedWh
	if given > 0 && over > 0 {
		s += fmt.Sprintf(" %s (%s of what the sources could give) found no use", measure.Energy(over), measure.Percent(over/given))
		held := tamed(v.Summary.Given, true)
		switch dump := t.DumpWh + t.OverDumpWh; {
		case dump <= 0:
			s += fmt.Sprintf(": the %s %s held back.", sourceNames(held), wereWas(held))
		case t.CurtailedWh <= 0:
			s += " and went to the dump load."
		default:
			s += fmt.Sprintf(": %s of %s went to the dump load, %s of %s was held back.", measure.Energy(dump), ofThe(tamed(v.Summary.Given, false)), measure.Energy(t.CurtailedWh), ofThe(held))
		}
	}
	text := []string{s}
	if v.flexible() {
		text = append(text, fmt.Sprintf("The flexible uses got %s, %s of what they could take.",
			measure.Energy(t.FlexibleWh), measure.Percent(v.Summary.FlexibleFraction())))
	}
	if v.UsefulHeatWhDay > 0 {
		heat := sim.UsefulHeat(v.Year, v.UsefulHeatWhDay)
		text = append(text, fmt.Sprintf("Useful heat: the dump load could give %s to a water tank that takes %s a day, %s of what it can take.",
			measure.Energy(heat), measure.Energy(v.UsefulHeatWhDay), measure.Percent(heat/(v.UsefulHeatWhDay*float64(v.Year.In.Hours())/24))))
	}
	return text
}

// monthTable is months.csv as a person reads it.
func (v Year) monthTable(months []sim.Period, generator bool) Table {
	flow, rain := v.System.FlowAxis(), v.System.RainAxis()
	sun := "sun h a day"
	if v.OnPanel {
		sun = "sun h a day on the panels"
	}
	t := Table{
		Caption: "The months, energies in kWh",
		Head:    []string{"month", "rain, " + rain.Unit, sun},
		Data:    "months.csv",
		Note:    "Sun h: equivalent hours of full sun, 1 kW on each square metre. " + capital(sourceNames(v.Year.In.Kinds())) + ": what they could give. Left over: dumped or held back. The rest went into the bank, and what is lost there.",
	}
	t.Minor = []int{1, 2}
	if v.hasWater() {
		t.Head = append(t.Head, "creek, "+flow.Unit)
		t.Minor = append(t.Minor, 3)
	}
	for _, y := range v.shown() {
		t.Head = append(t.Head, y.Name)
	}
	if generator {
		t.Head = append(t.Head, "generator")
	}
	t.Head = append(t.Head, "asked for", "unmet", "unmet hours")
	if v.flexible() {
		t.Head = append(t.Head, "flexible uses")
	}
	t.Head = append(t.Head, "left over", "lowest charge")
	for _, p := range months {
		rainPlaces := 0
		if v.System == measure.US {
			rainPlaces = 1
		}
		row := []string{p.Start.Format("Jan 2006"), fmt.Sprintf("%.*f", rainPlaces, rain.Of(p.RainMM)), fmt.Sprintf("%.1f", p.SunHours)}
		if v.hasWater() {
			row = append(row, measure.Digits(flow.Of(p.FlowM3S), 2))
		}
		for _, y := range v.shown() {
			row = append(row, kWh(p.Given.Of(y.Kind)))
		}
		if generator {
			row = append(row, kWh(p.GeneratorWh))
		}
		row = append(row, kWh(p.DemandWh), kWh(p.UnmetWh), measure.Count(p.UnmetHours))
		if v.flexible() {
			row = append(row, kWh(p.FlexibleWh))
		}
		t.Rows = append(t.Rows, append(row, kWh(p.DumpWh+p.OverDumpWh+p.CurtailedWh), fmt.Sprintf("%.0f %%", 100*p.MinSoC)))
	}
	return t
}

// kWh writes an energy for a table whose unit stands in its head: whole
// numbers, tenths below ten.
func kWh(wh float64) string {
	v := wh / 1000
	switch {
	case v == 0:
		return "0"
	case v < 9.95:
		return fmt.Sprintf("%.1f", v)
	}
	return measure.Count(int(math.RoundToEven(v)))
}
