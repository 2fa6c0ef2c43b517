package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim/record"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/weather"
)

func drywinterCommand() command {
	return command{
		name:  "drywinter",
		args:  "[SITE] [flags]",
		brief: "what a dry winter does: less rain, a late season, made-up years",
		long: `Runs the record as it is, with less and with more rain, with its seasons put
off by weeks, and many years made up from the whole record's wet and dry days,
each with and without the creek. Prints how unmet hours spread in each, and how
well the made-up years match the record. Writes drywinter.csv, drywinter.json,
charts and report.html.`,
		example: "sunrill drywinter --made-up 200",
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.String("factors", "0.5,0.75,1.25,1.5", "what to multiply the rain by, 0 to 10")
			fs.String("weeks", "2,4,6,8", "weeks to put the seasons off by, 0 to 26")
			fs.Int("made-up", 1000, "years to make up; 0: none")
		},
		run: runDrywinter,
	}
}

func runDrywinter(c *call) error {
	o, err := c.winterOptions()
	if err != nil {
		return err
	}
	h, err := c.homestead()
	if err != nil {
		return err
	}
	years, err := c.pick(h)
	if err != nil {
		return err
	}
	step, done := c.progress("years of dry winters")
	o.Progress = step
	v, err := drywinterStudy(c, h, years, o)
	done()
	if err != nil {
		return err
	}
	sec := v.Section()
	sec.Text = nil // the page's verdict says it
	page := c.studyPage(h, "What a dry winter does: "+span(years), v.Verdict(), []report.Section{sec})
	files := func(f *record.Folder) error { return record.DryWinter(f, v.Result) }
	return c.publish(h.Site, page, files, record.DryWinterObject(v.Result))
}

// winterOptions reads the command's own flags.
func (c *call) winterOptions() (scenario.Options, error) {
	o := scenario.Options{Seed: c.opts.seed, Factors: []float64{}, Weeks: []int{}}
	factors, err := c.flags.GetString("factors")
	if err != nil {
		return o, err
	}
	for _, word := range listed(factors) {
		x, err := strconv.ParseFloat(word, 64)
		if err != nil || !(x >= 0 && x <= 10) {
			return o, usageError{fmt.Sprintf("--factors: %q is no number from 0 to 10; write such as 0.5,0.75", word)}
		}
		o.Factors = append(o.Factors, x)
	}
	weeks, err := c.flags.GetString("weeks")
	if err != nil {
		return o, err
	}
	for _, word := range listed(weeks) {
		n, err := strconv.Atoi(word)
		if err != nil || n < 0 || n > 26 {
			return o, usageError{fmt.Sprintf("--weeks: %q is no whole number from 0 to 26; write such as 2,4", word)}
		}
		o.Weeks = append(o.Weeks, n)
	}
	switch o.Synthetic, err = c.flags.GetInt("made-up"); {
	case err != nil:
		return o, err
	case o.Synthetic < 0 || o.Synthetic > 1_000_000:
		return o, usageError{fmt.Sprintf("--made-up: %d is outside 0 to 1000000", o.Synthetic)}
	case o.Synthetic == 0:
		o.Synthetic = -1 // none; to the study 0 is the usual number
	}
	return o, nil
}

// listed splits a list at its commas and spaces.
func listed(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' })
}

// drywinterStudy runs the homestead through dry winters.
func drywinterStudy(c *call, h *series.Homestead, years []weather.Year, o scenario.Options) (report.DryWinter, error) {
	s := h.Site
	drawn, err := c.drawn(h)
	if err != nil {
		return report.DryWinter{}, err
	}
	var workers []scenario.Drawn
	for _, h := range drawn {
		workers = append(workers, scenario.Drawn{NewWorker: func() scenario.Worker { return h.Worker() }, Over: workersOver(h)})
	}
	least, _, _ := h.NeededFlow()
	r, err := scenario.DryWinter(c.ctx, scenario.Homestead{
		MinM3S: least,
		Record: s.Rain, Years: years, Bus: h.Bus(), Hydro: h.Machine != nil && h.FlowM3S() != nil,
		NewWorker: func() scenario.Worker { return h.Worker() }, Over: workersOver(h), Drawn: workers,
		Fixed: fixedWeather(h), Notes: weatherNotes(h),
	}, o)
	if err != nil {
		return report.DryWinter{}, err
	}
	doubts, err := c.doubts(h, years)
	return report.DryWinter{Result: r, System: units(s), Doubts: doubts}, err
}

// workersOver returns the workers that run the homestead under the sky of made-up
// years.
func workersOver(h *series.Homestead) func(*weather.Generator) func() scenario.Worker {
	return func(c *weather.Generator) func() scenario.Worker {
		over := h.Over(c)
		return func() scenario.Worker { return over.Worker() }
	}
}

// fixedWeather says why a site cannot be run under other weather than its
// record's, "" if it can.
func fixedWeather(h *series.Homestead) string {
	s := h.Site
	switch {
	case s.Stream != nil && s.Stream.Record != nil:
		return "the creek's flow is a record of its own, which other rain does not change: only the record's years are run; \"sunrill fit\" turns gaugings into a creek that follows the rain"
	case s.Sun.Hourly != nil && !s.Sun.Hourly.Repeat:
		return "the sun was measured hour by hour, and other weather would have another sun: only the record's years are run; give monthly sun hours ([sun] file) for the rest"
	}
	return ""
}

// weatherNotes says what does not follow the rain.
func weatherNotes(h *series.Homestead) []string {
	s := h.Site
	var notes []string
	if s.Sun.Hourly != nil && s.Sun.Hourly.Repeat {
		notes = append(notes, "the sun was measured hour by hour in one year, which stands for all: it does not follow the rain, so less rain is not brighter here")
	}
	return notes
}
