package report

import (
	"fmt"
	"strings"
	"time"

	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/measure"
)

// answer says in a few sentences which dates to keep.
func (v Changeover) answer() string {
	r := v.Result
	aYear := ""
	if v.several() {
		aYear = " a year on average"
	}
	never := measure.Hours(r.Never.UnmetHours)
	switch r.Best.Valve {
	case changeover.Shut:
		all := r.Of(changeover.Pair{Open: 0, Close: r.Days()})
		switch {
		case r.Never.UnmetHours == 0 && r.Never.LowHours == 0:
			return "Leave the valve closed: the house lacks nothing without hydro, and no dates do better."
		case all.HydroDays == 0:
			return fmt.Sprintf("Hydro never helps: with the valve closed the house goes short for %s%s, and no pair of dates does better.", never, aYear)
		}
		return fmt.Sprintf("Leave the valve closed: the house goes short for %s%s, and no pair of dates makes a difference that counts. What hydro would spare is the bank: %s below the comfort charge with the valve open all year instead of %s.",
			never, aYear, measure.Hours(all.LowHours), measure.Hours(r.Never.LowHours))
	case changeover.Running:
		if r.Best.UnmetHours == r.Never.UnmetHours {
			return fmt.Sprintf("Keep the valve open all year. %s %s", v.shortEitherWay(aYear), v.spared())
		}
		return fmt.Sprintf("Keep the valve open all year: the house goes short for %s%s, against %s with the valve closed, and to close it for more than a few days costs more.", measure.Hours(r.Best.UnmetHours), aYear, never)
	}
	p := r.Best.Pair
	text := fmt.Sprintf("Open the valve %s and close it %s", v.onDay(p.Open), v.onDay(p.Close))
	if r.Best.UnmetHours == r.Never.UnmetHours {
		text += fmt.Sprintf(". %s %s", v.shortEitherWay(aYear), v.spared())
	} else {
		text += fmt.Sprintf(": the house goes short for %s%s, against %s with the valve closed all year.", measure.Hours(r.Best.UnmetHours), aYear, never)
	}
	if r.Around() && p.Close < p.Open {
		text += " The valve is open when the water year begins and when it ends."
	}
	return text
}

// shortEitherWay says how short the house goes where hydro does not change it.
func (v Changeover) shortEitherWay(aYear string) string {
	if v.Result.Never.UnmetHours == 0 {
		return "The house is never short, with the creek or without."
	}
	return fmt.Sprintf("The house goes short for %s%s, with the creek or without.", measure.Hours(v.Result.Never.UnmetHours), aYear)
}

// spared says what hydro does for the bank.
func (v Changeover) spared() string {
	return fmt.Sprintf("What hydro spares is the bank: %s a year below the comfort charge instead of %s.", measure.Hours(v.Result.Best.LowHours), measure.Hours(v.Result.Never.LowHours))
}

// onDay writes "on 5 November", or what a day at the year's ends means.
func (v Changeover) onDay(day int) string {
	date := v.Result.Date(day).Format("2 January")
	switch day {
	case 0:
		return "as the water year begins (" + date + ")"
	case v.Result.Days():
		return "as the water year ends (" + date + ")"
	}
	return "on " + date
}

// Rule says the rule to live by in full, empty where there is none: whoever plays
// it, knowing no more than it says, turns the valve on the same days.
func (v Changeover) Rule() string {
	if v.Result.Rule == nil {
		return ""
	}
	r, u := v.Result.Rule, v.System
	if r.AllYear {
		return "Leave the valve open all year: no rule spares an hour, some litres of fuel, or walks and stops worth the trouble."
	}
	spoken := func(day int) string { return v.Result.Date(day).Format("2 January") }
	first := spoken(0)
	text := "Open the valve on " + spoken(r.OpenDay)
	switch {
	case r.OpenRun > 0:
		text = fmt.Sprintf("From %s on, open the valve when %s %s", first, creekShows(u, r.OpenFlowM3S, "less", "more"), daysRunning(r.OpenRun))
	case r.OpenRainMM > 0:
		text = fmt.Sprintf("Open the valve on the day after the rain since %s has come to %s", first, u.Rain(r.OpenRainMM))
	}
	var whys []string
	if r.CloseRun > 0 {
		whys = append(whys, fmt.Sprintf("when %s %s", creekShows(u, r.CloseFlowM3S, "more", "less"), daysRunning(r.CloseRun)))
	}
	if r.CloseFull > 0 {
		whys = append(whys, fmt.Sprintf("when the bank's meter has shown %.0f %% or more at noon %s, from %s on", 100*sim.FullSoC, daysRunning(r.CloseFull), spoken(r.CloseFullFrom)))
	}
	if r.CloseDay > 0 {
		whys = append(whys, "on "+spoken(r.CloseDay))
	}
	if len(whys) == 0 {
		text += ", and leave it open until " + spoken(v.Result.Days()) + "."
	} else {
		text += ". Close it " + strings.Join(whys, ", or ")
		if len(whys) > 1 {
			text += ", whichever comes first"
		}
		text += "."
	}
	if r.OpenRun > 0 || r.CloseRun > 0 || r.CloseFull > 0 {
		text += " Turn the valve on the day after the last of these days; for closing, only days since the opening count."
	}
	switch {
	case len(whys) == 0:
	case r.Reopen > 0:
		text += fmt.Sprintf(" Once closed, it is not opened again before 21 %s.", r.Reopen)
	default:
		text += fmt.Sprintf(" Once closed, it stays closed until %s.", first)
	}
	return text
}

// creekShows writes what a bucket, or a weir where the bucket fills too fast to
// be timed, says of a flow.
func creekShows(u measure.System, m3s float64, seconds, flows string) string {
	a := u.FlowAxis()
	flow := measure.Digits(a.Of(m3s), 2) + " " + a.Unit
	if s := u.BucketSeconds(m3s); s > 1.99 {
		return fmt.Sprintf("the %s has filled in %s or %s (about %s or %s)", u.Bucket(), measure.Seconds(s), seconds, flow, flows)
	}
	return fmt.Sprintf("the creek has run at %s or %s", flow, flows)
}

func daysRunning(days int) string {
	if days == 1 {
		return "on a day"
	}
	return fmt.Sprintf("on %d days running", days)
}

// practices are the ways to work the valve.
var practices = map[changeover.Practice]string{
	changeover.Today: "what you do today", changeover.OpenAll: "open all year", changeover.ClosedAll: "closed all year",
	changeover.BestFixed: "best fixed dates", changeover.ByRule: "the rule",
}

// valveDates writes the two dates of a choice on the calendar of a year, "5 Nov"
// and "20 Apr", or in a word why it has none.
func valveDates(c changeover.Choice, start time.Time) (open, close string) {
	switch c.Valve {
	case changeover.Shut:
		return "never", "never"
	case changeover.Running:
		return "always", "always"
	case changeover.Varying:
		return "varies", "varies"
	}
	date := func(day int) string { return start.AddDate(0, 0, day).Format("2 Jan") }
	return date(c.Pair.Open), date(c.Pair.Close)
}
