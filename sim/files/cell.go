package files

import (
	"fmt"
	"math"
	"strconv"
	"sunrill/sim/measure"
	"time"
)

// Number is a cell that has to hold a finite number.
type Number float64

// UnmarshalCSV refuses an empty cell, text, NaN and infinity.
func (n *Number) UnmarshalCSV(cell string) error {
	v, err := ParseNumber(cell)
	if err != nil {
		return err
	}
	*n = Number(v)
	return nil
}

// Maybe is a cell that holds a finite number or nothing.
type Maybe struct {
	Value float64
	Given bool
}

// UnmarshalCSV takes an empty cell for "not known" and refuses text, NaN and
// infinity.
func (m *Maybe) UnmarshalCSV(cell string) error {
	*m = Maybe{}
	if cell == "" {
		return nil
	}
	v, err := ParseNumber(cell)
	if err != nil {
		return err
	}
	*m = Maybe{v, true}
	return nil
}

// errEmpty is an empty cell that has to hold a number.
var errEmpty = emptyCell{hinted{"the cell is empty", "write a number, 0 if there was nothing"}}

// ParseNumber reads a finite number without a unit.
func ParseNumber(cell string) (float64, error) {
	if o, odd := measure.OddIn(cell); odd {
		return 0, hinted{fmt.Sprintf("%q: %s", Short(cell), o.What()), o.Cure()}
	}
	if cell == "" {
		return 0, errEmpty
	}
	for _, c := range cell {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			if c == ',' {
				return 0, hinted{fmt.Sprintf("%q has a comma", Short(cell)), "write a decimal point; a decimal comma is read where the columns are separated by semicolons"}
			}
			return 0, hinted{fmt.Sprintf("%q is no number", Short(cell)), "write the number alone: the unit stands in the column's name"}
		}
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, hinted{fmt.Sprintf("%q is no number", Short(cell)), "write the number alone: the unit stands in the column's name"}
	}
	return v, nil
}

// Day is a cell with a date.
type Day struct{ time.Time }

// UnmarshalCSV reads an ISO date.
func (d *Day) UnmarshalCSV(cell string) (err error) {
	d.Time, err = parseDay(cell)
	return err
}

// Hour is a cell with a date and a time of day.
type Hour struct{ time.Time }

// UnmarshalCSV reads an ISO date and time, to the minute or second.
func (h *Hour) UnmarshalCSV(cell string) error {
	const hint = "write for example 2016-11-05 14:00, in the site's standard time all year"
	if cell == "" {
		return emptyCell{hinted{"the time is empty", hint}}
	}
	if len(cell) < 16 || cell[10] != ' ' && cell[10] != 'T' {
		return hinted{fmt.Sprintf("%q is no date and time", Short(cell)), hint}
	}
	day, err := parseDay(cell[:10])
	if err != nil {
		return err
	}
	clock := cell[11:]
	if len(clock) == 8 && clock[5:] == ":00" {
		clock = clock[:5]
	}
	if len(clock) != 5 || clock[2] != ':' {
		return hinted{fmt.Sprintf("%q is no time of day", Short(clock)), hint}
	}
	hour, ok1 := Digits(clock[:2])
	minute, ok2 := Digits(clock[3:])
	if !ok1 || !ok2 || hour > 24 || minute > 59 || hour == 24 && minute > 0 {
		return hinted{fmt.Sprintf("%q is no time of day", Short(clock)), hint}
	}
	h.Time = day.Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
	return nil
}

const (
	FirstYear = 1800
	LastYear  = 2200
)

// parseDay reads an ISO date as midnight UTC.
func parseDay(cell string) (time.Time, error) {
	hint := "write year-month-day, for example 2016-11-05"
	if foreignDate.MatchString(cell) {
		hint += "; nothing in the file proves whether the day or the month comes first"
	}
	if cell == "" {
		return time.Time{}, emptyCell{hinted{"the date is empty", hint}}
	}
	if o, odd := measure.OddIn(cell); odd {
		return time.Time{}, hinted{fmt.Sprintf("%q: %s", Short(cell), o.What()), o.Cure()}
	}
	if len(cell) != 10 || cell[4] != '-' || cell[7] != '-' {
		return time.Time{}, hinted{fmt.Sprintf("%q is no date", Short(cell)), hint}
	}
	year, ok1 := Digits(cell[:4])
	month, ok2 := Digits(cell[5:7])
	day, ok3 := Digits(cell[8:])
	if !ok1 || !ok2 || !ok3 {
		return time.Time{}, hinted{fmt.Sprintf("%q is no date", Short(cell)), hint}
	}
	if year < FirstYear || year > LastYear {
		return time.Time{}, hinted{fmt.Sprintf("the year %d is outside %d to %d", year, FirstYear, LastYear), hint}
	}
	if month < 1 || month > 12 {
		return time.Time{}, hinted{fmt.Sprintf("%q: there is no month %d", cell, month), hint}
	}
	if day < 1 || day > daysIn(year, time.Month(month)) {
		return time.Time{}, hinted{fmt.Sprintf("%q: there is no day %d in %s %d", cell, day, time.Month(month), year), hint}
	}
	return time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC), nil
}

// daysIn returns the number of days of a month.
func daysIn(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// Digits reads a short run of digits.
func Digits(s string) (int, bool) {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = 10*n + int(s[i]-'0')
	}
	return n, len(s) > 0
}

// Short cuts a text that is quoted in a message.
func Short(s string) string {
	if r := []rune(s); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return s
}
