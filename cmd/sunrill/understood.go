package main

import (
	"fmt"
	"math"
	"strings"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/sizing"
	"sunrill/weather"
)

// site returns the chapters on the site as it was understood: what check
// prints and what the book begins with.
func (k *checked) site(pipes bool) []report.Section {
	ss := []report.Section{k.place(), k.rain(), k.panels()}
	if k.flows != nil {
		ss = append(ss, k.creek())
	}
	if k.h.Machine != nil {
		ss = append(ss, k.hydro(pipes))
	}
	return append(ss, k.house())
}

// yearsSpan names the first and the last of the years.
func yearsSpan(years []weather.Year) string {
	first, last := years[0].Number(), years[len(years)-1].Number()
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d to %d", first, last)
}

// uses is the table of who uses what, which a year's household chapter has too.
func (k *checked) uses() []report.Table {
	s := k.h.Site
	if s.DemandW != nil {
		return nil
	}
	last := k.h.Years()[len(k.h.Years())-1]
	return []report.Table{report.UseTable(uses(k.h, last.Start, last.Days), last.Days, k.useWh*float64(last.Days))}
}

func (k *checked) place() report.Section {
	s, u, years := k.h.Site, units(k.h.Site), k.h.Years()
	sec := report.Section{ID: "place", Title: "The place and its sun"}
	sec.Text = []string{fmt.Sprintf("%s: latitude %.2f, longitude %.2f, %s above the sea. The rain record has %s from %s. Water years begin on %d %s; those of %s can be run.",
		s.Name, s.Place.LatDeg, s.Place.LonDeg, u.Length(s.Place.ElevationM), measure.Plural(s.Rain.Days(), "day", "days"),
		s.Rain.Start.Format("2 January 2006"), s.YearDay, s.YearMonth, yearsSpan(years))}
	if y, is := k.h.Unfinished(); is {
		sec.Text[0] += fmt.Sprintf(" That from %s on is not over; it can be run up to %s (--years running).", y.Start.Format("2 January 2006"), lastDay(y))
	}
	if s.RainFromMonths {
		sec.Text[0] = strings.Replace(sec.Text[0], "The rain record has", "The rain is known by its months alone, and days are made up from them:", 1)
	}
	t := report.Table{
		Caption: "The sun, month by month; hours are those of the 21st, standard time",
		Head:    []string{"month", "sun clears the hills", "hours", "sun hours on the level"},
		Note:    "Sun hours: kWh/m² a day, mean over all years.",
	}
	if a := s.Arrays; len(a) > 1 && s.Sun.Horizon == nil && len(a[0].Horizon) > 0 {
		t.Note += fmt.Sprintf(" The hills are those before the array %q.", a[0].Name)
	}
	if len(s.Arrays) > 0 {
		t.Head = append(t.Head, "on the panels", "without hills")
	}
	for _, m := range k.months {
		row := []string{m.Month.String()[:3], spans(m.Up), fmt.Sprintf("%.1f", hours(m.Up)), fmt.Sprintf("%.2f", m.Horizontal)}
		if len(s.Arrays) > 0 {
			row = append(row, fmt.Sprintf("%.2f", m.Panels), fmt.Sprintf("%.2f", m.NoHorizon))
		}
		t.Rows = append(t.Rows, row)
	}
	sec.Tables = append(sec.Tables, t)
	if k.classes == nil {
		sec.Text = append(sec.Text, "The sun was measured hour by hour.")
		return sec
	}
	t = report.Table{
		Caption: "How bright the days are, by their rain",
		Head:    []string{"rain of the day", "days", "share of a clear sky", "of a dry day", "spread"},
	}
	rain := u.RainAxis()
	for _, r := range k.classes {
		if r.Days == 0 {
			continue
		}
		name := fmt.Sprintf("%s to %s %s", short(rain.Of(r.FromMM)), short(rain.Of(r.ToMM)), rain.Unit)
		if r.ToMM == 0 {
			name = fmt.Sprintf("%s %s and more", short(rain.Of(r.FromMM)), rain.Unit)
		}
		t.Rows = append(t.Rows, []string{name, measure.Count(r.Days), measure.Percent(r.Fraction), measure.Percent(r.OfDry), measure.Percent(r.Spread)})
	}
	sec.Tables = append(sec.Tables, t)
	return sec
}

func (k *checked) panels() report.Section {
	sec := report.Section{ID: "panels", Title: "The panels"}
	if len(k.yields) == 0 {
		sec.Text = []string{"No panels."}
		return sec
	}
	t := report.Table{
		Caption: "What each array gives",
		Head:    []string{"array", "power", "tilt", "facing", "kWh a year per kW", "best tilt, year", "best tilt, dark months"},
	}
	for i, y := range k.yields {
		a := k.h.Site.Arrays[i]
		t.Rows = append(t.Rows, []string{a.Name, measure.Power(a.PowerW), fmt.Sprintf("%.0f°", a.TiltDeg), fmt.Sprintf("%.0f°", a.AzimuthDeg),
			measure.Digits(y.KWhPerKW, 3), fmt.Sprintf("%.0f°", y.BestTiltDeg), fmt.Sprintf("%.0f° (%.3s, %.3s)", y.DarkTiltDeg, y.DarkFrom, y.DarkFrom%12+1)})
	}
	sec.Tables = []report.Table{t}
	return sec
}

func (k *checked) creek() report.Section {
	s, u := k.h.Site, units(k.h.Site)
	t := report.Table{
		Caption: "The creek: on how many days it has more",
		Head:    []string{"share of days", "stream flow", "bucket fills in"},
	}
	if k.h.Machine != nil {
		t.Head = append(t.Head, "left for the turbine", "at the bank (bus)")
	}
	for _, f := range k.flows {
		row := []string{measure.Percent(f.Exceeded), u.Flow(f.FlowM3S), bucket(u, f.FlowM3S)}
		if k.h.Machine != nil {
			row = append(row, u.Flow(f.LeftM3S), measure.Power(f.PowerW))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Note = "The times are those of the " + u.Bucket() + "."
	if k.h.Machine != nil {
		in := s.Hydro.Intake
		t.Note += fmt.Sprintf(" %s stay in the creek and the house draws %s before the turbine gets any.", u.Flow(in.ResidualM3S), u.Flow(in.HouseWaterM3S))
		if s.Hydro.Forebay.VolumeM3 > 0 {
			t.Note += " Watts are the mean of a day: the tank before the pipe (forebay) may carry the turbine a part of it."
		}
	}
	return report.Section{ID: "creek", Title: "The creek", Tables: []report.Table{t}}
}

func (k *checked) hydro(pipes bool) report.Section {
	h, u := k.h, units(k.h.Site)
	m := h.Machine
	p := m.Plant.Penstock
	sec := report.Section{ID: "hydro", Title: "Pipe and turbine"}
	t := report.Table{
		Caption: fmt.Sprintf("Pipe and turbine: %s of head, %s of pipe with a bore of %s", u.Length(p.GrossHeadM), u.Length(p.LengthM), u.Bore(p.BoreM)),
		Head:    []string{"open", "flow", "bucket fills in", "velocity", "lost in the pipe", "net head", "water power", "at the bank (bus)"},
	}
	for _, r := range m.Table(u) {
		row := []string{r.Name, u.Flow(r.FlowM3S), bucket(u, r.FlowM3S), u.Velocity(r.Pipe.VelocityMS), measure.Percent(r.LossFraction), u.Length(r.NetHeadM), measure.Power(r.WaterW), measure.Power(r.PowerW)}
		if r.TooStrong {
			row[len(row)-1] = measure.Power(r.UnlimitedW) + ", too much: never opened"
		}
		if r.PowerW == 0 && r.NetHeadM == 0 {
			row = []string{r.Name, u.Flow(r.FlowM3S), bucket(u, r.FlowM3S), "", "", "", "", "0 W"}
		}
		t.Rows = append(t.Rows, row)
	}
	if len(p.Reaches) > 1 {
		var words []string
		for _, r := range p.Reaches {
			words = append(words, fmt.Sprintf("%s of %s", u.Length(r.LengthM), u.Bore(r.BoreM)))
		}
		t.Caption = fmt.Sprintf("Pipe and turbine: %s of head, %s of pipe: %s", u.Length(p.GrossHeadM), u.Length(p.LengthM), strings.Join(words, ", then "))
	}
	if best := p.BestFlow(m.Water); !math.IsInf(best, 1) && p.GrossHeadM > 0 {
		lost := p.Loss(best, m.Water).TotalM() / p.GrossHeadM
		t.Note = fmt.Sprintf("The pipe gives its greatest power at %s, where it takes %s of the head; more flow gives less.", u.Flow(best), measure.Percent(lost))
	}
	sec.Tables = append(sec.Tables, t)
	if pipes {
		sec.Tables = append(sec.Tables, pipeTable(h))
	}

	s, r := m.Surge(), m.Runner()
	text := fmt.Sprintf("Pressure: %s standing, %s with the surge of a valve shut in %s", u.Pressure(s.StaticPa), u.Pressure(s.PeakPa()), measure.Seconds(p.CloseTimeS))
	if p.RatingPa > 0 {
		text += fmt.Sprintf("; the pipe is rated %s.", u.Pressure(p.RatingPa))
	} else {
		text += "; the pipe's rating is not given."
	}
	sec.Text = append(sec.Text, text)
	if r.MinDiameterM > 0 {
		sec.Text = append(sec.Text, fmt.Sprintf("Runner, for information: jets of %s at %s; a pitch diameter of %s or more, turning %s times a minute (%s without load).",
			u.Bore(r.JetM), u.Velocity(r.JetMS), u.Bore(r.MinDiameterM), measure.Digits(r.RPM, 2), measure.Digits(r.RunawayRPM, 2)))
	}
	sec.Text = append(sec.Text, "Load before water: connect load and dump load before the valve is opened. Fill the pipe slowly, let air out, keep the intake under water. Water rights and the flow that must stay in the creek come first.")
	return sec
}

func pipeTable(h *series.Homestead) report.Table {
	u, p := units(h.Site), h.Machine.Plant
	t := report.Table{
		Caption: "The next pipe sizes, at the machine's greatest output",
		Head:    []string{"pipe", "bore", "flow", "velocity", "lost in the pipe", "at the bank (bus)", "against yours"},
	}
	for _, k := range sizing.Pipes(p, sizing.PipeSizes(p.Penstock.Material, h.Site.US), 2) {
		gain := fmt.Sprintf("%+.0f W", k.GainW)
		if k.Present {
			gain = "yours"
		}
		t.Rows = append(t.Rows, []string{k.Name, u.Bore(k.BoreM), u.Flow(k.FlowM3S), u.Velocity(k.VelocityMS), measure.Percent(k.LossFraction), measure.Power(k.PowerW), gain})
	}
	return t
}

// spans writes stretches of the day: "8:52–14:31".
func spans(ss []weather.Span) string {
	if len(ss) == 0 {
		return "never"
	}
	var parts []string
	for _, s := range ss {
		to := s.To.Format("15:04")
		if s.Hours() >= 24 {
			return "all day"
		}
		if to == "00:00" {
			to = "24:00"
		}
		parts = append(parts, s.From.Format("15:04")+"–"+to)
	}
	return strings.Join(parts, " ")
}

// hours adds up stretches of the day.
func hours(ss []weather.Span) float64 {
	sum := 0.0
	for _, s := range ss {
		sum += s.Hours()
	}
	return sum
}

// short writes a number to hundredths, without needless zeros.
func short(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}
