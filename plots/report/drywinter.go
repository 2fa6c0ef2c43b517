package report

import (
	"fmt"
	"strings"

	"sunrill/plots"
	"sunrill/sim/measure"
	"sunrill/sim/scenario"
)

// DryWinter is what the section on dry winters is made from.
type DryWinter struct {
	Result *scenario.Result
	System measure.System
}

// Section returns the chapter.
func (v DryWinter) Section() Section {
	r := v.Result
	sec := Section{
		ID:      "drywinter",
		Title:   "What a dry winter does",
		Figures: []Figure{{plots.DryWinters(v.rows()), "drywinter.csv"}},
		Tables:  []Table{v.ScenarioTable()},
	}
	sec.Text, _ = v.Verdict()
	if r.FanWithout != nil {
		fans := []plots.ChargeFan{fan(r.FanWithout, "")}
		if r.FanWith != nil {
			fans = []plots.ChargeFan{fan(r.FanWith, "with the creek"), fan(r.FanWithout, "panels alone")}
		}
		sec.Figures = append(sec.Figures, Figure{plots.ChargeFans(r.MadeUp.Years, fans...), ""})
	}
	if r.MadeUp != nil {
		sec.Tables = append(sec.Tables, v.FitTable(), v.SeasonTable())
	}
	return sec
}

func fan(f *scenario.Fan, of string) plots.ChargeFan {
	return plots.ChargeFan{Start: f.Start, Median: f.Median, OneIn5: f.OneIn5, OneIn20: f.OneIn20, FloorSoC: f.FloorSoC, Of: of}
}

// Verdict says in paragraphs what the study found, the answer first, and
// whether it is bad news.
func (v DryWinter) Verdict() (paragraphs []string, bad bool) {
	best := v.Result.Scenarios[len(v.Result.Scenarios)-1].Best()
	return append([]string{v.Result.Verdict()}, v.text()...), best.UnmetP80 > 0
}

func (v DryWinter) text() []string {
	r := v.Result
	rec := r.Record
	text := []string{fmt.Sprintf("The record holds %s with %s of rain in the mean; the driest, %s, had %s, the wettest, %s, %s. The worst for the house was %s.",
		measure.Plural(rec.Years, "water year", "water years"), v.System.Rain(rec.RainMM), scenario.WaterYear(rec.DriestYear), v.System.Rain(rec.DriestMM),
		scenario.WaterYear(rec.WettestYear), v.System.Rain(rec.WettestMM), scenario.WaterYear(rec.WorstYear))}
	if len(r.Scenarios) > 3 {
		text = append(text, "A season put off brings the same rain so many weeks later, and sun and creek go with it; day length and the season's warmth stay.")
	}
	if m := r.MadeUp; m != nil {
		text = append(text, fmt.Sprintf("%s years were made up from the record's own wet and dry days (seed %d). In half of them the house is short for %.0f hours or less, in 1 of 5 for %.0f or more, in 1 of 20 for %.0f or more; the worst has %.0f.",
			measure.Count(m.Years), m.Seed, m.P50, m.P80, m.P95, m.Worst))
	}
	for _, n := range r.Notes {
		text = append(text, "Note: "+n+".")
	}
	return text
}

func (v DryWinter) rows() []plots.WinterRow {
	var rows []plots.WinterRow
	spread := func(o scenario.Outcome) plots.Spread {
		return plots.Spread{P50: o.UnmetP50, P80: o.UnmetP80, P95: o.UnmetP95, Worst: o.UnmetWorst}
	}
	for _, s := range v.Result.Scenarios {
		row := plots.WinterRow{Name: s.Name, Without: spread(s.Without)}
		row.Name = strings.TrimSuffix(row.Name, " on record")
		if s.With != nil {
			with := spread(*s.With)
			row.With = &with
		}
		rows = append(rows, row)
	}
	return rows
}

// ScenarioTable is drywinter.csv as a person reads it.
func (v DryWinter) ScenarioTable() Table {
	r := v.Result
	hydro, generator := r.Scenarios[0].With != nil, false
	for _, s := range r.Scenarios {
		generator = generator || s.Without.GeneratorHours > 0 || s.With != nil && s.With.GeneratorHours > 0
	}
	t := Table{
		Caption: "Unmet hours a year: median, 1 year in 5, 1 in 20, worst",
		Head:    []string{"weather"},
		Data:    "drywinter.csv",
		Note:    "Deepest: the deepest deficit spell of all years, in kWh; what a bank would have had to give to carry it.",
	}
	group := func(name string) {
		t.Minor = append(t.Minor, len(t.Head)+2, len(t.Head)+4)
		t.Head = append(t.Head, name+"median", name+"1 in 5", name+"1 in 20", name+"worst", name+"deepest")
		if generator {
			t.Minor = append(t.Minor, len(t.Head))
			t.Head = append(t.Head, name+"generator, h")
		}
	}
	if hydro {
		group("with creek: ")
		group("without: ")
	} else {
		group("")
	}
	cells := func(o scenario.Outcome) []string {
		row := []string{hoursCell(o.UnmetP50), hoursCell(o.UnmetP80), hoursCell(o.UnmetP95), hoursCell(o.UnmetWorst), kWh(1000 * o.DeepestDeficitKWh)}
		if generator {
			row = append(row, hoursCell(o.GeneratorHours))
		}
		return row
	}
	for _, s := range r.Scenarios {
		row := []string{s.Name}
		if s.With != nil {
			row = append(row, cells(*s.With)...)
		}
		t.Rows = append(t.Rows, append(row, cells(s.Without)...))
	}
	return t
}

func hoursCell(h float64) string { return measure.Count(int(h + 0.5)) }

// FitTable lays the made-up months beside the record's.
func (v DryWinter) FitTable() Table {
	rain := v.System.RainAxis()
	t := Table{
		Caption: "The record's months, and made-up ones",
		Head: []string{"month", "wet days, record", "made up", "wet spell in days, record", "made up",
			"rain, " + rain.Unit + ", record", "made up", "spread between years, record", "made up, uncorrected", "corrected"},
		Note: fmt.Sprintf("Of %s made-up years. Spread: standard deviation of the month's rain.", measure.Count(v.Result.MadeUp.Fit.Years)),
		Data: "drywinter.json", Minor: []int{3, 4, 8},
	}
	mm := func(x float64) string { return measure.Digits(rain.Of(x), 3) }
	for _, m := range v.Result.MadeUp.Fit.Months {
		t.Rows = append(t.Rows, []string{m.Month.String(), measure.Percent(m.WetShare.Record), measure.Percent(m.WetShare.MadeUp),
			fmt.Sprintf("%.1f", m.WetSpellD.Record), fmt.Sprintf("%.1f", m.WetSpellD.MadeUp),
			mm(m.RainMM.Record), mm(m.RainMM.MadeUp), mm(m.SpreadMM.Record), mm(m.SpreadMM.Bare), mm(m.SpreadMM.MadeUp)})
	}
	return t
}

// SeasonTable tells how much the halves of the year differ from one year to
// the next, in the record and in made-up years before and after the
// correction.
func (v DryWinter) SeasonTable() Table {
	rain := v.System.RainAxis()
	mm := func(x float64) string { return measure.Digits(rain.Of(x), 3) }
	t := Table{
		Caption: "How much one season differs from the next: standard deviation of its total",
		Head: []string{"season", "mean rain, " + rain.Unit + ", record", "made up", "spread, " + rain.Unit + ", record", "made up, uncorrected", "corrected",
			"wet days, spread, record", "uncorrected", "corrected"},
		Note:  "A chain of wet and dry days alone makes years that are too much alike; where it does, the made-up seasons are given the record's spread.",
		Minor: []int{6, 7, 8}, Data: "drywinter.json",
	}
	for _, s := range v.Result.MadeUp.Fit.Seasons {
		name := fmt.Sprintf("%.3s–%.3s", s.First, s.Last)
		t.Rows = append(t.Rows, []string{name, mm(s.RainMM.Record), mm(s.RainMM.MadeUp), mm(s.SpreadMM.Record), mm(s.SpreadMM.Bare), mm(s.SpreadMM.MadeUp),
			fmt.Sprintf("%.1f", s.WetDaySD.Record), fmt.Sprintf("%.1f", s.WetDaySD.Bare), fmt.Sprintf("%.1f", s.WetDaySD.MadeUp)})
	}
	return t
}
