package changeover

import (
	"fmt"
	"strings"

	"sunrill/sim/measure"
)

// verdict says in a few sentences what the study found.
func (r *Result) verdict() string {
	several := len(r.Years) > 1
	aYear := ""
	if several {
		aYear = " a year on average"
	}
	switch r.Best.Open {
	case never:
		all := r.Of(Pair{0, r.all.days})
		switch {
		case r.Never.UnmetHours == 0 && r.Never.LowHours == 0:
			return "Leave the valve closed: the house lacks nothing without hydro, and no dates do better."
		case all.HydroDays == 0:
			return fmt.Sprintf("Hydro never helps: with the valve closed the house goes short for %s%s, and no pair of dates does better.", measure.Hours(r.Never.UnmetHours), aYear)
		}
		return fmt.Sprintf("Leave the valve closed: the house goes short for %s%s, and no pair of dates makes a difference that counts. What hydro would spare is the bank: %s below the comfort charge with the valve open all year instead of %s.",
			measure.Hours(r.Never.UnmetHours), aYear, measure.Hours(all.LowHours), measure.Hours(r.Never.LowHours))
	case always:
		if r.Best.UnmetHours == r.Never.UnmetHours {
			return fmt.Sprintf("Keep the valve open all year. %s %s", r.shortEitherWay(aYear), r.spared())
		}
		return fmt.Sprintf("Keep the valve open all year: the house goes short for %s%s, against %s with the valve closed, and to close it for more than a few days costs more.", measure.Hours(r.Best.UnmetHours), aYear, measure.Hours(r.Never.UnmetHours))
	}
	var b strings.Builder
	p := r.Best.Pair
	fmt.Fprintf(&b, "Open the valve %s and close it %s", r.all.on(p.Open), r.all.on(p.Close))
	if r.Best.UnmetHours == r.Never.UnmetHours {
		fmt.Fprintf(&b, ". %s %s", r.shortEitherWay(aYear), r.spared())
	} else {
		fmt.Fprintf(&b, ": the house goes short for %s%s, against %s with the valve closed all year.", measure.Hours(r.Best.UnmetHours), aYear, measure.Hours(r.Never.UnmetHours))
	}
	if r.all.around && p.around() {
		b.WriteString(" The valve is open when the water year begins and when it ends.")
	}
	return b.String()
}

// shortEitherWay says how short the house goes where hydro does not change it.
func (r *Result) shortEitherWay(aYear string) string {
	if r.Never.UnmetHours == 0 {
		return "The house is never short, with the creek or without."
	}
	return fmt.Sprintf("The house goes short for %s%s, with the creek or without.", measure.Hours(r.Never.UnmetHours), aYear)
}

// spared says what hydro does for the bank.
func (r *Result) spared() string {
	return fmt.Sprintf("What hydro spares is the bank: %s a year below the comfort charge instead of %s.", measure.Hours(r.Best.LowHours), measure.Hours(r.Never.LowHours))
}

// on writes "on 5 November", or what a day at the year's ends means.
func (o outcomes) on(day int) string {
	switch day {
	case 0:
		return "as the water year begins (" + o.spoken(0) + ")"
	case o.days:
		return "as the water year ends (" + o.spoken(o.days) + ")"
	}
	return "on " + o.spoken(day)
}
