package files

import (
	"fmt"
	"regexp"
	"strings"
)

// A spreadsheet set to another country writes its own dates over ours: 10/1/2016
// for 2016-10-01, with 14:00 behind it or 2:00 PM.
var foreignDate = regexp.MustCompile(`^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})(?:[ T](\d{1,2}):(\d{2})(?::00)?(?: ?([AaPp])[Mm])?)?$`)

// foreignDates tells quickly whether a file may hold such dates.
func foreignDates(data []byte) bool {
	separates := func(c byte) bool { return c == '/' || c == '.' || c == '-' }
	for i := 3; i+4 < len(data); i++ {
		if !separates(data[i]) || !isDigit(data[i-1]) || !isDigit(data[i+1]) || !isDigit(data[i+2]) || !isDigit(data[i+3]) || !isDigit(data[i+4]) {
			continue
		}
		if separates(data[i-2]) || separates(data[i-3]) {
			return true
		}
	}
	return false
}

// ownDates rewrites such dates where the file proves which number is the month:
// by a number above 12, or because the rows rise in one reading alone. The
// reading is noted; what is not proved is left for the checks to refuse.
func (s *Sheet) ownDates() {
	for col, name := range s.header {
		if name == "date" || name == "time" {
			s.ownDatesOf(col)
		}
	}
}

func (s *Sheet) ownDatesOf(col int) {
	var dates [][]string // parts of a date, and the row
	var rows []int
	for i, row := range s.rows {
		if m := foreignDate.FindStringSubmatch(row[col]); m != nil {
			dates, rows = append(dates, m), append(rows, i)
		}
	}
	if len(dates) == 0 {
		return
	}
	// reading is one order of day and month.
	type reading struct {
		month, day int // which part
		words      string
		possible   bool
		rises      bool
		witness    int // the row that the other reading cannot take
	}
	readings := [2]reading{{1, 2, "month/day/year", true, true, -1}, {2, 1, "day/month/year", true, true, -1}}
	for r := range readings {
		o := &readings[r]
		before := ""
		for k, m := range dates {
			iso := isoDate(m, o.month, o.day)
			if _, err := parseDay(iso[:10]); err != nil {
				o.possible = false
				if other := &readings[1-r]; other.witness < 0 {
					other.witness = k
				}
				continue
			}
			o.rises = o.rises && iso > before
			before = iso
		}
	}
	var o reading
	why := ""
	switch a, b := readings[0], readings[1]; {
	case a.possible != b.possible:
		o = a
		if b.possible {
			o = b
		}
		why = fmt.Sprintf("line %d has %s", s.Line(rows[o.witness]), dates[o.witness][0])
	case a.possible && a.rises != b.rises:
		o = a
		if b.rises {
			o = b
		}
		why = "read otherwise, the rows go back in time"
	default:
		return
	}
	for k, m := range dates {
		s.rows[rows[k]][col] = isoDate(m, o.month, o.day)
	}
	s.in.Notes = append(s.in.Notes, fmt.Sprintf("%s: dates are read as %s (%s)", s.File, o.words, why))
}

// isoDate writes a match of foreignDate as year-month-day, with the time of day
// if it has one.
func isoDate(m []string, month, day int) string {
	pad := func(t string) string {
		if len(t) == 1 {
			return "0" + t
		}
		return t
	}
	iso := m[3] + "-" + pad(m[month]) + "-" + pad(m[day])
	if m[4] == "" {
		return iso
	}
	hour := pad(m[4])
	switch half := strings.ToLower(m[6]); {
	case half == "a" && hour == "12":
		hour = "00"
	case half == "p" && hour != "12":
		if n, ok := Digits(hour); ok && n < 12 {
			hour = fmt.Sprint(n + 12)
		}
	}
	return iso + " " + hour + ":" + m[5]
}
