package main

import (
	"fmt"
	"slices"

	"sunrill/plots/report"
	"sunrill/sim"
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
report.html, which any browser opens. With several years it prints a line for
each and writes the files of the worst.`,
		example: "sunrill year --years all",
		groups:  withSite | withYears | withFiles | withResult,
		flags:   valve.add,
		run: func(c *call) error {
			h, err := c.homestead()
			if err != nil {
				return err
			}
			if h, err = valve.gate(h); err != nil {
				return err
			}
			years, err := c.pick(h, false)
			if err != nil {
				return err
			}
			if len(years) == 1 {
				return oneYear(c, h, years[0])
			}
			return manyYears(c, h, years)
		},
	}
}

// oneYear runs, prints and writes one year.
func oneYear(c *call, h *series.Homestead, year weather.Year) error {
	y, err := sim.Run(h.Input(year), h.Bus())
	if err != nil {
		return err
	}
	v := yearReport(h, y)
	names, err := writeYear(c, h, v)
	if err != nil {
		return err
	}
	c.printYear(h, v)
	c.printFiles(names)
	return c.emit(record.Summarize(h.Site.Name, y.In.Start, v.Summary))
}

// manyYears runs several years, prints a table of them and writes the worst.
func manyYears(c *call, h *series.Homestead, years []weather.Year) error {
	step, done := c.progress("years")
	lines, err := runYears(c, h, years, step)
	done()
	if err != nil {
		return err
	}
	heads := make([]sim.Summary, len(lines))
	summaries := make([]record.Summary, len(lines))
	for i, l := range lines {
		heads[i] = l.Summary
		summaries[i] = record.Summarize(h.Site.Name, l.Start, l.Summary)
	}
	worst := sim.Worst(heads)
	y, err := sim.Run(h.Input(years[worst]), h.Bus())
	if err != nil {
		return err
	}
	v := yearReport(h, y)
	names, err := writeYear(c, h, v, report.Years(lines, v.System, ""))
	if err != nil {
		return err
	}
	if danger := report.HazardYears(lines); danger != "" {
		c.say("%s\n", wrap(danger))
	}
	c.printYears(h, years, heads, worst)
	c.printYear(h, v)
	c.printFiles(names)
	return c.emit(struct {
		Years []record.Summary `json:"years"`
		Worst record.Summary   `json:"worst"`
	}{summaries, summaries[worst]})
}

// runYears runs years side by side and keeps a line of each.
func runYears(c *call, h *series.Homestead, years []weather.Year, step sim.Progress) ([]report.YearLine, error) {
	lines := make([]report.YearLine, len(years))
	ys := series.Over(years, h)
	err := ys.Visit(c.ctx, step.Steps(ys.Runs()), func(k sim.Case) error {
		y, err := k.Run(k.In, h.Bus())
		if err != nil {
			return fmt.Errorf("year %d: %w", years[k.Year].Number(), err)
		}
		rain := 0.0
		for _, mm := range y.In.RainMM {
			rain += mm
		}
		lines[k.Year] = report.YearLine{Start: y.In.Start, RainMM: rain, Summary: sim.Summarize(y)}
		return nil
	})
	return lines, err
}

// writeYear writes the files of a year and returns their names. Chapters that
// go before the year's own are given.
func writeYear(c *call, h *series.Homestead, v report.Year, before ...report.Section) ([]string, error) {
	changeover, err := yearChangeover(c, h, v.Year)
	if err != nil {
		return nil, err
	}
	page := c.yearPage(h, v, slices.Concat(before, v.Sections(), changeover))
	return c.writeReport(h.Site, page, func(f *record.Folder) error {
		return record.Year(f, h.Site.Name, v.Year, v.Summary)
	})
}
