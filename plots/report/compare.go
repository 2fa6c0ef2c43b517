package report

import (
	"fmt"
	"strings"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/plans"
)

// Compare is what the chapter on sites or plans side by side is made from.
type Compare struct {
	Result *plans.Comparison
	System measure.System
}

// Verdict says which side is dark for how long and in how many of the years it
// is better than the first; the second result is whether the best is dark too.
func (v Compare) Verdict() Verdict {
	var sentences []string
	r := v.Result
	best := 0
	for i, s := range r.Sides {
		if s.Mean.UnmetMean < r.Sides[best].Mean.UnmetMean-0.05 {
			best = i
		}
	}
	first := r.Sides[0]
	b := r.Sides[best]
	dark := func(s plans.Lived) string {
		return fmt.Sprintf("%s in a middling year, %s", measure.Hours(s.Mean.UnmetMiddle),
			badYears(measure.Hours(s.Mean.UnmetP80), measure.Hours(s.Mean.UnmetWorst), s.Again, len(r.Years), r.Draws))
	}
	switch {
	case best > 0:
		sentences = append(sentences, fmt.Sprintf("“%s” is dark least: %s. “%s” is dark for %s.", b.Name, dark(b), first.Name, dark(first)))
	default:
		sentences = append(sentences, fmt.Sprintf("None is dark less than “%s”: %s.", first.Name, dark(first)))
	}
	if reach(b.Again.P80)+reach(first.Again.P80)+reach(first.Again.Worst) != "" {
		sentences[0] += " " + inBrackets
	}
	n := len(r.Years) * r.Draws
	for _, s := range r.Sides[1:] {
		text := ""
		switch {
		case s.Same == n:
			text = fmt.Sprintf("“%s” is as dark as “%s” in every one of %s.", s.Name, first.Name, measure.Plural(len(r.Years), "year", "years"))
		case r.Draws > 1:
			text = fmt.Sprintf("Against “%s”, “%s” is dark less in %d of %d draws of what nobody knows for sure: %s a year in the mean against %s.", first.Name, s.Name, s.BetterIn, r.Draws,
				measure.Hours(s.Mean.UnmetMean), measure.HoursNumber(first.Mean.UnmetMean))
		default:
			text = fmt.Sprintf("Against “%s”, “%s” is dark less in %d of %s, more in %d and as long in %d: %s a year in the mean against %s.", first.Name, s.Name, s.Fewer,
				measure.Plural(n, "year", "years"), s.More, s.Same, measure.Hours(s.Mean.UnmetMean), measure.HoursNumber(first.Mean.UnmetMean))
		}
		if s.CostAYear != nil && first.CostAYear != nil {
			switch more := *s.CostAYear - *first.CostAYear; {
			case more >= 0.5:
				text += fmt.Sprintf(" It costs %s %s a year more", measure.Digits(more, 3), r.Currency)
			case more <= -0.5:
				text += fmt.Sprintf(" It costs %s %s a year less", measure.Digits(-more, 3), r.Currency)
			default:
				text += " What has a price here costs the same"
			}
			if *s.Capital > 0 {
				text += fmt.Sprintf(", %s %s to buy", measure.Digits(*s.Capital, 3), r.Currency)
			}
			text += "."
		}
		sentences = append(sentences, text)
	}
	for _, s := range r.Sides {
		if s.Mean.Hazard > 0 {
			sentences = append(sentences, fmt.Sprintf("Danger: with “%s” %s has no load that takes its power for %s of these years; without load it runs away. Fit a bigger dump load first.", s.Name, runaways(s.Given), measure.Hours(float64(s.Mean.Hazard))))
		}
	}
	return Verdict{sentences, b.Mean.UnmetP80 > 0}
}

// Section returns the chapter.
func (v Compare) Section() Section {
	r := v.Result
	s := Section{ID: "compare", Title: "Side by side"}
	s.Text = v.Verdict().Sentences
	var names []string
	var low [][]float64
	var dark [][12]float64
	for _, side := range r.Sides {
		names, low, dark = append(names, side.Name), append(low, side.LowSoC), append(dark, side.Months)
	}
	s.Figures = []Figure{{plots.SidesCharge(r.Start, names, low), "compare-days.csv"}, {plots.SidesDark(r.Start.Month(), names, dark), "compare-months.csv"}}
	s.Tables = []Table{v.inputs(), v.outcome(), v.years()}
	if len(r.Inputs) == 0 {
		s.Tables = s.Tables[1:]
		s.Text = append(s.Text, "The sides' files say the same.")
	}
	if missing := r.Sides[0].Missing; len(missing) > 0 {
		s.Text = append(s.Text, "The money leaves out what has no price under [costs]: "+strings.Join(missing, ", ")+".")
	}
	return s
}

func (v Compare) head(first string) []string {
	head := []string{first}
	for _, s := range v.Result.Sides {
		head = append(head, s.Name)
	}
	return head
}

// inputs is the table of what the files say differently.
func (v Compare) inputs() Table {
	t := Table{Caption: "What differs in the files", Head: v.head("key")}
	for _, d := range v.Result.Inputs {
		row := []string{d.Key}
		for _, value := range d.Values {
			if value == "" {
				value = "–"
			}
			row = append(row, strings.ReplaceAll(value, `"`, ""))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// outcome is the table of how the sides fare.
func (v Compare) outcome() Table {
	r := v.Result
	t := Table{Caption: "How they fare through the same " + throughWhat(len(r.Years), r.Draws), Head: v.head(""), Data: "compare.csv",
		Note: "Dark hours are those in which the house asks and gets nothing. Energies, stops and litres are those of a mean year. Money is reckoned at the prices of the first, over the life of each thing, beyond the panels and the bank that the first has. " + inBrackets}
	row := func(name string, of func(plans.Lived) string) {
		cells := []string{name}
		for _, s := range r.Sides {
			cells = append(cells, of(s))
		}
		t.Rows = append(t.Rows, cells)
	}
	hours := func(h float64) string { return measure.HoursNumber(h) }
	row("dark hours, a middling year", func(s plans.Lived) string { return hours(s.Mean.UnmetMiddle) })
	row("dark hours, one year of five", func(s plans.Lived) string { return hours(s.Mean.UnmetP80) + reach(s.Again.P80) })
	if r.Draws > 1 {
		row("dark hours, the worst year under any draw", func(s plans.Lived) string { return hours(s.Mean.UnmetWorst) })
		row(fmt.Sprintf("dark hours, the worst of %d years", len(r.Years)), func(s plans.Lived) string {
			return hours(s.Again.Worst.Low) + "–" + hours(s.Again.Worst.High)
		})
	} else {
		row("dark hours, the worst year", func(s plans.Lived) string { return hours(s.Mean.UnmetWorst) + reach(s.Again.Worst) })
	}
	row("dark hours, mean", func(s plans.Lived) string { return hours(s.Mean.UnmetMean) })
	row("years with a dark hour", func(s plans.Lived) string { return fmt.Sprintf("%d of %d", s.Mean.DarkYears, len(r.Years)*r.Draws) })
	row("dark months", func(s plans.Lived) string { return darkMonths(r.Start.Month(), s.Months) })
	row("hours below comfort", func(s plans.Lived) string { return hours(s.Mean.Low) })
	kinds := v.kinds()
	for _, k := range kinds {
		if k != sim.Creek {
			row(k.Name+", kWh", func(s plans.Lived) string { return kWh(s.Given.Of(k)) })
		}
	}
	any := func(of func(plans.Lived) float64) bool {
		for _, s := range r.Sides {
			if of(s) > 0 {
				return true
			}
		}
		return false
	}
	if any(func(s plans.Lived) float64 { return s.Given.Of(sim.Creek) }) {
		row("creek, kWh", func(s plans.Lived) string { return kWh(s.Given.Of(sim.Creek)) })
		row("dry-pipe stops", func(s plans.Lived) string { return hours(s.Mean.Stops) })
		row("walks to the turbine", func(s plans.Lived) string { return hours(s.Mean.Walks) })
	}
	if any(func(s plans.Lived) float64 { return s.Mean.FuelL }) {
		row("fuel, "+v.System.LitreAxis().Unit, func(s plans.Lived) string { return measure.Digits(v.System.LitreAxis().Of(s.Mean.FuelL), 2) })
	}
	if r.Currency != "" {
		row("to buy, "+r.Currency, func(s plans.Lived) string { return money(s.Capital) })
		row("cost a year, "+r.Currency, func(s plans.Lived) string { return money(s.CostAYear) })
	}
	return t
}

// kinds are the sources of all sides, each once.
func (v Compare) kinds() []sim.Kind {
	var all sim.Yields
	for _, s := range v.Result.Sides {
		all = all.And(s.Given)
	}
	return all.Kinds()
}

// throughWhat says through how many years and draws a study went.
func throughWhat(years, draws int) string {
	text := measure.Plural(years, "year", "years")
	if draws > 1 {
		text += fmt.Sprintf(", each under %d draws of sky, creek and what the owner is unsure of", draws)
	}
	return text
}

// darkMonths names the months that have an hour of dark in a mean year, in the
// order of the water year.
func darkMonths(first time.Month, hours [12]float64) string {
	var names []string
	for k := range 12 {
		m := (int(first) - 1 + k) % 12
		if hours[m] >= 0.5 {
			names = append(names, time.Month(m + 1).String()[:3])
		}
	}
	if names == nil {
		return "none"
	}
	return strings.Join(names, " ")
}

// years is the table of the dark hours of each year.
func (v Compare) years() Table {
	r := v.Result
	t := Table{Caption: "Dark hours of each year" + map[bool]string{true: ", mean of the draws"}[r.Draws > 1], Head: v.head("from"), Data: "compare-years.csv"}
	for i, y := range r.Years {
		row := []string{fmt.Sprint(y)}
		for _, s := range r.Sides {
			row = append(row, measure.HoursNumber(s.UnmetOf(i, len(r.Years))))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
