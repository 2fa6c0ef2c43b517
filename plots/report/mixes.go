package report

import (
	"fmt"
	"math"

	"sunrill/plots"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// mixChart draws the cheapest mixes with the creek and without.
func (v Worth) mixChart() plots.Chart {
	m := v.Result.Mixes
	line := func(points []worth.MixPoint) (l plots.MixLine) {
		for _, p := range points {
			cost := math.NaN()
			if p.Alternative != nil {
				cost = *p.Alternative.CostAYear
			}
			l.UnmetHours, l.CostAYear = append(l.UnmetHours, p.UnmetHours), append(l.CostAYear, cost)
		}
		return l
	}
	c := plots.Mixes{Currency: v.Result.Currency, With: line(m.WithLine), Without: line(m.WithoutLine), TargetHours: m.Target.UnmetHours}
	if m.Today != nil {
		c.Today = &plots.AlternativePoint{CostAYear: *m.Today.CostAYear, UnmetHours: max(m.Today.UnmetP80, m.Today.UnmetMean)}
	}
	return plots.CostOfMixes(c)
}

// mixTable lays the mixes of both lines side by side.
func (v Worth) mixTable() Table {
	m := v.Result.Mixes
	t := Table{
		Caption: "The cheapest mix for so much light, over all years:",
		Head:    []string{"unmet hours at most", "without the creek", v.Result.Currency + " a year", "with the creek", v.Result.Currency + " a year"},
		Note:    "unmet hours at most: in the one-in-five year and in a mean one.",
	}
	cells := func(w *worth.Alternative) []string {
		if w == nil {
			return []string{"none that was tried", ""}
		}
		mix := fmt.Sprintf("%.1f kW, %.1f kWh", w.PanelW/1000, w.BankWh/1000)
		if w.Generator {
			mix += ", generator"
			if w.FuelL >= 0.5 {
				mix += " " + v.System.Volume(w.FuelL/1000)
			}
		}
		if at := w.Waterway; at != nil {
			mix += ", pipe " + v.System.Bore(at.BoreM) + v.fitted(at, ", ")
		}
		return []string{mix, measure.Digits(math.Round(*w.CostAYear), 3)}
	}
	row := func(hours float64, without, with *worth.Alternative, wanted string) {
		t.Rows = append(t.Rows, append(append([]string{measure.HoursNumber(hours) + wanted}, cells(without)...), cells(with)...))
	}
	for i := range m.WithLine {
		// Hours that ask for the same mixes as the fewer ones above tell nothing.
		wanted := ""
		if m.WithLine[i].UnmetHours == m.Target.UnmetHours {
			wanted = " (wanted)"
		}
		if wanted == "" && i > 0 && m.WithLine[i].Alternative == m.WithLine[i-1].Alternative && m.WithoutLine[i].Alternative == m.WithoutLine[i-1].Alternative {
			continue
		}
		row(m.WithLine[i].UnmetHours, m.WithoutLine[i].Alternative, m.WithLine[i].Alternative, wanted)
	}
	return t
}
