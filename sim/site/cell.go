package site

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// number is a cell that has to hold a finite number.
type number float64

// UnmarshalCSV refuses an empty cell, text, NaN and infinity.
func (n *number) UnmarshalCSV(cell string) error {
	v, err := cellNumber(cell)
	if err != nil {
		return err
	}
	*n = number(v)
	return nil
}

// maybe is a cell that holds a finite number or nothing.
type maybe struct {
	value float64
	given bool
}

// UnmarshalCSV takes an empty cell for "not known" and refuses text, NaN and
// infinity.
func (m *maybe) UnmarshalCSV(cell string) error {
	*m = maybe{}
	if cell == "" {
		return nil
	}
	v, err := cellNumber(cell)
	if err != nil {
		return err
	}
	*m = maybe{v, true}
	return nil
}

// errEmpty is an empty cell that has to hold a number.
var errEmpty = hinted{"the cell is empty", "write a number, 0 if there was nothing"}

func cellNumber(cell string) (float64, error) {
	if cell == "" {
		return 0, errEmpty
	}
	for _, c := range cell {
		if (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' {
			if c == ',' {
				return 0, hinted{fmt.Sprintf("%q has a comma", short(cell)), "write a decimal point; a decimal comma is read where the columns are separated by semicolons"}
			}
			return 0, hinted{fmt.Sprintf("%q is no number", short(cell)), "write the number alone: the unit stands in the column's name"}
		}
	}
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, hinted{fmt.Sprintf("%q is no number", short(cell)), "write the number alone: the unit stands in the column's name"}
	}
	return v, nil
}

// dayCell is a cell with a date.
type dayCell struct{ time.Time }

// UnmarshalCSV reads an ISO date.
func (d *dayCell) UnmarshalCSV(cell string) (err error) {
	d.Time, err = parseDay(cell)
	return err
}

// hourCell is a cell with a date and a time of day.
type hourCell struct{ time.Time }

// UnmarshalCSV reads an ISO date and time, to the minute or second.
func (h *hourCell) UnmarshalCSV(cell string) error {
	const hint = "write for example 2016-11-05 14:00, in the site's standard time all year"
	if len(cell) < 16 || cell[10] != ' ' && cell[10] != 'T' {
		return hinted{fmt.Sprintf("%q is no date and time", short(cell)), hint}
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
		return hinted{fmt.Sprintf("%q is no time of day", short(clock)), hint}
	}
	hour, ok1 := digits(clock[:2])
	minute, ok2 := digits(clock[3:])
	if !ok1 || !ok2 || hour > 24 || minute > 59 || hour == 24 && minute > 0 {
		return hinted{fmt.Sprintf("%q is no time of day", short(clock)), hint}
	}
	h.Time = day.Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute)
	return nil
}

const (
	firstYear = 1800
	lastYear  = 2200
)

// parseDay reads an ISO date as midnight UTC.
func parseDay(cell string) (time.Time, error) {
	const hint = "write year-month-day, for example 2016-11-05"
	if cell == "" {
		return time.Time{}, hinted{"the date is empty", hint}
	}
	if len(cell) != 10 || cell[4] != '-' || cell[7] != '-' {
		return time.Time{}, hinted{fmt.Sprintf("%q is no date", short(cell)), hint}
	}
	year, ok1 := digits(cell[:4])
	month, ok2 := digits(cell[5:7])
	day, ok3 := digits(cell[8:])
	if !ok1 || !ok2 || !ok3 {
		return time.Time{}, hinted{fmt.Sprintf("%q is no date", short(cell)), hint}
	}
	if year < firstYear || year > lastYear {
		return time.Time{}, hinted{fmt.Sprintf("the year %d is outside %d to %d", year, firstYear, lastYear), hint}
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

// digits reads a short run of digits.
func digits(s string) (int, bool) {
	n := 0
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = 10*n + int(s[i]-'0')
	}
	return n, len(s) > 0
}

// short cuts a text that is quoted in a message.
func short(s string) string {
	if r := []rune(s); len(r) > 30 {
		return string(r[:30]) + "…"
	}
	return s
}
