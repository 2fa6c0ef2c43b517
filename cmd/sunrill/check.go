package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"sunrill/loads"
	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/sizing"
	"sunrill/weather"
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
			c.printSite(h)
			c.printSun(k)
			c.printPanels(k)
			if h.FlowM3S() != nil {
				c.printCreek(k)
			}
			if h.Machine != nil {
				c.printHydro(h)
				if pipes {
					c.printPipes(h)
				}
			}
			c.printHouse(h)
			c.printPencil(k)
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
	flows   []series.FlowShare
	classes []series.RainClass
	useWh   float64 // mean day's use at the bus
}

func newChecked(h *series.Homestead) *checked {
	k := &checked{h: h, months: h.SunMonths(), yields: h.Yields(), classes: h.RainClasses()}
	k.flows = h.FlowShares([]float64{0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 1})
	k.useWh = h.UseADay()
	return k
}

func (c *call) printSite(h *series.Homestead) {
	s := h.Site
	years := h.Years()
	c.say("%s: latitude %.2f, longitude %.2f, %s above the sea", s.Name, s.Place.LatDeg, s.Place.LonDeg, units(s).Length(s.Place.ElevationM))
	c.say("Rain record: %s from %s; whole water years from %d %s: %d to %d.\n", measure.Plural(s.Rain.Days(), "day", "days"),
		s.Rain.Start.Format("2 January 2006"), s.YearDay, s.YearMonth, years[0].Number(), years[len(years)-1].Number())
}

func (c *call) printSun(k *checked) {
	s := k.h.Site
	t := report.Table{
		Caption: "The sun, month by month; hours are those of the 21st, standard time",
		Head:    []string{"month", "sun clears the hills", "hours", "sun hours on the level", "on the panels", "without hills"},
		Note:    "Sun hours: kWh/m² a day, mean over all years.",
	}
	for _, m := range k.months {
		row := []string{m.Month.String()[:3], spans(m.Up), fmt.Sprintf("%.1f", hours(m.Up)), fmt.Sprintf("%.2f", m.Level)}
		if len(s.Arrays) > 0 {
			row = append(row, fmt.Sprintf("%.2f", m.Panels), fmt.Sprintf("%.2f", m.NoHorizon))
		} else {
			row = append(row, "", "")
		}
		t.Rows = append(t.Rows, row)
	}
	c.say("%s", tableText(t))
	if k.classes == nil {
		c.say("The sun was measured hour by hour.\n")
		return
	}
	t = report.Table{
		Caption: "How bright the days are, by their rain",
		Head:    []string{"rain of the day", "days", "share of a clear sky", "of a dry day", "spread"},
	}
	rain := units(s).RainAxis()
	for _, r := range k.classes {
		if r.Days == 0 {
			continue
		}
		name := fmt.Sprintf("%s to %s %s", short(rain.Of(r.FromMM)), short(rain.Of(r.ToMM)), rain.Unit)
		if r.ToMM == 0 {
			name = fmt.Sprintf("%s %s and more", short(rain.Of(r.FromMM)), rain.Unit)
		}
		t.Rows = append(t.Rows, []string{name, measure.Count(r.Days), measure.Percent(r.Share), measure.Percent(r.OfDry), measure.Percent(r.Spread)})
	}
	c.say("%s", tableText(t))
}

func (c *call) printPanels(k *checked) {
	if len(k.yields) == 0 {
		c.say("No panels.\n")
		return
	}
	t := report.Table{
		Caption: "The panels",
		Head:    []string{"array", "power", "tilt", "facing", "kWh a year per kW", "best tilt, year", "best tilt, dark months"},
	}
	for i, y := range k.yields {
		a := k.h.Site.Arrays[i]
		t.Rows = append(t.Rows, []string{a.Name, measure.Power(a.PowerW), fmt.Sprintf("%.0f°", a.TiltDeg), fmt.Sprintf("%.0f°", a.FacingDeg),
			measure.Digits(y.KWhPerKW, 3), fmt.Sprintf("%.0f°", y.BestTiltDeg), fmt.Sprintf("%.0f° (%.3s, %.3s)", y.DarkTiltDeg, y.DarkFrom, y.DarkFrom%12+1)})
	}
	c.say("%s", tableText(t))
}

func (c *call) printCreek(k *checked) {
	s, u := k.h.Site, units(k.h.Site)
	t := report.Table{
		Caption: "The creek: on how many days it has more",
		Head:    []string{"share of days", "stream flow", "bucket fills in"},
	}
	if k.h.Machine != nil {
		t.Head = append(t.Head, "left for the turbine", "at the bus")
	}
	for _, f := range k.flows {
		row := []string{measure.Percent(f.Exceeded), u.Flow(f.FlowM3S), bucket(u, f.FlowM3S)}
		if k.h.Machine != nil {
			row = append(row, u.Flow(f.LeftM3S), measure.Power(f.PowerW))
		}
		t.Rows = append(t.Rows, row)
	}
	t.Note = "The bucket is the " + u.Bucket() + "."
	if k.h.Machine != nil {
		in := s.Hydro.Intake
		t.Note += fmt.Sprintf(" %s stay in the creek and the house draws %s before the turbine gets any.", u.Flow(in.ResidualM3S), u.Flow(in.HouseWaterM3S))
	}
	c.say("%s", tableText(t))
}

func (c *call) printHydro(h *series.Homestead) {
	u := units(h.Site)
	m := h.Machine
	p := m.Plant.Penstock
	t := report.Table{
		Caption: fmt.Sprintf("Pipe and turbine: %s of head, %s of pipe with a bore of %s", u.Length(p.GrossHeadM), u.Length(p.LengthM), u.Bore(p.BoreM)),
		Head:    []string{"open", "flow", "bucket fills in", "velocity", "lost in the pipe", "net head", "water power", "at the bus"},
	}
	for _, r := range m.Table(u) {
		row := []string{r.Name, u.Flow(r.FlowM3S), bucket(u, r.FlowM3S), u.Velocity(r.Pipe.VelocityMS), measure.Percent(r.LossShare), u.Length(r.NetHeadM), measure.Power(r.WaterW), measure.Power(r.PowerW)}
		if r.PowerW == 0 && r.NetHeadM == 0 {
			row = []string{r.Name, u.Flow(r.FlowM3S), bucket(u, r.FlowM3S), "", "", "", "", "0 W"}
		}
		t.Rows = append(t.Rows, row)
	}
	best := p.BestFlow(m.Water)
	t.Note = fmt.Sprintf("The pipe gives its greatest power at %s, where a third of the head is lost; more flow gives less.", u.Flow(best))
	c.say("%s", tableText(t))

	s, r := m.Surge(), m.Runner()
	text := fmt.Sprintf("Pressure: %s standing, %s with the surge of a valve shut in %s", u.Pressure(s.StaticPa), u.Pressure(s.PeakPa()), measure.Seconds(p.CloseTimeS))
	if p.RatingPa > 0 {
		text += fmt.Sprintf("; the pipe is rated %s", u.Pressure(p.RatingPa))
	} else {
		text += "; the pipe's rating is not given"
	}
	c.say("%s", wrap(text+"."))
	if r.LeastDiameterM > 0 {
		c.say("%s", wrap(fmt.Sprintf("Runner, for information: jets of %s at %s; a pitch diameter of %s or more, turning %s times a minute (%s without load).",
			u.Bore(r.JetM), u.Velocity(r.JetMS), u.Bore(r.LeastDiameterM), measure.Digits(r.RPM, 2), measure.Digits(r.RunawayRPM, 2))))
	}
	c.say("%s\n", wrap("Load before water: connect load and dump load before the valve is opened. Fill the pipe slowly, let air out, keep the intake under water. Water rights and the flow that must stay in the creek come first."))
}

func (c *call) printPipes(h *series.Homestead) {
	u := units(h.Site)
	p := h.Machine.Plant
	t := report.Table{
		Caption: "The next pipe sizes, at the machine's greatest output",
		Head:    []string{"pipe", "bore", "flow", "velocity", "lost in the pipe", "at the bus", "against yours"},
	}
	for _, k := range sizing.Pipes(p, sizing.PipeSizes(p.Penstock.Material, h.Site.US), 2) {
		gain := fmt.Sprintf("%+.0f W", k.GainW)
		if k.Present {
			gain = "yours"
		}
		t.Rows = append(t.Rows, []string{k.Name, u.Bore(k.BoreM), u.Flow(k.FlowM3S), u.Velocity(k.VelocityMS), measure.Percent(k.LossShare), measure.Power(k.PowerW), gain})
	}
	c.say("%s", tableText(t))
}

func (c *call) printHouse(h *series.Homestead) {
	s := h.Site
	b := s.Bank
	if b.CapacityWh <= 0 {
		c.say("No bank.")
	} else {
		c.say("%s", wrap(fmt.Sprintf("Bank: %s, %s at %.0f V, usable down to %s; charges with up to %s and gives up to %s.", b.Chemistry, measure.Energy(b.CapacityWh), b.VoltageV,
			measure.Percent(b.FloorSoC), measure.Power(b.MaxChargeW), measure.Power(b.MaxDischargeW))))
		if v, ok := b.Vent(); ok {
			c.say("%s", wrap(fmt.Sprintf("Hydrogen: while it charges its room needs %s m³ of fresh air an hour, through openings of %s cm² low and high (after EN 50272); no flame or spark.", measure.Digits(v.AirM3H, 2), measure.Digits(v.OpeningCM2, 2))))
		}
	}
	inv := s.Inverter
	c.say("%s\n", wrap(fmt.Sprintf("Inverter: rated %s, takes %s for itself.", measure.Power(inv.RatedW), measure.Power(inv.IdleW))))
	if s.DemandW != nil {
		c.say("Demand: an own meter's record of %s from %s.\n", measure.Plural(len(s.DemandW.Values), "hour", "hours"), s.DemandW.Start.Format("2 January 2006"))
		return
	}
	last := h.Years()[len(h.Years())-1]
	t := report.Table{Caption: "Who uses what", Head: []string{"appliance", "kWh a year", "Wh a day", "share", ""}}
	uses := loads.Uses(last.Start, last.Days, s.Appliances)
	slices.SortStableFunc(uses, func(a, b loads.Use) int {
		switch {
		case a.Wh > b.Wh:
			return -1
		case a.Wh < b.Wh:
			return 1
		}
		return 0
	})
	for _, x := range uses {
		flexible := ""
		if x.Flexible {
			flexible = "flexible"
		}
		t.Rows = append(t.Rows, []string{x.Name, measure.Digits(x.Wh/1000, 3), measure.Digits(x.WhPerDay, 3), measure.Percent(x.Share), flexible})
	}
	c.say("%s", tableText(t))
}

// printPencil prints what a sizing sheet would say, for a second opinion.
func (c *call) printPencil(k *checked) {
	s := k.h.Site
	if len(s.Arrays) == 0 || s.Bank.CapacityWh <= 0 {
		return
	}
	worst := slices.MinFunc(k.months[:], func(a, b series.SunMonth) int {
		if a.Panels < b.Panels {
			return -1
		}
		return 1
	})
	const lossFactor, days = 1.3, 3 // as taught
	sheet := sizing.PanelSheet{DailyWh: k.useWh, LossFactor: lossFactor, SunHours: worst.Panels}
	bank := sizing.Autonomy{Daily: k.useWh, Days: days, MaxDepth: 1 - s.Bank.FloorSoC, Margin: 1.1}
	c.say("%s\n", wrap(fmt.Sprintf("A pencil sheet would say: the house uses %s on a mean day. Panels alone, for %s with %.1f sun hours and a factor of %.1f for losses: %s. A bank for %d days without any source: %s. The hourly year says more.",
		measure.Energy(k.useWh), worst.Month, worst.Panels, lossFactor, measure.Power(sheet.PanelW()), days, measure.Energy(bank.Capacity()))))
}

func (c *call) printDefaults(h *series.Homestead) {
	if len(h.Site.Defaults) == 0 {
		return
	}
	c.say("Taken by default, since the site does not say:")
	for _, d := range h.Site.Defaults {
		lines := strings.Split(wrap(fmt.Sprintf("%s = %s: %s", d.Key, d.Value, d.Reason)), "\n")
		c.say("  %s", strings.Join(lines, "\n      "))
	}
}

// result is the object that check prints with --json.
func (k *checked) result() any {
	type month struct {
		Month     int     `json:"month"`
		SunClears string  `json:"sun_clears_hills"`
		Level     float64 `json:"sun_hours_level"`
		Panels    float64 `json:"sun_hours_panels"`
		NoHorizon float64 `json:"sun_hours_panels_no_horizon"`
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
		Arrays    []array     `json:"arrays"`
		Flows     []flow      `json:"flows"`
		Defaults  []byDefault `json:"defaults"`
		Warnings  []string    `json:"warnings"`
	}{Name: s.Name, UseKWhDay: k.useWh / 1000, Warnings: slices.Concat(s.Warnings, k.h.Warnings(), []string{})}
	for _, y := range k.h.Years() {
		r.Years = append(r.Years, y.Number())
	}
	for _, m := range k.months {
		r.Months = append(r.Months, month{int(m.Month), spans(m.Up), m.Level, m.Panels, m.NoHorizon})
	}
	for _, y := range k.yields {
		r.Arrays = append(r.Arrays, array{y.Name, y.KWhPerKW, y.BestTiltDeg, y.DarkTiltDeg, int(y.DarkFrom)})
	}
	for _, f := range k.flows {
		r.Flows = append(r.Flows, flow{f.Exceeded, f.FlowM3S * 1000, f.LeftM3S * 1000, f.PowerW})
	}
	for _, d := range s.Defaults {
		r.Defaults = append(r.Defaults, byDefault(d))
	}
	return r
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

func hours(ss []weather.Span) float64 {
	sum := 0.0
	for _, s := range ss {
		sum += s.Hours()
	}
	return sum
}

func bucket(u measure.System, m3S float64) string {
	if m3S <= 0 {
		return "never"
	}
	return measure.Seconds(u.BucketSeconds(m3S))
}

// short writes a number without needless zeros.
func short(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") }
