package gather

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// state is what is known of a value.
type state uint8

const (
	missing    state = iota // blank, M, -9999
	known                   // a number
	traced                  // T: too little to measure; counts 0
	toFollow                // S: this day's rain is in the next reading
	totalled                // A: a total since the last reading
	failed                  // refused by the service's own quality check
	unreadable              // text where a number belongs
)

// value is a cell of numbers. Days is how many days a total covers, 0 if it is
// none or unknown.
type value struct {
	v    float64
	st   state
	days int16
}

var missingWords = map[string]bool{
	"": true, "m": true, "-": true, "--": true, "---": true, "–": true, "—": true, "n/a": true, "na": true, "n.a.": true, "nan": true, "null": true, "none": true,
	"nil": true, "missing": true, "x": true, "?": true, ".": true, "#n/a": true, "no data": true, "nd": true, "no reading": true, "not read": true, "/": true,
}

var traceWords = map[string]bool{"t": true, "tr": true, "tr.": true, "trace": true, "traces": true}

// marks are numbers that stand for "missing" in the files of weather services.
// The positive ones are taken so for rain and temperature only where the
// quantity cannot have them.
var marks = map[string]bool{
	"-9999": true, "-999": true, "-99": true, "-99.9": true, "-999.9": true, "-9999.0": true, "-99.99": true, "-999.99": true, "-999.0": true, "-99.0": true,
	"-6999": true, "-7999": true, "-32768": true, "-888": true, "-888.88": true, "-999.99000": true, "-9999.9": true, "-9999.00": true, "-999.00": true,
	"9999": true, "99999": true, "9999.9": true, "999.9": true, "999.99": true, "99.99": true, "999": true, "9999.0": true, "9999.99": true,
}

// readNumber reads a cell: a number with a decimal comma or point, perhaps with
// a unit or a flag behind it, or a word for missing or trace. unit is what
// stands behind the number, "" if nothing.
func readNumber(cell string, comma bool) (v value, unit string) {
	if v, ok := plainNumber(cell); ok && !comma {
		if marks[cell] && markedMissing(v) {
			return value{st: missing}, ""
		}
		return value{v: v, st: known}, ""
	}
	low := strings.ToLower(cell)
	switch {
	case missingWords[low]:
		return value{st: missing}, ""
	case traceWords[low]:
		return value{st: traced}, ""
	case low == "s":
		return value{st: toFollow}, ""
	case strings.HasPrefix(low, "<"):
		if x, u := readNumber(trim(cell[1:]), comma); x.st == known && x.v >= 0 && x.v <= 1 {
			return value{st: traced}, u
		}
		return value{st: unreadable}, ""
	}
	digits, rest := leadingNumber(cell)
	if digits == "" {
		return value{st: unreadable}, ""
	}
	x, ok := plainNumber(pointed(digits, comma))
	if !ok {
		return value{st: unreadable}, ""
	}
	rest = trim(rest)
	switch strings.ToLower(rest) {
	case "":
		if marks[pointed(digits, comma)] && markedMissing(x) {
			return value{st: missing}, ""
		}
		return value{v: x, st: known}, ""
	case "e", "*", "e*", "est", "est.", "estimated":
		return value{v: x, st: known}, "e"
	case "t":
		return value{st: traced}, ""
	case "a":
		return value{v: x, st: totalled}, ""
	case "s":
		return value{st: toFollow}, ""
	case "m":
		return value{st: missing}, ""
	}
	if u, ok := unitOf(rest); ok {
		return value{v: x, st: known}, u.name
	}
	return value{st: unreadable}, ""
}

// markedMissing tells whether a number of the list of marks is one: those of
// two or three digits above 0 may be honest values.
func markedMissing(v float64) bool { return v < 0 || v > 9000 }

// plainNumber reads a finite number with a decimal point and nothing else.
func plainNumber(s string) (float64, bool) {
	if s == "" || len(s) > 40 {
		return 0, false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		if !isDigit(c) && c != '.' && c != '-' && c != '+' && (c != 'e' && c != 'E' || i == 0 || i == len(s)-1) {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, false
	}
	return v, true
}

// leadingNumber cuts the number off the front of a cell: digits with points,
// commas, apostrophes and thin spaces among them.
func leadingNumber(cell string) (digits, rest string) {
	end := 0
	seen := false
	for i, r := range cell {
		switch {
		case r >= '0' && r <= '9':
			seen = true
			end = i + 1
		case (r == '-' || r == '+' || r == '−') && i == 0:
		case (r == '.' || r == ',') && i < len(cell)-1 || (r == '\'' || r == '’' || r == ' ' || r == '\u00a0' || r == '\u202f') && seen:
		default:
			if !seen {
				return "", cell
			}
			return cell[:end], cell[end:]
		}
	}
	if !seen {
		return "", cell
	}
	return cell[:end], cell[end:]
}

// pointed writes a number with a decimal point and without thousands.
func pointed(digits string, comma bool) string {
	var b strings.Builder
	for _, r := range digits {
		switch r {
		case '.':
			if !comma {
				b.WriteByte('.')
			}
		case ',':
			if comma {
				b.WriteByte('.')
			}
		case '\'', '’', ' ', '\u00a0', '\u202f':
		case '−':
			b.WriteByte('-')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// decimal is what the numbers of a file tell of their decimal mark.
type decimal struct {
	comma, point, open witness // open: 1,234, which may be either
}

type witness struct {
	n, line int
	text    string
}

func (w *witness) add(line int, text string) {
	if w.n++; w.n == 1 {
		w.line, w.text = line, text
	}
}

// look takes a cell for evidence.
func (d *decimal) look(line int, cell string) {
	i := strings.IndexByte(cell, ',')
	j := strings.IndexByte(cell, '.')
	if i < 0 && j < 0 {
		return
	}
	digits, _ := leadingNumber(cell)
	if digits == "" {
		return
	}
	digits = strings.TrimLeft(digits, "-+")
	i, j = strings.LastIndexByte(digits, ','), strings.LastIndexByte(digits, '.')
	switch {
	case i < 0 && j < 0:
	case i >= 0 && j >= 0:
		if i > j {
			d.comma.add(line, cell)
		} else {
			d.point.add(line, cell)
		}
	case i >= 0 && strings.Count(digits, ",") > 1:
		d.point.add(line, cell) // 1,234,567
	case j >= 0 && strings.Count(digits, ".") > 1:
		d.comma.add(line, cell)
	case i >= 0:
		if len(digits)-i-1 == 3 && i >= 1 && i <= 3 && digits[0] != '0' {
			d.open.add(line, cell)
		} else {
			d.comma.add(line, cell)
		}
	case j >= 0 && !(len(digits)-j-1 == 3 && j >= 1 && j <= 3 && digits[0] != '0'):
		d.point.add(line, cell)
	}
}

// decide tells whether numbers have a decimal comma, and why; "" where there is
// nothing to tell.
func (d *decimal) decide(separator rune, asked string) (comma bool, evidence string, err error) {
	switch {
	case asked == "comma":
		return true, "as --decimal says", nil
	case asked == "point":
		return false, "as --decimal says", nil
	case d.comma.n > 0 && d.point.n > 0:
		return false, "", fmt.Errorf("%q on line %d has a decimal comma, %q on line %d a decimal point", d.comma.text, d.comma.line, d.point.text, d.point.line)
	case d.comma.n > 0:
		return true, fmt.Sprintf("line %d has %s", d.comma.line, d.comma.text), nil
	case d.point.n > 0:
		return false, "", nil
	case d.open.n > 0 && separator == ';':
		return true, fmt.Sprintf("line %d has %s, and the columns are parted by semicolons", d.open.line, d.open.text), nil
	case d.open.n > 0:
		return false, "", fmt.Errorf("%q on line %d may be a decimal comma or thousands", d.open.text, d.open.line)
	}
	return false, "", nil
}
