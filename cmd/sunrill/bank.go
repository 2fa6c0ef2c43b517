package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/sizing"
	"sunrill/weather"
)

func bankCommand() command {
	return command{
		name:  "bank",
		args:  "[SITE] [flags]",
		brief: "how big a bank: unmet hours against its size, over all years",
		long: `Runs every water year on banks from none to one that more would not help, and
prints what each leaves unmet, the deficit spells of all years, and the smallest
bank that keeps to a number of unmet hours a year in four years of five. Beside
it stand the mass curve's answer and the pencil's. Writes bank.csv, spells.csv,
bank.json, charts and report.html. With --arrays the panels vary too: arrays.csv
and a chart of lines of equal unmet hours.`,
		example: `sunrill bank --target "10 h"`,
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.String("target", "10 h", "unmet hours a year that are bearable in four years of five")
			fs.Bool("arrays", false, "vary the panels too, from none to three times as many")
		},
		run: runBank,
	}
}

func runBank(c *call) error {
	target, err := c.quantity("target", measure.HourCounts, 0, 8784, "0 h to 8784 h")
	if err != nil {
		return err
	}
	arrays, err := c.flags.GetBool("arrays")
	if err != nil {
		return err
	}
	h, err := c.homestead()
	if err != nil {
		return err
	}
	if arrays && len(h.Site.Arrays) == 0 {
		return usageError{"--arrays needs a site with panels; this one describes none"}
	}
	years, err := c.pick(h)
	if err != nil {
		return err
	}
	step, done := c.progress("years on banks of many sizes")
	v, err := bankStudy(c, h, years, target, arrays, step)
	done()
	if err != nil {
		return err
	}
	sec := v.Section()
	sec.Text = nil // the page's verdict says it
	page := c.studyPage(h, "How big a bank: "+span(years), v.Verdict(), []report.Section{sec})
	files := func(f *record.Folder) error { return record.Bank(f, v.Result, v.Grid) }
	return c.publish(h.Site, page, files, record.BankObject(v.Result, v.Grid))
}

// bankStudy finds how big a bank the years need.
func bankStudy(c *call, h *series.Homestead, years []weather.Year, targetHours float64, arrays bool, step func(done, total int)) (report.Bank, error) {
	drawn, err := c.drawn(h)
	if err != nil {
		return report.Bank{}, err
	}
	ys := series.Over(years, h)
	o := sizing.Options{TargetHours: &targetHours, Progress: step}
	if drawn != nil {
		o.Draws = series.Over(years, drawn...)
	}
	doubts, err := c.doubts(h, years)
	if err != nil {
		return report.Bank{}, err
	}
	v := report.Bank{Doubts: doubts, South: h.Site.Place.LatDeg < 0}
	v.Result, err = sizing.Study(c.ctx, ys, h.Bus(), o)
	if err != nil || !arrays {
		return v, err
	}
	for _, a := range h.Site.Arrays {
		v.PanelW += a.PowerW
	}
	factors, capacities := sizing.Around(v.Result)
	v.Grid, err = sizing.Arrays(c.ctx, ys, h.Bus(), v.PanelW, factors, capacities, step)
	return v, err
}

// span names the water years that a study ran.
func span(years []weather.Year) string {
	if len(years) == 1 {
		return fmt.Sprintf("the water year from %s", years[0].Start.Format("2 January 2006"))
	}
	return fmt.Sprintf("%d water years, %d to %d", len(years), years[0].Number(), years[len(years)-1].Number())
}
