package report

import (
	"fmt"
	"math"
	"strings"

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

// mixTable lists the mixes of both lines, for each light that without the creek
// above that with it.
func (v Worth) mixTable() Table {
	m := v.Result.Mixes
	bore := v.System.BoreAxis()
	t := Table{
		Caption: "The cheapest mix for so much light, over all years:",
		Head:    []string{"unmet hours at most", "creek", "panels, kW", "bank, kWh", "generator", "pipe, " + bore.Unit, "nozzles", v.Result.Currency + " a year"},
		Note:    "unmet hours at most: in the one-in-five year and in a mean one. Generator: the fuel that it burns in a mean year.",
	}
	row := func(hours, creek string, w *worth.Alternative) {
		cells := []string{hours, creek, "none that was tried", "", "", "", "", ""}
		if w != nil {
			generator, pipe, nozzles := "–", "–", "–"
			if w.Generator {
				generator = v.System.Volume(w.FuelL / 1000)
			}
			if at := w.Waterway; at != nil {
				pipe, nozzles = strings.TrimSuffix(v.System.Bore(at.BoreM), " "+bore.Unit), strings.TrimPrefix(strings.TrimPrefix(v.fitted(at), "nozzles of "), "a nozzle of ")
			}
			cells = []string{hours, creek, fmt.Sprintf("%.1f", w.PanelW/1000), fmt.Sprintf("%.1f", w.BankWh/1000), generator, pipe, nozzles, measure.Digits(math.Round(*w.CostAYear), 3)}
		}
		t.Rows = append(t.Rows, cells)
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
		hours := measure.HoursNumber(m.WithLine[i].UnmetHours) + wanted
		row(hours, "without", m.WithoutLine[i].Alternative)
		row(hours, "with", m.WithLine[i].Alternative)
	}
	return t
}
