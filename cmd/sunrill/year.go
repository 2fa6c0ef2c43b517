package main

import (
	"fmt"
	"slices"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/weather"
)

func yearCommand() command {
	var valve valveFlags
	return command{
		name:  "year",
		args:  "[SITE] [flags]",
		brief: "run a year hour by hour: summary, tables, charts, report",
		long: `Runs the site through a water year, hour by hour, and writes what happened:
summary.json, hours.csv, days.csv, months.csv, deficits.csv, the charts and
report.html, which any browser opens. It runs every year of the record, with
the middle values and under draws of what nobody knows for sure, tells how a
middling year goes, one in five and the worst and how sure that is, and then the
middling year in full; --years worst, last or 2016 tells another. A winter that
is not over yet is run alone, up to where the records end: --years running.`,
		example: "sunrill year --years all",
		groups:  withSite | withYears | withFiles | withDraws | withSeed | withResult,
		flags:   valve.add,
		run: func(c *call) error {
			h, err := c.homestead()
			if err != nil {
				return err
			}
			if h, err = valve.gate(h); err != nil {
				return err
			}
			years, told, err := c.pickYear(h)
			if err != nil {
				return err
			}
			return tellYear(c, h, years, told)
		},
	}
}

// told says which of several years is told in full.
type told int

const (
	toldTypical told = iota
	toldWorst
	toldOnly // there is one only
)

// pickYear returns the water years that --years names, the season that is not
// over among them where it is named alone, and which of them is told in full.
func (c *call) pickYear(h *series.Homestead) ([]weather.Year, told, error) {
	years, which, err := h.Years(), toldWorst, error(nil)
	switch c.opts.years {
	case "", "typical":
		which = toldTypical
	case "worst":
	case "running":
		y, is := h.Unfinished()
		if !is {
			last := years[len(years)-1]
			return nil, 0, usageError{fmt.Sprintf("--years running: the records hold no week beyond the last whole water year, which ended on %s", lastDay(last))}
		}
		years = []weather.Year{y}
	default:
		if y, is := h.Unfinished(); is && c.opts.years == fmt.Sprint(y.Number()) {
			years = []weather.Year{y}
			break
		}
		years, err = c.pick(h)
	}
	if len(years) == 1 {
		which = toldOnly
	}
	return years, which, err
}

// tellYear runs the years with the middle values and under draws, prints what
// they come to, and writes the one that is told in full.
func tellYear(c *call, h *series.Homestead, years []weather.Year, which told) error {
	step, done := c.progress("years")
	lines, carried, err := yearStudy(c, h, years, step)
	done()
	if err != nil {
		return err
	}
	summaries := make([]record.Summary, len(lines))
	for i, l := range lines {
		summaries[i] = record.Summarize(h.Site.Name, l.Start, l.Summary)
	}
	one := map[told]int{toldTypical: carried.Middling, toldWorst: carried.Worst, toldOnly: 0}[which]
	y, err := sim.Run(h.Input(years[one]), h.Bus())
	if err != nil {
		return err
	}
	v := yearReport(h, y)
	before := []report.Section{carried.Section()}
	if which != toldOnly {
		before = append(before, report.Years(lines, v.System, ""))
	}
	if which == toldTypical { // the page leads with all years
		before[0].Text = nil
		before = append(before, v.InShort("The middling year"))
	}
	names, err := writeYear(c, h, v, carried, before...)
	if err != nil {
		return err
	}
	said := carried.Verdict().Sentences
	if which != toldOnly {
		if danger := report.HazardYears(lines); danger != "" {
			c.say("%s\n", wrap(danger))
		}
		if c.opts.years == "" || c.opts.years == "typical" {
			c.say("%s: %s\n", h.Site.Name, span(years))
			c.sayAll(said)
			if carried.Carried.Draws > 0 {
				c.say("%s", tableText(carried.Table()))
			}
			if y, is := h.Unfinished(); is {
				c.say("%s\n", wrap(fmt.Sprintf("The season from %s on is in none of this: the records end on %s. \"sunrill year%s --years running\" runs it up to there.", y.Start.Format("2 January 2006"), lastDay(y), c.siteWord())))
			}
			c.say("The middling year in full:\n")
		} else {
			c.printYears(h, years, lines, carried)
			c.sayAll(said)
		}
		c.printYear(h, v)
	} else {
		c.printYear(h, v, said...)
	}
	c.printFiles(names)
	sure := record.CarriedObject(carried.Carried)
	switch which {
	case toldTypical:
		return c.emit(struct {
			record.Summary
			Years []record.Summary   `json:"years"`
			Sure  record.CarriedFile `json:"over_years"`
		}{summaries[one], summaries, sure})
	case toldWorst:
		return c.emit(struct {
			Years []record.Summary   `json:"years"`
			Worst record.Summary     `json:"worst"`
			Sure  record.CarriedFile `json:"over_years"`
		}{summaries, summaries[one], sure})
	}
	return c.emit(struct {
		record.Summary
		Sure record.CarriedFile `json:"over_years"`
	}{summaries[0], sure})
}

// yearStudy runs years side by side, with the middle values for a line of each
// and under draws for how sure they are.
func yearStudy(c *call, h *series.Homestead, years []weather.Year, step sim.Progress) ([]report.YearLine, report.Carried, error) {
	drawn, err := c.drawn(h)
	if err != nil {
		return nil, report.Carried{}, err
	}
	count := step.Steps(len(years) * (1 + len(drawn)))
	lines, err := runYears(c, h, years, count)
	if err != nil {
		return nil, report.Carried{}, err
	}
	middle := make([]int, len(lines))
	for i, l := range lines {
		middle[i] = l.Summary.UnmetHours
	}
	var hours [][]int
	if drawn != nil {
		if hours, err = series.Over(years, drawn...).Unmet(c.ctx, h.Bus(), count); err != nil {
			return nil, report.Carried{}, err
		}
	}
	doubts, err := c.doubts(h, years)
	return lines, report.NewCarried(sim.NewCarried(middle, hours), doubts, lines), err
}

// drawn returns the homestead under each draw that --draws asks for, the middle
// values not among them; nil where those are all.
func (c *call) drawn(h *series.Homestead) ([]*series.Homestead, error) {
	if c.opts.draws <= 1 {
		return nil, nil
	}
	return h.Draws(c.ctx, sim.DrawsTo(c.opts.draws), c.opts.seed)
}

// doubts says what the draws are drawn of, and what the spreads come from.
func (c *call) doubts(h *series.Homestead, years []weather.Year) (report.Doubts, error) {
	d := report.Doubts{Draws: c.opts.draws, Causes: h.Causes(), Unknown: h.RainMovesStream() && !h.Fitted()}
	c.once.Do(func() { c.blames, c.failed = c.blame(h, years, d.Causes) })
	d.Blames = c.blames
	return d, c.failed
}

const (
	fewestToBlame = 10 // draws: fewer tell of no cause
	yearsToBlame  = 12 // of a longer record some, evenly apart, tell the same
)

// blame finds what the spreads of the answers come from.
func (c *call) blame(h *series.Homestead, years []weather.Year, causes []sim.Cause) (*sim.Blames, error) {
	n := c.opts.draws
	if n < fewestToBlame {
		return nil, nil
	}
	var some []weather.Year
	for i := range min(yearsToBlame, len(years)) {
		some = append(some, years[i*len(years)/min(yearsToBlame, len(years))])
	}
	drawn, err := h.Draws(c.ctx, sim.BlameDraws(n, causes), c.opts.seed)
	if err != nil {
		return nil, err
	}
	open := sim.Years{}
	hydro := h.Machine != nil && h.FlowM3S() != nil
	if hydro {
		open = series.OverCreek(some, drawn...)
	}
	return series.Over(some, drawn...).Blame(c.ctx, open, h.Bus(), n, causes, hydro, nil)
}

// runYears runs years side by side and keeps a line of each.
func runYears(c *call, h *series.Homestead, years []weather.Year, step func()) ([]report.YearLine, error) {
	lines := make([]report.YearLine, len(years))
	err := series.Over(years, h).Visit(c.ctx, step, func(k sim.Case) error {
		y, err := k.Run(k.In, h.Bus())
		if err != nil {
			return fmt.Errorf("year %d: %w", years[k.Year].Number(), err)
		}
		l := report.YearLine{Start: y.In.Start, Summary: sim.Summarize(y)}
		for _, mm := range y.In.RainMM {
			l.RainMM += mm
		}
		for _, m := range y.Months() {
			l.UnmetByMonth[m.Start.Month()-1] += m.UnmetHours
		}
		lines[k.Year] = l
		return nil
	})
	return lines, err
}

// writeYear writes the files of a year and returns their names. Chapters that
// go before the year's own are given.
func writeYear(c *call, h *series.Homestead, v report.Year, carried report.Carried, before ...report.Section) ([]string, error) {
	var changeover []report.Section
	if !v.Unfinished() { // its best closing is not known yet
		var err error
		if changeover, err = yearChangeover(c, h, v.Year); err != nil {
			return nil, err
		}
	}
	page := c.yearPage(h, v, slices.Concat(before, v.Sections(), changeover))
	if said := carried.Verdict(); said.Sentences != nil && before[0].ID == "sure" && before[0].Text == nil {
		page.Subtitle = fmt.Sprintf("%s, and the middling one in full: %s", measure.Plural(carried.Carried.Years, "water year", "water years"), v.Name())
		page.Verdict = said
	}
	return c.writeReport(h.Site, page, func(f *record.Folder) error {
		if err := record.Year(f, h.Site.Name, v.Year, v.Summary); err != nil {
			return err
		}
		return record.Draws(f, carried.Carried)
	})
}
