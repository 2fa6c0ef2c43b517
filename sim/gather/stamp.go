package gather

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// form is the way a date is written.
type form uint8

const (
	noDate   form = iota
	yearOnly      // not used by cells; a calendar's year
	ymd           // 2016-10-03, 2016/10/3, 20161003
	wordy         // 3 Oct 2016, Oct 3, 2016
	short         // 3/10/2016, 3.10.16: the order has to be found
	serial        // 42646: days since 30 December 1899, as spreadsheets count
)

// stamp is a date, and perhaps a time of day, as read from cells: for form
// short the three numbers as they stand.
type stamp struct {
	a, b, c   int16
	clock     int32 // seconds since midnight; -1: none
	offsetMin int16 // minutes east of Greenwich
	form      form
	twoDigits bool // the year has two digits
	hasOffset bool
	ending    bool // 24:00 stands there: stamps tell the end of an hour
}

var monthNames = map[string]int{
	"january": 1, "february": 2, "march": 3, "april": 4, "june": 6, "july": 7, "august": 8, "september": 9, "october": 10, "november": 11, "december": 12,
	"jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "sept": 9, "oct": 10, "nov": 11, "dec": 12,
	// German, French, Spanish, Italian, Portuguese, Dutch
	"januar": 1, "jänner": 1, "februar": 2, "märz": 3, "mär": 3, "mrz": 3, "mai": 5, "juni": 6, "juli": 7, "oktober": 10, "okt": 10, "dezember": 12, "dez": 12,
	"janvier": 1, "janv": 1, "février": 2, "févr": 2, "mars": 3, "avril": 4, "avr": 4, "juin": 6, "juillet": 7, "juil": 7, "août": 8, "septembre": 9, "octobre": 10, "novembre": 11, "décembre": 12, "déc": 12,
	"enero": 1, "ene": 1, "febrero": 2, "marzo": 3, "abril": 4, "abr": 4, "mayo": 5, "junio": 6, "julio": 7, "agosto": 8, "ago": 8, "septiembre": 9, "octubre": 10, "noviembre": 11, "diciembre": 12, "dic": 12,
	"gennaio": 1, "gen": 1, "febbraio": 2, "aprile": 4, "maggio": 5, "mag": 5, "giugno": 6, "giu": 6, "luglio": 7, "lug": 7, "settembre": 9, "set": 9, "ottobre": 10, "ott": 10, "dicembre": 12,
	"janeiro": 1, "fevereiro": 2, "fev": 2, "março": 3, "maio": 5, "junho": 6, "julho": 7, "setembro": 9, "outubro": 10, "out": 10, "dezembro": 12,
	"januari": 1, "februari": 2, "maart": 3, "mrt": 3, "mei": 5, "augustus": 8,
}

// set keeps a form and its three numbers.
func (s *stamp) set(f form, a, b, c int) { s.form, s.a, s.b, s.c = f, int16(a), int16(b), int16(c) }

// monthOf returns the number of a month's name, 0 if it is none.
func monthOf(word string) int {
	return monthNames[strings.ToLower(strings.TrimRight(word, "."))]
}

const (
	firstYear = 1800
	lastYear  = 2200
	daySec    = 24 * 3600
)

// parseStamp reads a cell as a date, alone or with a time of day. Ok is false
// if it is none.
func parseStamp(cell string) (stamp, bool) {
	s := stamp{clock: -1}
	if len(cell) < 5 || len(cell) > 48 {
		return s, false
	}
	date, clock := cell, ""
	if i := strings.IndexByte(cell, 'T'); i >= 8 && i <= 10 && cell[0] <= '9' && i+1 < len(cell) && isDigit(cell[i+1]) {
		date, clock = cell[:i], cell[i+1:]
	} else if i := strings.IndexByte(cell, ':'); i > 0 {
		// The clock begins after the last space or comma before the colon.
		j := strings.LastIndexAny(cell[:i], " ,_")
		if j < 0 {
			return s, false
		}
		date, clock = cell[:j], cell[j+1:]
	} else if f := strings.Fields(cell); len(f) == 2 && len(f[1]) == 4 && allDigits(f[1]) && (len(f[0]) == 8 || len(f[0]) == 10) {
		date, clock = f[0], f[1][:2]+":"+f[1][2:]
	}
	if !s.date(strings.Trim(date, " ,")) {
		return s, false
	}
	if clock == "" {
		return s, true
	}
	return s, s.time(clock)
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func allDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

// date reads the day.
func (s *stamp) date(text string) bool {
	if allDigits(text) {
		switch len(text) {
		case 8:
			y, m, d := num(text[:4]), num(text[4:6]), num(text[6:])
			s.set(ymd, y, m, d)
			return possible(y, m, d)
		case 5:
			// As spreadsheets count; 20000 is in 1954, 60000 in 2064.
			n := num(text)
			if n < 20000 || n > 60000 {
				return false
			}
			t := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, n)
			s.set(serial, t.Year(), int(t.Month()), t.Day())
			return true
		}
		return false
	}
	var part [3]string
	n := 0
	for i := 0; i < len(text); {
		c := text[i]
		if c == '-' || c == '/' || c == '.' || c == ' ' || c == ',' {
			i++
			continue
		}
		j := i
		if isDigit(c) {
			for j < len(text) && isDigit(text[j]) {
				j++
			}
		} else {
			for j < len(text) && !isDigit(text[j]) && !strings.ContainsRune("-/. ,", rune(text[j])) {
				j++
			}
		}
		word := text[i:j]
		i = j
		if !isDigit(c) {
			switch low := strings.ToLower(word); {
			case weekdays[low] && n == 0, n >= 1 && (low == "st" || low == "nd" || low == "rd" || low == "th"):
				continue // "Mon, 3 Oct 2016", "3rd"
			}
		}
		if n == 3 || len(word) > 10 {
			return false
		}
		part[n] = word
		n++
	}
	if n != 3 {
		return false
	}
	number := [3]int{-1, -1, -1}
	month := -1
	for k, p := range part {
		if allDigits(p) {
			if len(p) > 4 {
				return false
			}
			number[k] = num(p)
		} else if m := monthOf(p); m > 0 && month < 0 {
			month, number[k] = k, m
		} else {
			return false
		}
	}
	switch {
	case month >= 0:
		var rest []int
		var words []string
		for k := range part {
			if k != month {
				rest, words = append(rest, number[k]), append(words, part[k])
			}
		}
		y, d := rest[1], rest[0]
		switch {
		case len(words[0]) == 4: // 2016-Oct-03
			y, d = rest[0], rest[1]
		case len(words[1]) == 2:
			y, s.twoDigits = fullYear(y), true
		case len(words[1]) != 4:
			return false
		}
		s.set(wordy, y, number[month], d)
		return possible(y, number[month], d)
	case len(part[0]) == 4:
		s.set(ymd, number[0], number[1], number[2])
		return len(part[1]) <= 2 && len(part[2]) <= 2 && possible(number[0], number[1], number[2])
	case len(part[0]) <= 2 && len(part[1]) <= 2 && (len(part[2]) == 4 || len(part[2]) == 2):
		s.set(short, number[0], number[1], number[2])
		s.twoDigits = len(part[2]) == 2
		return s.c < 100 || s.c >= firstYear && s.c <= lastYear
	}
	return false
}

var weekdays = map[string]bool{
	"mon": true, "tue": true, "wed": true, "thu": true, "fri": true, "sat": true, "sun": true,
	"monday": true, "tuesday": true, "wednesday": true, "thursday": true, "friday": true, "saturday": true, "sunday": true,
	"mo": true, "di": true, "mi": true, "do": true, "fr": true, "sa": true, "so": true,
}

// possible tells whether the calendar has the day.
func possible(y, m, d int) bool {
	return y >= firstYear && y <= lastYear && m >= 1 && m <= 12 && d >= 1 && d <= daysIn(y, m)
}

func daysIn(y, m int) int { return time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day() }

// fullYear takes 00 to 68 for 2000 to 2068, 69 to 99 for 1969 to 1999, as
// POSIX does (IEEE Std 1003.1, strptime, %y).
func fullYear(n int) int {
	if n < 69 {
		return 2000 + n
	}
	return 1900 + n
}

func num(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}

// time reads a time of day: 14:00, 14:00:30, 2:00 PM, 24:00, with an offset
// from Greenwich or not.
func (s *stamp) time(text string) bool {
	text = strings.TrimSpace(text)
	upper := strings.ToUpper(text)
	half := 0
	for k, w := range [2]string{"AM", "PM"} {
		for _, tail := range []string{w, w[:1] + ".M."} {
			if t, ok := strings.CutSuffix(upper, tail); ok {
				upper, half = strings.TrimSpace(t), k+1
			}
		}
	}
	if t, ok := strings.CutSuffix(upper, "UTC"); ok {
		upper = t + "Z"
	}
	if t, ok := strings.CutSuffix(upper, "Z"); ok {
		upper, s.hasOffset = strings.TrimSpace(t), true
	} else if i := strings.LastIndexAny(upper, "+-"); i > 3 {
		off := strings.ReplaceAll(upper[i+1:], ":", "")
		if len(off) == 2 {
			off += "00"
		}
		if len(off) != 4 || !allDigits(off) {
			return false
		}
		s.hasOffset, s.offsetMin = true, int16(num(off[:2])*60+num(off[2:]))
		if upper[i] == '-' {
			s.offsetMin = -s.offsetMin
		}
		upper = strings.TrimSpace(upper[:i])
	}
	if i := strings.IndexByte(upper, '.'); i > 0 && allDigits(upper[i+1:]) {
		upper = upper[:i]
	}
	parts := strings.Split(upper, ":")
	if len(parts) == 1 && len(upper) == 4 && half == 0 {
		parts = []string{upper[:2], upper[2:]}
	}
	if len(parts) == 1 && half > 0 {
		parts = append(parts, "00") // 2 PM
	}
	if len(parts) < 2 || len(parts) > 3 {
		return false
	}
	v := [3]int{}
	for i, p := range parts {
		if !allDigits(p) || len(p) > 2 {
			return false
		}
		v[i] = num(p)
	}
	if half > 0 {
		if v[0] < 1 || v[0] > 12 {
			return false
		}
		v[0] = v[0]%12 + 12*(half-1)
	}
	if v[0] > 24 || v[1] > 59 || v[2] > 60 || v[0] == 24 && v[1]+v[2] > 0 {
		return false
	}
	s.ending = v[0] == 24
	s.clock = int32(v[0]*3600 + v[1]*60 + v[2])
	return true
}

// order is an order of day, month and year in short dates.
type order string

const (
	dayFirst   order = "dmy"
	monthFirst order = "mdy"
	yearFirst  order = "ymd"
)

var orderWords = map[order]string{dayFirst: "day, month, year", monthFirst: "month, day, year", yearFirst: "year, month, day"}

// day returns year, month and day of a stamp under an order; ok is false if
// there is no such day.
func (s stamp) day(o order) (y, m, d int, ok bool) {
	y, m, d = int(s.a), int(s.b), int(s.c)
	if s.form == short {
		switch o {
		case dayFirst:
			d, m, y = int(s.a), int(s.b), int(s.c)
		case monthFirst:
			m, d, y = int(s.a), int(s.b), int(s.c)
		}
		if s.twoDigits {
			y = fullYear(y)
		} else if o == yearFirst {
			return 0, 0, 0, false
		}
	}
	return y, m, d, possible(y, m, d)
}

// moment returns a stamp as a time of no zone (UTC as a stand-in), with its
// clock if it has one.
func (s stamp) moment(o order) (time.Time, bool) {
	y, m, d, ok := s.day(o)
	if !ok {
		return time.Time{}, false
	}
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if s.clock > 0 {
		t = t.Add(time.Duration(s.clock) * time.Second)
	}
	return t, true
}

// dates are the stamps of all rows, and where each stands, as evidence.
type dates struct {
	stamps []stamp
	rows   []row
	column int // -1: in several
}

func (d dates) line(i int) int { return d.rows[i].line }

func (d dates) text(i int) string { return cellOf(d.rows[i], d.column) }

// findOrder finds the order of day and month in short dates: the one under
// which every date is a day of the calendar; if more than one is, the one under
// which the rows run day by day. It returns the evidence in words.
func findOrder(all dates, asked order) (o order, evidence string, err error) {
	orders := []order{dayFirst, monthFirst, yearFirst}
	fits := map[order]bool{}
	against := map[order]int{}
	any := false
	for _, o := range orders {
		fits[o] = true
	}
	for i, d := range all.stamps {
		if d.form != short {
			continue
		}
		any = true
		for _, o := range orders {
			if _, _, _, ok := d.day(o); !ok && fits[o] {
				fits[o], against[o] = false, i
			}
		}
	}
	if !any {
		return dayFirst, "", nil
	}
	if asked != "" {
		if !fits[asked] {
			d := against[asked]
			return "", "", fmt.Errorf("line %d: %q is no day in the order %s that --dates gives", all.line(d), all.text(d), orderWords[asked])
		}
		return asked, "as --dates says", nil
	}
	var left []order
	for _, o := range orders {
		if fits[o] {
			left = append(left, o)
		}
	}
	switch len(left) {
	case 1:
		o := left[0]
		// The date that rules out the other common order.
		other := dayFirst
		if o == dayFirst {
			other = monthFirst
		}
		return o, fmt.Sprintf("line %d has %s", all.line(against[other]), all.text(against[other])), nil
	case 0:
		a, b := against[dayFirst], against[monthFirst]
		return "", "", fmt.Errorf("%q on line %d and %q on line %d cannot both be dates in one order", all.text(a), all.line(a), all.text(b), all.line(b))
	}
	best, second := -1.0, -1.0
	for _, c := range left {
		fraction := stepsOfADay(all.stamps, c)
		if fraction > best {
			o, best, second = c, fraction, best
		} else if fraction > second {
			second = fraction
		}
	}
	if best >= 0.6 && second < 0.3 {
		return o, fmt.Sprintf("so read, %.0f %% of the rows are a day or less apart", 100*best), nil
	}
	return "", "", errOrder
}

var errOrder = fmt.Errorf("nothing tells whether the day or the month comes first in the dates")

// stepsOfADay is the share of neighbouring rows that are at most a day apart,
// and not earlier.
func stepsOfADay(stamps []stamp, o order) float64 {
	n, good := 0, 0
	var before time.Time
	for i, d := range stamps {
		t, ok := d.moment(o)
		if !ok {
			return 0
		}
		if i > 0 {
			n++
			if gap := t.Sub(before); gap >= 0 && gap <= 24*time.Hour {
				good++
			}
		}
		before = t
	}
	return float64(good) / float64(max(n, 1))
}
