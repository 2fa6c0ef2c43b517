package report

import (
	"fmt"
	"time"

	"sunrill/plots"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// Worth is what the chapter on ways to live is made from.
type Worth struct {
	Result *worth.Result
	System measure.System
}

// Verdict says in sentences whether hydro is worth it.
func (v Worth) Verdict() (sentences []string, bad bool) {
	return append([]string{v.Result.Verdict}, v.Result.Uncertainty...), !v.Result.Worth
}

// Section returns the chapter on ways to live.
func (v Worth) Section() Section {
	r := v.Result
	sentences, _ := v.Verdict()
	s := Section{ID: "worth", Title: "Is hydro worth it?", Text: append(sentences, v.creek()...)}
	var points []plots.WayPoint
	dark := plots.DarkMonth{}
	for _, w := range r.Ways {
		if w.CostAYear != nil && w.Found {
			points = append(points, plots.WayPoint{Name: w.Name, CostAYear: *w.CostAYear, UnmetHours: w.UnmetMean, Water: w.Hydro, Engine: w.Generator})
		}
		dark.Month = time.Month(w.Dark.Month).String()
		dark.Ways = append(dark.Ways, w.Name)
		dark.PanelsKWh = append(dark.PanelsKWh, w.Dark.PVKWh)
		dark.HydroKWh = append(dark.HydroKWh, w.Dark.HydroKWh)
		dark.GeneratorKWh = append(dark.GeneratorKWh, w.Dark.GeneratorKWh)
		dark.DemandKWh = append(dark.DemandKWh, w.Dark.DemandKWh)
		dark.UnmetKWh = append(dark.UnmetKWh, w.Dark.UnmetKWh)
	}
	if points != nil {
		s.Figures = append(s.Figures, Figure{plots.CostOfLight(r.Currency, points), "worth.csv"})
	}
	s.Figures = append(s.Figures, Figure{plots.EnergyOfDarkMonth(dark), "worth.json"})
	if len(r.TurningPoints) > 0 {
		var turns []plots.Turn
		for _, t := range r.TurningPoints {
			turns = append(turns, plots.Turn{Name: t.Name, Factor: t.Factor})
		}
		s.Figures = append(s.Figures, Figure{plots.TurningPoints(turns), "worth.json"})
	}
	s.Tables = []Table{v.ways()}
	if points != nil {
		s.Tables = append(s.Tables, v.costs())
	}
	return s
}

// creek says with how little water and head hydro would still pay.
func (v Worth) creek() []string {
	c := v.Result.Creek
	if c.PaysM3S == nil && c.PaysHead == nil {
		return nil
	}
	text := ""
	if c.PaysM3S != nil {
		text = fmt.Sprintf("Hydro pays if the creek gives more than %s in a mean %s; it gives %s.", v.System.Flow(*c.PaysM3S), time.Month(c.Month), v.System.Flow(c.FlowM3S))
	}
	if c.PaysHead != nil {
		text += fmt.Sprintf(" With the water as it is, below %s of head it does not; there are %s.", v.System.Length(*c.PaysHead), v.System.Length(c.HeadM))
	}
	return []string{text + " Both take the turbine's watts to shrink in proportion, with nozzles to match."}
}

// ways is the table of what each way gives.
func (v Worth) ways() Table {
	t := Table{
		Caption: "The ways to live, over all years",
		Head:    []string{"way", "panels, kW", "bank, kWh", "unmet hours, mean", "1 in 5 years", "worst", "from panels, kWh", "from the creek, kWh", "from a generator, kWh", "fuel, L", "bank lasts, years"},
		Data:    "worth.csv",
		Note:    "Unmet hours of a mean year, of the year that one in five exceeds, and of the worst. Energies of a mean year: what the sources could give.",
	}
	for _, w := range v.Result.Ways {
		name := w.Name
		if !w.Found {
			name += " (not enough)"
		}
		t.Rows = append(t.Rows, []string{name, fmt.Sprintf("%.1f", w.PanelKW), fmt.Sprintf("%.1f", w.BankKWh),
			measure.Digits(w.UnmetMean, 3), measure.Count(int(w.UnmetP80)), measure.Count(int(w.UnmetWorst)),
			kWh(1000 * w.PVKWh), kWh(1000 * w.HydroKWh), kWh(1000 * w.GeneratorKWh), measure.Digits(w.FuelL, 2), measure.Digits(w.BankLifeY, 2)})
	}
	return t
}

// costs is the table of what each way costs.
func (v Worth) costs() Table {
	r := v.Result
	t := Table{
		Caption: "What they cost, " + r.Currency,
		Head:    []string{"way", "to buy now", "a year", "present value", "per kWh", "own hours a year"},
		Data:    "worth.csv",
		Note:    "To buy now: beyond what stands today. A year: annuities over each thing's life, the wear of the bank, upkeep, fuel, and own hours at the price you set. The items are in worth.json.",
	}
	for _, w := range r.Ways {
		if w.CostAYear == nil {
			continue
		}
		perKWh := ""
		if w.CostPerKWh != nil {
			perKWh = fmt.Sprintf("%.2f", *w.CostPerKWh)
		}
		name := w.Name
		if !w.Found {
			name += " (not enough)"
		}
		t.Rows = append(t.Rows, []string{name, measure.Digits(*w.Capital, 3), measure.Digits(*w.CostAYear, 3), measure.Digits(*w.PresentValue, 3), perKWh, measure.Digits(w.LabourH, 2)})
	}
	return t
}
