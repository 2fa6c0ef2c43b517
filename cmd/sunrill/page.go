package main

import (
	"context"
	"fmt"
	"slices"
	"time"

	"sunrill/loads"
	"sunrill/plots"
	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sources/solar"
	"sunrill/weather"
)

// yearReport gathers what the sections of a year show.
func yearReport(h *series.Homestead, y *sim.Year) report.Year {
	s := h.Site
	v := report.Year{
		Year: y, Summary: sim.Summarize(y), System: units(s), OnPanel: s.Sun.OnPanel,
		HorizonLines: horizonLines(h, y.In.Start),
		Machine:      h.Machine, FlowRecordM3S: h.KnownFlow(), UsefulHeatWhDay: s.UsefulHeatWhDay,
	}
	if v.Summary.UnmetHours > 0 {
		// Some ten runs of a year that is in memory, which cannot fail.
		v.Why, _ = sim.Diagnose(context.Background(), sim.Held([]*sim.Input{y.In}), y.Bus, true)
	}
	if m := s.Meter; m != nil {
		v.Meters = report.Meters(y, *m)
	}
	if s.DemandW == nil {
		v.Household = household(h, y.In)
		v.Uses = uses(h, y.In.Start, y.In.Hours()/24)
	}
	return v
}

// uses tells who uses what over so many days.
func uses(h *series.Homestead, start time.Time, days int) []plots.Use {
	var us []plots.Use
	for _, u := range loads.Uses(start, days, h.Site.Appliances) {
		us = append(us, plots.Use{Name: u.Name, Wh: u.Wh, Flexible: u.Flexible})
	}
	return us
}

// yearPage puts the report of a year together.
func (c *call) yearPage(h *series.Homestead, v report.Year, sections []report.Section) report.Page {
	page := c.sitePage(h)
	page.Subtitle = "The year " + v.Name()
	if v.Unfinished() {
		page.Subtitle = "The season that is not over, " + v.Name()
	}
	page.Verdict = v.Verdict()
	page.Sections = sections
	return page
}

// sitePage is what every report of a site says.
func (c *call) sitePage(h *series.Homestead) report.Page {
	s := h.Site
	return report.Page{
		Title:       s.Name,
		Letter:      s.US,
		Changes:     changes(s),
		Warnings:    slices.Concat(s.Warnings, h.Warnings()),
		Notes:       h.Notes(),
		Cautions:    report.Cautions(dangers(h)),
		Assumptions: assumptions(h),
		NotModelled: report.NotModelled(h.Machine != nil),
		Made:        c.madeBy(s),
	}
}

func dangers(h *series.Homestead) report.Dangers {
	var bank []report.Caution
	if b := h.Site.Bank; b.CapacityWh > 0 {
		for _, c := range b.Kind().Cautions {
			bank = append(bank, report.Caution(c))
		}
	}
	return report.Dangers{
		Hydro:  h.Machine != nil,
		Dump:   h.Site.DumpW > 0,
		Bank:   bank,
		Engine: h.Site.Generator != nil,
		Tank:   h.Machine != nil && h.Site.UsefulHeatWhDay > 0,
	}
}

func assumptions(h *series.Homestead) []report.Assumption {
	var as []report.Assumption
	u := units(h.Site)
	for _, d := range h.Site.Defaults {
		value, reason := d.In(u)
		as = append(as, report.Assumption{What: d.Key, Value: value, Why: reason})
	}
	return as
}

// household is the average day of each use in each quarter of the year.
func household(h *series.Homestead, in *sim.Input) *plots.Household {
	v := &plots.Household{}
	for i, seasons := range loads.Seasons(in.Start, in.Hours()/24, h.Site.Appliances) {
		a := &h.Site.Appliances[i]
		if a.Flexible {
			continue
		}
		v.Uses = append(v.Uses, a.Name)
		for q, season := range seasons {
			if len(v.MeanW) <= q {
				v.MeanW = append(v.MeanW, nil)
				v.Seasons = append(v.Seasons, fmt.Sprintf("%.3s to %.3s", season.Months[0], season.Months[2]))
			}
			v.MeanW[q] = append(v.MeanW[q], season.W)
		}
	}
	if v.Uses == nil {
		return nil
	}
	return v
}

// skylines are the hills as the arrays see them: one where all see the same.
func horizonLines(h *series.Homestead, start time.Time) []report.HorizonLine {
	s := h.Site
	var all []report.HorizonLine
	seen := map[string]bool{}
	paths := sunPaths(s.Place, start.Year())
	add := func(of string, horizon solar.Horizon) {
		key := fmt.Sprint(horizon)
		if len(horizon) == 0 || seen[key] {
			return
		}
		seen[key] = true
		line := report.HorizonLine{Of: of, HorizonLine: plots.HorizonLine{Paths: paths, South: s.Place.LatDeg < 0}}
		for _, p := range horizon {
			line.BearingDeg = append(line.BearingDeg, p.BearingDeg)
			line.HeightDeg = append(line.HeightDeg, p.HeightDeg)
		}
		all = append(all, line)
	}
	add("", s.Sun.Horizon)
	for _, a := range s.Arrays {
		add(a.Name, a.Horizon)
	}
	return all
}

// sunPaths are the sun's ways on the 21st of December to June; the other half
// of the year goes the same ways back.
func sunPaths(p weather.Place, year int) []plots.SunPath {
	names := []string{"Dec", "Jan, Nov", "Feb, Oct", "Mar, Sep", "Apr, Aug", "May, Jul", "Jun"}
	var paths []plots.SunPath
	for i, name := range names {
		midnight := time.Date(year, time.Month(12+i), 21, 0, 0, 0, 0, p.Zone())
		path := plots.SunPath{Name: name, Solstice: i == 0 || i == 6}
		const step = 10 * time.Minute
		for k, sun := range weather.SunPath(p, midnight, step) {
			if sun.ElevationDeg() < -1 {
				continue
			}
			path.BearingDeg = append(path.BearingDeg, sun.AzimuthDeg)
			path.HeightDeg = append(path.HeightDeg, sun.ElevationDeg())
			path.Hour = append(path.Hour, step.Hours()*float64(k))
		}
		if path.BearingDeg != nil {
			paths = append(paths, path)
		}
	}
	return paths
}
