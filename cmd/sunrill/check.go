package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sim/series"
)

func checkCommand() command {
	var pipes bool
	return command{
		name:  "check",
		args:  "[SITE] [flags]",
		brief: "read a site and say what was understood, with warnings",
		long: `Reads every file of the site, reports every mistake in one run, and prints what
was understood: sun and hills, panels, creek, pipe and turbine, bank, loads, what
was taken by default and why, and what looks odd. It writes nothing.`,
		example: "sunrill check --pipes",
		groups:  withSite | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.BoolVar(&pipes, "pipes", false, "show what the next pipe sizes up and down would give")
		},
		run: func(c *call) error {
			h, err := c.homestead()
			if err != nil {
				return err
			}
			k := newChecked(h)
			c.printSite(append(k.site(pipes), report.Section{Tables: k.uses()}))
			for _, note := range h.Notes() {
				c.say("%s\n", wrap("Good to know: "+note+"."))
			}
			c.printDefaults(h)
			return c.emit(k.result())
		},
	}
}

// checked is what check works out once and prints or emits.
type checked struct {
	h       *series.Homestead
	months  [12]series.SunMonth
	yields  []series.ArrayYield
	flows   []series.FlowFraction
	classes []series.RainClass
	useWh   float64 // mean day's use at the bus
}

func newChecked(h *series.Homestead) *checked {
	k := &checked{h: h, months: h.SunMonths(), classes: h.RainClasses()}
	k.yields = h.Yields(k.months)
	k.flows = h.FlowFractions([]float64{0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 1})
	k.useWh = h.UseADay()
	return k
}

// printSite prints chapters without their charts.
func (c *call) printSite(sections []report.Section) {
	for _, s := range sections {
		for _, text := range s.Text {
			c.say("%s\n", wrap(text))
		}
		for _, t := range s.Tables {
			c.say("%s", tableText(t))
		}
	}
}

func (c *call) printDefaults(h *series.Homestead) {
	if len(h.Site.Defaults) == 0 {
		return
	}
	u := units(h.Site)
	c.say("Taken by default, since the site does not say:")
	for _, d := range h.Site.Defaults {
		value, reason := d.In(u)
		lines := strings.Split(wrap(fmt.Sprintf("%s = %s: %s", d.Key, value, reason)), "\n")
		c.say("  %s", strings.Join(lines, "\n      "))
	}
}

// result is the object that check prints with --json.
func (k *checked) result() any {
	type month struct {
		Month      int     `json:"month"`
		SunClears  string  `json:"sun_clears_hills"`
		Horizontal float64 `json:"sun_hours_level"`
		Panels     float64 `json:"sun_hours_panels"`
		NoHorizon  float64 `json:"sun_hours_panels_no_horizon"`
	}
	type array struct {
		Name      string  `json:"name"`
		KWhPerKW  float64 `json:"kwh_per_kw"`
		BestTilt  float64 `json:"best_tilt_deg"`
		DarkTilt  float64 `json:"best_tilt_dark_months_deg"`
		DarkMonth int     `json:"dark_months_from"`
	}
	type flow struct {
		Exceeded float64 `json:"exceeded_share"`
		FlowLPS  float64 `json:"flow_lps"`
		LeftLPS  float64 `json:"turbine_lps"`
		PowerW   float64 `json:"power_w"`
	}
	type byDefault struct {
		Key    string `json:"key"`
		Value  string `json:"value"`
		Reason string `json:"reason"`
	}
	s := k.h.Site
	r := struct {
		Name      string      `json:"name"`
		Years     []int       `json:"years"`
		UseKWhDay float64     `json:"use_kwh_a_day"`
		Months    []month     `json:"months"`
		Rain      rainResult  `json:"rain"`
		Arrays    []array     `json:"arrays"`
		Flows     []flow      `json:"flows"`
		Defaults  []byDefault `json:"defaults"`
		Warnings  []string    `json:"warnings"`
	}{Name: s.Name, UseKWhDay: k.useWh / 1000, Rain: k.rainResult(), Warnings: slices.Concat(s.Warnings, k.h.Warnings(), k.h.Notes(), []string{})}
	for _, y := range k.h.Years() {
		r.Years = append(r.Years, y.Number())
	}
	for _, m := range k.months {
		r.Months = append(r.Months, month{int(m.Month), spans(m.Up), m.Horizontal, m.Panels, m.NoHorizon})
	}
	for _, y := range k.yields {
		r.Arrays = append(r.Arrays, array{y.Name, y.KWhPerKW, y.BestTiltDeg, y.DarkTiltDeg, int(y.DarkFrom)})
	}
	for _, f := range k.flows {
		r.Flows = append(r.Flows, flow{f.Exceeded, f.FlowM3S * 1000, f.LeftM3S * 1000, f.PowerW})
	}
	for _, d := range s.Defaults {
		value, reason := d.In(measure.Metric)
		r.Defaults = append(r.Defaults, byDefault{d.Key, value, reason})
	}
	return r
}
