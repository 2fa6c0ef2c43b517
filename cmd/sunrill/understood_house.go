package main

import (
	"cmp"
	"fmt"
	"slices"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/sizing"
)

// house is the chapter on what stands at the bus.
func (k *checked) house() report.Section {
	s, u := k.h.Site, units(k.h.Site)
	sec := report.Section{ID: "house", Title: "Bank and house"}
	say := func(format string, args ...any) { sec.Text = append(sec.Text, fmt.Sprintf(format, args...)) }
	k.bank(say)
	rated := "of any size"
	if s.Inverter.RatedW > 0 {
		rated = measure.Power(s.Inverter.RatedW)
	}
	asleep := ""
	if s.Inverter.Standby {
		asleep = ", and nothing while nothing is asked of it"
	}
	say("Inverter: rated %s, takes %s for itself%s.", rated, measure.Power(s.Inverter.IdleW), asleep)
	if s.DumpW > 0 {
		tank := ""
		if s.UsefulHeatWhDay > 0 {
			tank = fmt.Sprintf("; a water tank can take %s a day of its heat", measure.Energy(s.UsefulHeatWhDay))
		}
		say("Dump load: %s%s.", measure.Power(s.DumpW), tank)
	}
	if g := s.Generator; g != nil {
		quiet := ""
		if g.QuietFromH != g.QuietToH {
			quiet = fmt.Sprintf(", never between %02d:00 and %02d:00", g.QuietFromH, g.QuietToH)
		}
		say("Generator: %s, starts at %s of charge or when the house goes short, stops at %s, runs for %s at least%s; burns %s an hour and %s a kWh.", measure.Power(g.RatedW),
			measure.Percent(g.StartSoC), measure.Percent(g.StopSoC), measure.Plural(g.MinRunH, "hour", "hours"), quiet, u.Volume(g.FuelIdleLH/1000), u.Volume(g.FuelLPerKWh/1000))
	}
	k.pencil(&sec)
	if s.DemandW != nil {
		say("Demand: an own meter's record of %s from %s, behind the inverter.", measure.Plural(len(s.DemandW.Values), "hour", "hours"), s.DemandW.Start.Format("2 January 2006"))
	}
	return sec
}

// bank says what the bank can do.
func (k *checked) bank(say func(format string, args ...any)) {
	u, b := units(k.h.Site), k.h.Site.Bank
	if b.CapacityWh <= 0 {
		say("No bank.")
		return
	}
	say("Bank: %s, %s at %.0f V, usable down to %s; charges with up to %s and gives up to %s.", b.Chemistry, measure.Energy(b.CapacityWh), b.VoltageV,
		measure.Percent(b.FloorSoC), measure.Power(b.MaxChargeW), measure.Power(b.MaxDischargeW))
	if b.ReconnectSoC > 0 {
		say("Disconnect: at %s of charge all that is firm goes dark, until the bank is back at %s.", measure.Percent(b.FloorSoC), measure.Percent(b.ReconnectSoC))
	}
	cold := func(c float64) string {
		text := fmt.Sprintf("at %s it gives %s", u.Temp(c), measure.Energy((1-b.FloorAt(c))*b.CapacityWh))
		switch w := b.ChargeLimitAt(c); {
		case w <= 0:
			text += " and takes no charge"
		case w < b.MaxChargeW:
			text += fmt.Sprintf(" and takes %s at most", measure.Power(w))
		}
		return text
	}
	if b.FollowsAir {
		say("The bank stands in a shed and is as cold as the air: %s, %s, %s.", cold(20), cold(3), cold(-5))
	} else if limit := b.ChargeLimitAt(b.IndoorC); limit < b.MaxChargeW || b.FloorAt(b.IndoorC) > b.FloorSoC+0.005 {
		say("The bank stands indoors: %s.", cold(b.IndoorC))
	}
	if v, ok := b.Vent(); ok {
		say("Hydrogen: while it charges, its room needs %s of fresh air an hour, through openings of %s low and high (after EN 50272); no flame or spark.", u.Room(v.AirM3H), u.Opening(v.OpeningCM2))
	}
	if v, ok := b.VentEqualising(); ok {
		say("While it is equalised it gasses more: %s of fresh air an hour.", u.Room(v.AirM3H))
	}
}

// pencil adds what a sizing sheet would say, for a second opinion.
func (k *checked) pencil(sec *report.Section) {
	s := k.h.Site
	if len(s.Arrays) == 0 || s.Bank.CapacityWh <= 0 {
		return
	}
	worst := slices.MinFunc(k.months[:], func(a, b series.SunMonth) int { return cmp.Compare(a.Panels, b.Panels) })
	const lossFactor, days, margin = 1.3, 3, 1.1 // as taught
	if worst.Panels <= 0 {
		sec.Text = append(sec.Text, fmt.Sprintf("A pencil sheet for panels alone fails: there is no sun in %s.", worst.Month))
		return
	}
	sheet := sizing.PanelSheet{DailyWh: k.useWh, LossFactor: lossFactor, SunHours: worst.Panels}
	bank := sizing.Autonomy{Daily: k.useWh, Days: days, MaxDepth: 1 - s.Bank.FloorSoC, Margin: margin}
	sec.Text = append(sec.Text, fmt.Sprintf("A pencil sheet would say: the house asks bank and sources (the bus) for %s on a mean day, what the inverter takes for itself included. Panels alone, for %s with %.1f sun hours and a factor of %.1f for losses: %s. A bank for %d days without any source: %s. The hourly year says more.",
		measure.Energy(k.useWh), worst.Month, worst.Panels, lossFactor, measure.Power(sheet.PanelW()), days, measure.Energy(bank.Capacity())))
}
