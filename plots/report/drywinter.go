package report

import (
	"fmt"
	"slices"
	"strings"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/scenario"
)

// DryWinter is what the section on dry winters is made from.
type DryWinter struct {
	Result *scenario.Result
	System measure.System
	Doubts Doubts // what the draws are drawn of, where there are any
}

// Section returns the chapter.
func (v DryWinter) Section() Section {
	r := v.Result
	sec := Section{
		ID:      "drywinter",
		Title:   "What a dry winter does",
		Figures: []Figure{{plots.DryWinters(v.rows(), withoutCreek(r.Sources)), "drywinter.csv"}},
		Tables:  v.ScenarioTables(),
	}
	sec.Text = v.Verdict().Sentences
	if r.FanWithout != nil {
		fans := []plots.ChargeFan{fan(r.FanWithout, "")}
		if r.FanWith != nil {
			fans = []plots.ChargeFan{fan(r.FanWith, "with the creek"), fan(r.FanWithout, withoutCreek(r.Sources))}
		}
		sec.Figures = append(sec.Figures, Figure{plots.ChargeFans(r.Synthetic.Years, fans...), ""})
	}
	if r.Synthetic != nil {
		sec.Tables = append(sec.Tables, v.BesideTable(), v.WetTable(), v.RainTable(), v.SeasonTable())
	}
	return sec
}

// Apart returns the chapter without what compares made-up months with the
// record's, and that as a chapter of its own, for the end of a book; false where
// no years were made up.
func (v DryWinter) Apart() (main, fit Section, ok bool) {
	main = v.Section()
	if v.Result.Synthetic == nil {
		return main, fit, false
	}
	const tables = 3 // wet days, rain, seasons
	n := len(main.Tables) - tables
	fit = Section{ID: "made-up", Title: "How like the record made-up years are", Tables: main.Tables[n:],
		Text: []string{"What the house feels of them stands in the chapter on dry winters; here is what they were made from."}}
	main.Tables = main.Tables[:n]
	return main, fit, true
}

func fan(f *scenario.Fan, of string) plots.ChargeFan {
	return plots.ChargeFan{Start: f.Start, Median: f.Median, OneIn5: f.OneIn5, OneIn20: f.OneIn20, FloorSoC: f.FloorSoC, Of: of}
}

// Verdict says in paragraphs what the study found, the answer first, and
// whether it is bad news.
func (v DryWinter) Verdict() Verdict {
	best := v.Result.Scenarios[len(v.Result.Scenarios)-1].Best()
	return Verdict{slices.Concat([]string{winterVerdict(v.Result)}, v.sure(), v.text()), best.UnmetP80 > 0}
}

// sure says how sure the answer is.
func (v DryWinter) sure() []string {
	r := v.Result
	all := &r.Scenarios[len(r.Scenarios)-1] // the made-up years, where there are any
	if all.Sure == nil {
		all = &r.Scenarios[0]
	}
	u := all.Sure
	if u == nil {
		return nil
	}
	of := "one year of five on record"
	if r.Record.Years == 1 {
		of = "that year"
	}
	if all != &r.Scenarios[0] {
		of = "one year of five of the made-up ones"
	}
	text := fmt.Sprintf("How sure: over %d draws of %s %s leaves %s in the dark", u.Draws, v.Doubts.What(), of, rangedHours(u.OneInFive))
	if all.With != nil {
		text += fmt.Sprintf(", without the creek %s. That the creek halves them, or better: %s", rangedHours(u.OneInFiveWithout), Odds(u.Helps, u.Draws))
	}
	out := append([]string{text + "."}, v.Doubts.blame("the hours in the dark", func(b *sim.Blames) sim.Blame { return b.Dark })...)
	if v.Doubts.Unknown {
		out = append(out, unknownCreek)
	}
	return out
}

func (v DryWinter) text() []string {
	r := v.Result
	rec := r.Record
	text := []string{fmt.Sprintf("One water year was run, %s, with %s of rain: how dry it gets cannot be known from one.", waterYear(rec.DriestYear), v.System.Rain(rec.RainMM))}
	if rec.Years > 1 {
		text[0] = fmt.Sprintf("The %s had %s of rain in the mean; the driest, %s, had %s, the wettest, %s, %s. The worst for the house was %s.",
			measure.Plural(rec.Years, "water year", "water years"), v.System.Rain(rec.RainMM), waterYear(rec.DriestYear), v.System.Rain(rec.DriestMM),
			waterYear(rec.WettestYear), v.System.Rain(rec.WettestMM), waterYear(rec.WorstYear))
	}
	if rec.Years > 1 {
		text = append(text, inBrackets+" Few years make neither a 1-in-5 year nor a worst one sure, and a worse one than the worst can always come.")
	}
	if len(r.Scenarios) > 3 {
		with := "the sun goes"
		if r.Scenarios[0].With != nil {
			with = "sun and creek go"
		}
		text = append(text, "A season put off brings the same rain so many weeks later, and "+with+" with it; day length and the season's warmth stay.")
	}
	if m := r.Synthetic; m != nil {
		text = append(text, fmt.Sprintf("%s made up from the record's own wet and dry days (seed %d). %s",
			measure.Plural(m.Years, "year was", "years were"), m.Seed, syntheticText(m)), v.fitText())
	}
	for _, n := range r.Notes {
		text = append(text, "Note: "+n+".")
	}
	return text
}

// syntheticText says how short the house goes in made-up years.
func syntheticText(m *scenario.Synthetic) string {
	switch {
	case m.Worst == 0:
		return "In none of them is the house short."
	case m.P95 == 0:
		return fmt.Sprintf("In at least 19 of 20 the house is never short; the worst of them has %s%s.", measure.Hours(m.Worst), reach(m.WorstRange))
	}
	half := fmt.Sprintf("In half of them the house is short for %s or less", measure.Hours(m.P50))
	if m.P50 == 0 {
		half = "In half of them the house is never short"
	}
	if m.P80 > 0 {
		half += fmt.Sprintf(", in 1 of 5 for %s or more", measure.Hours(m.P80))
	}
	return fmt.Sprintf("%s, in 1 of 20 for %s or more; the worst of them has %s%s.", half, measure.Hours(m.P95), measure.Hours(m.Worst), reach(m.WorstRange))
}

// besideNames are what is laid beside, and its unit.
var besideNames = map[scenario.Figure]string{
	scenario.MeanUnmet: "unmet hours of a mean year", scenario.UnmetOneIn5: "unmet hours, 1 year in 5",
	scenario.DeepestDeficit: "deepest deficit of all years, kWh", scenario.LowDays: "days a year below the smallest set",
}

// BesideTable lays what the house feels of the record's years beside what it
// feels of the made-up ones.
func (v DryWinter) BesideTable() Table {
	n := v.Result.Record.Years
	t := Table{
		Caption: "Made-up years beside the record: what the house feels",
		Head:    []string{"", fmt.Sprintf("record, %s", measure.Plural(n, "year", "years")), "made up", fmt.Sprintf("%s show", measure.Plural(n, "made-up year", "made-up years"))},
		Note:    "The range holds 19 of 20 sets of as many made-up years as the record has. What lies outside of it, the made-up years do not fit.",
		Data:    "drywinter.json",
	}
	for _, b := range v.Result.Synthetic.Beside {
		name := besideNames[b.Figure]
		if v.Result.Scenarios[0].With != nil && b.Figure != scenario.LowDays {
			name += map[bool]string{true: ", with the creek", false: ", " + withoutCreek(v.Result.Sources)}[b.Hydro]
		}
		was := besideNumber(b, b.Record)
		if !b.Fits() {
			was += ", does not fit"
		}
		t.Rows = append(t.Rows, []string{name, was, besideNumber(b, b.Synthetic), besideNumber(b, b.Low) + " to " + besideNumber(b, b.High)})
	}
	return t
}

func besideNumber(b scenario.Beside, x float64) string {
	switch b.Figure {
	case scenario.DeepestDeficit:
		return kWh(x)
	case scenario.LowDays:
		return measure.Digits(x, 2)
	}
	return measure.HoursNumber(x)
}

// fitText says whether the made-up years fit this place.
func (v DryWinter) fitText() string {
	n := measure.Plural(v.Result.Record.Years, "year", "years")
	var off []string
	for _, b := range v.Result.Synthetic.Beside {
		if b.Fits() {
			continue
		}
		name := besideNames[b.Figure]
		if v.Result.Scenarios[0].With != nil && !b.Hydro {
			name += " on " + withoutCreek(v.Result.Sources)
		}
		off = append(off, fmt.Sprintf("%s: the record has %s, as many made-up years %s to %s", name, besideNumber(b, b.Record), besideNumber(b, b.Low), besideNumber(b, b.High)))
	}
	if off == nil {
		return fmt.Sprintf("They fit this place: what the record's %s left lies within what as many made-up years leave.", n)
	}
	return "The made-up years do not fit this place in what matters here; go by the record's years instead. " + strings.Join(off, "; ") + "."
}

func (v DryWinter) rows() []plots.WinterRow {
	var rows []plots.WinterRow
	spread := func(o scenario.Outcome) plots.Spread {
		return plots.Spread{P50: o.UnmetP50, P80: o.UnmetP80, P95: o.UnmetP95, Worst: o.UnmetWorst}
	}
	for _, s := range v.Result.Scenarios {
		row := plots.WinterRow{Name: s.Name, Without: spread(s.Without)}
		row.Name = strings.TrimSuffix(strings.TrimSuffix(row.Name, " on record"), " run")
		if s.With != nil {
			with := spread(*s.With)
			row.With = &with
		}
		rows = append(rows, row)
	}
	return rows
}

// ScenarioTables are drywinter.csv as a person reads it: with hydro, where the
// site has it, and without.
func (v DryWinter) ScenarioTables() []Table {
	r := v.Result
	var tables []Table
	if r.Scenarios[0].With != nil {
		tables = append(tables, v.scenarioTable("With the creek: unmet hours a year", func(s scenario.Scenario) scenario.Outcome { return *s.With }, func(u *scenario.Sure) sim.Doubt { return u.OneInFive }))
	}
	return append(tables, v.scenarioTable(capital(withoutCreek(r.Sources))+": unmet hours a year", func(s scenario.Scenario) scenario.Outcome { return s.Without }, func(u *scenario.Sure) sim.Doubt { return u.OneInFiveWithout }))
}

func (v DryWinter) scenarioTable(caption string, of func(scenario.Scenario) scenario.Outcome, sure func(*scenario.Sure) sim.Doubt) Table {
	t := Table{
		Caption: caption,
		Head:    []string{"weather", "median", "1 year in 5", "1 in 20", "worst", "deepest deficit, kWh"},
		Data:    "drywinter.csv",
		Note:    "Deepest deficit, of all years: how far a bank that is never too small would fall if no generator ran. " + inBrackets,
	}
	generator := false
	for _, s := range v.Result.Scenarios {
		generator = generator || of(s).GeneratorHours > 0
	}
	if generator {
		t.Head = append(t.Head, "generator, hours a year", "fuel, "+v.System.LitreAxis().Unit+" a year")
	}
	drawn := v.Result.Scenarios[0].Sure != nil
	if drawn {
		t.Head = append(t.Head, "1 in 5, 8 in 10 draws")
		t.Note += " 8 in 10 draws: the range of the year in 5, see above."
	}
	for _, s := range v.Result.Scenarios {
		o := of(s)
		row := []string{s.Name, measure.HoursNumber(o.UnmetP50), measure.HoursNumber(o.UnmetP80) + reach(o.P80Range), measure.HoursNumber(o.UnmetP95), measure.HoursNumber(o.UnmetWorst) + reach(o.WorstRange), kWh(o.DeepestDeficitWh)}
		if generator {
			row = append(row, measure.HoursNumber(o.GeneratorHours), measure.Digits(v.System.LitreAxis().Of(o.FuelL), 3))
		}
		if drawn {
			cell := "–"
			if s.Sure != nil {
				d := sure(s.Sure)
				low, high := d.Range()
				_, from, to := measure.RangedHours(d.Median(), low, high)
				cell = from + " to " + to
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// WetTable lays the wet days of the made-up months beside the record's.
func (v DryWinter) WetTable() Table {
	t := Table{
		Caption: "Made-up months beside the record's: wet days",
		Head:    []string{"month", "wet days, record", "made up", "wet spell, days, record", "made up"},
		Note:    fmt.Sprintf("Of %s made-up years. A day is wet from %s of rain on.", measure.Count(v.Result.Synthetic.Fit.Years), v.wetDay()),
		Data:    "drywinter.json",
	}
	for _, m := range v.Result.Synthetic.Fit.Months {
		t.Rows = append(t.Rows, []string{m.Month.String(), measure.Percent(m.WetFraction.Record), measure.Percent(m.WetFraction.Synthetic),
			fmt.Sprintf("%.1f", m.WetSpellD.Record), fmt.Sprintf("%.1f", m.WetSpellD.Synthetic)})
	}
	return t
}

// wetDay is the least rain that makes a day a wet one.
func (v DryWinter) wetDay() string {
	rain := v.System.RainAxis()
	return measure.Digits(rain.Of(scenario.WetDayMM), 1) + " " + rain.Unit
}

// RainTable lays the rain of the made-up months beside the record's.
func (v DryWinter) RainTable() Table {
	rain := v.System.RainAxis()
	t := Table{
		Caption: "Made-up months beside the record's: rain, " + rain.Unit,
		Head:    []string{"month", "mean, record", "made up", "spread, record", "made up by the bare chain", "made up, corrected"},
		Note:    "Spread: how much the month's rain differs from year to year, as its standard deviation.",
		Data:    "drywinter.json",
	}
	for _, m := range v.Result.Synthetic.Fit.Months {
		t.Rows = append(t.Rows, append([]string{m.Month.String()}, figures(rain, m.RainMM.Record, m.RainMM.Synthetic, m.StdDevMM.Record, m.StdDevMM.Bare, m.StdDevMM.Synthetic)...))
	}
	return t
}

func figures(axis measure.Scale, si ...float64) []string {
	var cells []string
	for _, x := range si {
		cells = append(cells, measure.Digits(axis.Of(x), 3))
	}
	return cells
}

// SeasonTable tells how much the halves of the year differ from one year to
// the next, in the record and in made-up years before and after the
// correction.
func (v DryWinter) SeasonTable() Table {
	rain := v.System.RainAxis()
	t := Table{
		Caption: "Made-up seasons beside the record's: how much one year differs from the next",
		Head:    []string{"season", "mean, record", "made up", "spread, record", "made up by the bare chain", "made up, corrected"},
		Note:    "A chain of wet and dry days alone makes years that are too much alike; where it does, the made-up months and seasons are given the record's spread. The record's seasons are those of its whole water years, its months all that it holds.",
		Data:    "drywinter.json",
	}
	for _, s := range v.Result.Synthetic.Fit.Seasons {
		name := fmt.Sprintf("%.3s–%.3s", s.First, s.Last)
		t.Rows = append(t.Rows,
			append([]string{name + ", rain, " + rain.Unit}, figures(rain, s.RainMM.Record, s.RainMM.Synthetic, s.StdDevMM.Record, s.StdDevMM.Bare, s.StdDevMM.Synthetic)...),
			append([]string{name + ", wet days"}, figures(measure.Scale{Factor: 1}, s.WetDays.Record, s.WetDays.Synthetic, s.WetDaySD.Record, s.WetDaySD.Bare, s.WetDaySD.Synthetic)...))
	}
	return t
}
