package site

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"sunrill/loads"
	"sunrill/sim/files"
)

func splitWords(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == '\t' || r == ';' || r == '+' })
}

// parseHours reads the hours of an appliance: windows such as "06-08 18-23",
// also over midnight and to the minute ("22:30-06"), "all", or hours a day or a
// week, "2.5/day", "6/week". It returns the share of each hour of the day that
// it runs, and hours by the day or the week, where they were told so.
func parseHours(cell string) (fraction [24]float64, amount float64, weekly bool, err error) {
	const hint = "write windows, \"06-08 18-23\", or \"all\", or hours a day, \"2.5/day\", or a week, \"6/week\""
	fail := func(what, hint string) ([24]float64, float64, bool, error) {
		return fraction, 0, false, files.Hinted(what, hint)
	}
	text := strings.ToLower(strings.TrimSpace(cell))
	if text == "all" {
		for h := range fraction {
			fraction[h] = 1
		}
		return fraction, 0, false, nil
	}
	if number, per, ok := strings.Cut(strings.ReplaceAll(text, " ", ""), "/"); ok && (per == "day" || per == "week") {
		maximum := 24.0
		if weekly = per == "week"; weekly {
			maximum = 168
		}
		v, bad := files.ParseNumber(strings.TrimSuffix(number, "h"))
		if bad != nil && strings.Contains(number, ",") {
			return fraction, 0, false, bad
		}
		if bad != nil || v < 0 || v > maximum {
			return fail(fmt.Sprintf("%q is no number of hours from 0 to %g a %s", files.Short(cell), maximum, per), hint)
		}
		for h := range fraction {
			fraction[h] = v / maximum
		}
		return fraction, v, weekly, nil
	}
	windows := splitWords(text)
	if len(windows) == 0 {
		return fail("the hours are empty", hint)
	}
	for _, w := range windows {
		a, b, ok := strings.Cut(w, "-")
		from, ok1 := clockTime(a)
		to, ok2 := clockTime(b)
		switch {
		case !ok || !ok1 || !ok2:
			return fail(fmt.Sprintf("%q is no window of hours", files.Short(w)), hint+"; hours go from 0 to 24")
		case from == to:
			return fail(fmt.Sprintf("the window %q is empty", files.Short(w)), hint)
		case from < to:
			cover(&fraction, from, to)
		default:
			cover(&fraction, from, 24)
			cover(&fraction, 0, to)
		}
	}
	return fraction, 0, false, nil
}

// overDays spreads so many hours a week evenly over an appliance's days of
// use, and reports whether they fit into them.
func overDays(a *loads.Appliance, perWeek float64) bool {
	days := 0.0
	for _, used := range a.Days {
		if used {
			days++
		}
	}
	a.HoursPerDay = perWeek / days
	for h := range a.HourFraction {
		a.HourFraction[h] = a.HoursPerDay / 24
	}
	return a.HoursPerDay <= 24
}

// cover adds the window from..to; windows that overlap count once.
func cover(fraction *[24]float64, from, to float64) {
	for h := range fraction {
		part := math.Min(to, float64(h+1)) - math.Max(from, float64(h))
		if part > 0 {
			fraction[h] = math.Min(1, fraction[h]+part)
		}
	}
}

// clockTime reads "6", "06" or "06:30" as hours, up to 24.
func clockTime(s string) (float64, bool) {
	hour, minute, hasMinute := strings.Cut(s, ":")
	h, ok := files.Digits(hour)
	if !ok || len(hour) > 2 || h > 24 {
		return 0, false
	}
	m := 0
	if hasMinute {
		if m, ok = files.Digits(minute); !ok || len(minute) != 2 || m > 59 || h == 24 && m > 0 {
			return 0, false
		}
	}
	return float64(h) + float64(m)/60, true
}

var weekdays = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// parseDays reads the days of the week: "all", "mon wed", "mon-fri",
// "weekdays" or "weekend". Empty is all.
func parseDays(cell string) (days [7]bool, err error) {
	for _, word := range everything(cell) {
		switch word {
		case "all":
			word = "sun-sat"
		case "weekdays":
			word = "mon-fri"
		case "weekend":
			word = "sat-sun"
		}
		a, b, isSpan := strings.Cut(word, "-")
		from, ok := weekday(a)
		to := from
		if isSpan && ok {
			to, ok = weekday(b)
		}
		if !ok {
			return days, files.Hinted(fmt.Sprintf("%q is no day of the week", files.Short(word)), "write \"all\", \"mon wed\" or \"mon-fri\"")
		}
		for d := from; ; d = (d + 1) % 7 {
			days[d] = true
			if d == to {
				break
			}
		}
	}
	return days, nil
}

func weekday(s string) (int, bool) {
	for i, name := range weekdays {
		if s == name || s == strings.ToLower(time.Weekday(i).String()) {
			return i, true
		}
	}
	return 0, false
}

// parseMonths reads months: "all", "11-03" (over the new year), "6 7 8" or
// names. Empty is all.
func parseMonths(cell string) (months [13]bool, err error) {
	for _, word := range everything(cell) {
		if word == "all" {
			word = "1-12"
		}
		a, b, isSpan := strings.Cut(word, "-")
		from, ok := month(a)
		to := from
		if isSpan && ok {
			to, ok = month(b)
		}
		if !ok {
			return months, files.Hinted(fmt.Sprintf("%q is no month", files.Short(word)), "write \"all\", \"11-03\" for November to March, or \"6 7 8\"")
		}
		for m := from; ; m = m%12 + 1 {
			months[m] = true
			if m == to {
				break
			}
		}
	}
	return months, nil
}

func month(s string) (int, bool) {
	if n, err := strconv.Atoi(s); err == nil {
		return n, n >= 1 && n <= 12 && len(s) <= 2
	}
	for m := time.January; m <= time.December; m++ {
		full := strings.ToLower(m.String())
		if s == full || s == full[:3] {
			return int(m), true
		}
	}
	return 0, false
}

// everything splits a cell into words; an empty one says "all".
func everything(cell string) []string {
	words := splitWords(strings.ToLower(cell))
	if len(words) == 0 {
		return []string{"all"}
	}
	return words
}
