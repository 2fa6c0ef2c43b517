package main

import (
	"fmt"
	"strings"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

func changeoverCommand() command {
	return command{
		name:  "changeover",
		args:  "[SITE] [flags]",
		brief: "when to open the valve in autumn and close it in spring",
		long: `Tries every pair of opening and closing dates, some 67,000 a year, hour by hour.
Prints the best pair, the dates within which there is no hurry, what a week or
more too early or too late costs, and a rule to follow with a bucket and a rain
gauge. Writes changeover.csv (a row a pair), changeover.json, charts and report.html. Without
--years it looks at the whole record, which the rule needs.`,
		example: "sunrill changeover",
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		run: func(c *call) error {
			h, err := c.homestead()
			if err != nil {
				return err
			}
			years, err := c.pick(h)
			if err != nil {
				return err
			}
			if err := needsHydro(h, "no valve to open or close"); err != nil {
				return err
			}
			step, done := c.progress("years of every pair of dates")
			r, err := changeoverStudy(c, h, years, step)
			done()
			if err != nil {
				return err
			}
			v, err := changeoverReport(h, r, years[r.MiddleYear()])
			if err != nil {
				return err
			}
			if v.Doubts, err = c.doubts(h, years); err != nil {
				return err
			}
			sec := v.Section()
			sec.Text = nil // the page's verdict says it
			page := c.studyPage(h, "When to open and close the valve: "+span(years), v.Verdict(), []report.Section{sec})
			said := changeoverSaid(v)
			files := func(f *record.Folder) error { return record.Changeover(f, r, said) }
			return c.publish(h.Site, page, files, record.ChangeoverObject(r, said), "Load before water: never open the valve without load and dump load connected.")
		},
	}
}

// needsHydro tells a site without hydro what it has not, and what to describe.
func needsHydro(h *series.Homestead, not string) error {
	var missing []string
	if h.Machine == nil {
		missing = append(missing, "[penstock] and [turbine]")
	}
	if h.FlowM3S() == nil {
		missing = append(missing, "[stream]")
	}
	if missing == nil {
		return nil
	}
	what := missing[0]
	if len(missing) > 1 {
		what += " and " + missing[1]
	}
	return files.Problems{{
		File: "site.toml",
		What: "the site has no hydro, so there is " + not + ": " + what + " missing",
		Hint: "describe the creek and the machine as they are or as you would build them (\"sunrill new DIR --blank\" writes every key with a comment), or try \"sunrill reckon\" first",
	}}
}

// changeoverStudy asks for the dates of these years.
func changeoverStudy(c *call, h *series.Homestead, years []weather.Year, step func(done, total int)) (*changeover.Result, error) {
	drawn, err := c.drawn(h)
	if err != nil {
		return nil, err
	}
	draws := sim.Years{}
	if drawn != nil {
		draws = series.OverOpen(years, drawn...)
	}
	return changeover.Study{
		Bus:      h.Bus(),
		Years:    series.OverOpen(years, h),
		Draws:    draws,
		South:    h.Site.Place.LatDeg < 0,
		Measures: measuresOf(units(h.Site)),
		Progress: step,

		Today: todaysDates(h.Valve), MinFlowM3S: h.MinFlow(),
	}.Run(c.ctx)
}

// changeoverReport gathers what the section shows: the result, and one year
// run with the best dates and with the valve closed.
func changeoverReport(h *series.Homestead, r *changeover.Result, y weather.Year) (report.Changeover, error) {
	v := report.Changeover{Result: r, System: units(h.Site), Pair: r.InYear(r.Best.Pair, y.Start, y.Days)}
	closed, err := sim.Run(h.WithValve(series.Valve{Shut: true}).Input(y), h.Bus())
	if err != nil {
		return v, err
	}
	v.Year, v.Closed = closed, closed
	if v.Pair != changeover.Never {
		valve := series.Valve{Open: dateOf(r, r.Best.Pair.Open), Close: dateOf(r, r.Best.Pair.Close)}
		if !r.Best.Dated() {
			valve = series.Valve{}
		}
		if v.Year, err = sim.Run(h.WithValve(valve).Input(y), h.Bus()); err != nil {
			return v, err
		}
	}
	v.Own, v.OwnDates = ownDates(h.Valve, r)
	return v, nil
}

// changeoverSaid is what the files say in words.
func changeoverSaid(v report.Changeover) record.ChangeoverSaid {
	return record.ChangeoverSaid{Verdict: v.Verdict().Sentences[0], Rule: v.Rule(), System: v.System}
}

// measuresOf are what a household of the system reads: its bucket, its unit of
// flow and round steps of rain.
func measuresOf(u measure.System) changeover.Measures {
	m := changeover.Measures{BucketM3: u.BucketSeconds(1), FlowPerM3S: u.FlowAxis().Factor}
	if u == measure.US {
		m.RainMM = measure.MMPerInch
	}
	return m
}

// todaysDates returns the dates of a site's valve, nil where it is never opened
// or closed.
func todaysDates(v series.Valve) [2]*changeover.Date {
	return [2]*changeover.Date{(*changeover.Date)(v.Open), (*changeover.Date)(v.Close)}
}

// ownDates returns what the site's own dates come to, and writes them; nil if
// it has none.
func ownDates(own series.Valve, r *changeover.Result) (*changeover.Outcome, string) {
	if own == (series.Valve{}) {
		return nil, ""
	}
	var words []string
	if own.Open != nil {
		words = append(words, "from "+spoken(own.Open))
	}
	if own.Close != nil {
		words = append(words, "to "+spoken(own.Close))
	}
	p, ok := r.Find(todaysDates(own)[0], todaysDates(own)[1])
	if !ok {
		return nil, ""
	}
	o := r.Of(p)
	return &o, strings.Join(words, " ")
}

// yearChangeover is the section of a year's report on its changeover; none
// where the site has no valve to open.
func yearChangeover(c *call, h *series.Homestead, y *sim.Year) ([]report.Section, error) {
	if needsHydro(h, "no valve to open or close") != nil {
		return nil, nil
	}
	year := weather.Year{Start: y.In.Start, Days: y.In.Hours() / 24}
	r, err := changeover.Study{
		Bus: h.Bus(), Years: series.OverOpen([]weather.Year{year}, h), DatesOnly: true,
		South: h.Site.Place.LatDeg < 0, Measures: measuresOf(units(h.Site)), Today: todaysDates(h.Valve),
	}.Run(c.ctx)
	if err != nil {
		return nil, err
	}
	v, err := changeoverReport(h, r, year)
	if err != nil {
		return nil, err
	}
	v.OfYear = true
	return []report.Section{v.Section()}, nil
}

func dateOf(r *changeover.Result, day int) *site.Date {
	t := r.Date(day)
	return &site.Date{Month: t.Month(), Day: t.Day()}
}

func spoken(d *site.Date) string { return fmt.Sprintf("%d %s", d.Day, d.Month) }
