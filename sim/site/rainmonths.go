package site

import (
	"fmt"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/weather"
)

type rainMonthRow struct {
	Month   files.Number `csv:"month"`
	RainMM  files.Number `csv:"rain_mm"`
	RainIn  files.Number `csv:"rain_in"`
	WetDays files.Number `csv:"wet_days"`
}

var rainMonthColumns = files.Columns{}.Must("month").OneOf("rain_mm", "rain_in").Must("wet_days")

const (
	rainMonthsFile = "rain-months.csv"
	syntheticFrom  = 1901 // no reading, no meter's record falls into made-up years
	maxWetDayMM    = 150  // the mean of a month's wet days; the wettest places have about 65 (from memory)
)

// rainByMonths reads the table of the twelve months where the site has no daily
// record, and makes years of days of it. It returns false where it has one.
func (l *loader) rainByMonths(t *files.Table) bool {
	given, daily := t.Has("months"), t.Has("file")
	if !given && (daily || l.Exists("rain.csv") || !l.Exists(rainMonthsFile)) {
		for _, key := range []string{"years", "seed"} {
			if t.Has(key) {
				t.Wrong(key, "it says how days are made up from months = \"rain-months.csv\"", "has no meaning with a daily record")
			}
		}
		return false
	}
	if given && daily {
		t.Wrong("months", "a daily record says more: keep file, or months where there is none", "is given beside file")
	}
	file := t.File("months", files.Or(rainMonthsFile, "there is no rain.csv"))
	years := int(t.Whole("years", 3, 200, files.Or("20", "made up from the months; more of them take longer")))
	seed := t.Whole("seed", 0, 1<<62, files.Or("1", "any number; the same one gives the same days"))
	t.Has("gaps")
	t.Done()
	if table, ok := l.rainTable(file); ok && years > 0 {
		start := time.Date(syntheticFrom, l.site.YearMonth, l.site.YearDay, 0, 0, 0, 0, l.site.Place.Zone())
		days := int(start.AddDate(years, 0, 0).Sub(start).Hours()/24 + 0.5)
		l.site.Rain = weather.Record{Start: start, RainMM: table.Make(start, days, uint64(seed))}
		l.site.RainFromMonths = true
		l.warn("%s: %s", file, fmt.Sprintf(syntheticWords, years, syntheticFrom, syntheticFrom+years))
	}
	return true
}

// syntheticWords mark every answer of such a site. The ranges are those of the
// test against the daily records of five places (in sim/series).
const syntheticWords = "the rain is known by its months alone: the %d years from %d to %d are made up from them and are nobody's years. " +
	"Take the hours short of a middling year as good to a third more or less, of a dry or a dark year to a half, as at five gauged places; single dates and spells tell nothing. " +
	"The record of the nearest daily gauge is worth more (sunrill import)"

// rainTable reads the twelve months.
func (l *loader) rainTable(file string) (table weather.RainMonths, ok bool) {
	if file == "" {
		return table, false
	}
	rows, s, ok := files.Rows[rainMonthRow](l.Folder, file, "it holds 12 rows: month, rain_mm, wet_days, as climate pages give them", rainMonthColumns)
	if s == nil {
		return table, false
	}
	name := "rain_mm"
	if s.Has["rain_in"] {
		name = "rain_in"
	}
	line := [13]int{}
	fault := func(i int, column, hint, format string, args ...any) {
		s.Wrong(i, column, hint, format, args...)
		ok = false
	}
	for i, r := range rows {
		m := int(r.Month)
		mm, wet := float64(r.RainMM), float64(r.WetDays)
		if name == "rain_in" {
			mm = float64(r.RainIn) * measure.MMPerInch
		}
		if float64(m) != float64(r.Month) || m < 1 || m > 12 {
			fault(i, "month", "1 is January, 12 is December", "there is no month %s", measure.Trim(float64(r.Month)))
			continue
		}
		if line[m] > 0 {
			fault(i, "month", "keep one of them", "%s stands there twice, first on line %d", time.Month(m), line[m])
		}
		line[m] = s.Line(i)
		switch maximum := float64(time.Date(2000, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day()); {
		case wet < 0 || wet > maximum:
			fault(i, "wet_days", "the mean number of days with rain in the month", "%s is outside 0 to %s", measure.Trim(wet), measure.Trim(maximum))
		case mm < 0:
			fault(i, name, "the mean sum of the month", "rain cannot be negative")
		case mm > 0 && wet == 0:
			fault(i, "wet_days", "the mean number of days with rain; 0.1 if it rains once in ten years", "there is rain on no day")
		case mm == 0 && wet > 0:
			fault(i, name, "the mean sum of the month", "there are wet days without rain")
		case wet > 0 && mm/wet > maxWetDayMM:
			fault(i, name, "is it the right unit, the mean of a month, and are the wet days those of a month?", "%s on each wet day is more than at any place on earth", measure.Metric.Rain(mm/wet))
		}
		table.MM[m-1], table.WetDays[m-1] = mm, wet
	}
	sum := 0.0
	for m := 1; m <= 12 && ok; m++ {
		sum += table.MM[m-1]
		if line[m] == 0 {
			l.Tell(files.Problem{File: file, What: time.Month(m).String() + " is missing", Hint: "a row for each of the 12 months; 0 and 0 in a month that is always dry"})
			ok = false
		}
	}
	if ok && sum == 0 {
		l.Tell(files.Problem{File: file, What: "there is no rain in any month", Hint: "the mean sum of each month, and its days with rain"})
		ok = false
	}
	return table, ok
}
