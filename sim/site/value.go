package site

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// quantity reads a value with a unit and holds it to a range, both in SI. It
// returns NaN for what it could not read.
func (t *table) quantity(key string, m *Measure, low, high float64, a absent, hint ...string) float64 {
	v, _ := t.quantityUnit(key, m, low, high, a, hint...)
	return v
}

func (t *table) quantityUnit(key string, m *Measure, low, high float64, a absent, hint ...string) (float64, unit) {
	raw, ok := t.look(key)
	if !ok {
		text := t.missing(key, a)
		if text == "" {
			if a.need {
				return math.NaN(), unit{}
			}
			return 0, unit{}
		}
		v, u, err := m.parse(text)
		if err != nil {
			panic("site: the default of " + t.key(key) + " cannot be read: " + err.Error())
		}
		return v, u
	}
	return t.l.quantityAt(t.key(key), raw, m, low, high, hint...)
}

// quantityAt reads the value that stands at a path.
func (l *loader) quantityAt(path string, raw any, m *Measure, low, high float64, hint ...string) (float64, unit) {
	var v float64
	u := m.units[0]
	written := ""
	switch x := raw.(type) {
	case string:
		parsed, as, err := m.parse(x)
		if err != nil {
			l.wrong(path, "", "%s", err)
			return math.NaN(), unit{}
		}
		v, u, written = parsed, as, strconv.Quote(x)
	case int64, float64:
		f, text := plainNumber(x)
		if !m.bare {
			l.wrong(path, fmt.Sprintf("%s takes %s", m.name, m.Units()), "%s has no unit; write for example %q", text, text+" "+m.units[0].name)
			return math.NaN(), unit{}
		}
		v, written = f*u.factor+u.offset, text
	default:
		l.wrong(path, fmt.Sprintf("it takes %s", m.Units()), "is no text with a number and a unit")
		return math.NaN(), unit{}
	}
	if !(v >= low-1e-12*math.Abs(low) && v <= high+1e-12*math.Abs(high)) {
		l.wrong(path, strings.Join(hint, "; "), "%s is outside %s to %s", written, u.format(low), u.format(high))
		return math.NaN(), unit{}
	}
	return v, u
}

func plainNumber(x any) (float64, string) {
	switch n := x.(type) {
	case int64:
		return float64(n), strconv.FormatInt(n, 10)
	case float64:
		return n, strconv.FormatFloat(n, 'g', -1, 64)
	}
	return math.NaN(), ""
}

// number reads a bare number.
func (t *table) number(key string, low, high float64, a absent, hint ...string) float64 {
	raw, ok := t.look(key)
	if !ok {
		text := t.missing(key, a)
		if text == "" {
			if a.need {
				return math.NaN()
			}
			return 0
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			panic("site: the default of " + t.key(key) + " cannot be read: " + err.Error())
		}
		return v
	}
	v, text := plainNumber(raw)
	if text == "" {
		if s, isText := raw.(string); isText {
			t.wrong(key, "it has no unit and stands without quotes", "%q is no bare number", short(s))
		} else {
			t.wrong(key, "", "is no number")
		}
		return math.NaN()
	}
	if !(v >= low && v <= high) {
		t.wrong(key, strings.Join(hint, "; "), "%s is outside %s to %s", text, trimNumber(low), trimNumber(high))
		return math.NaN()
	}
	return v
}

// whole reads a whole number.
func (t *table) whole(key string, low, high int64, a absent) int64 {
	raw, ok := t.look(key)
	if !ok {
		n, _ := strconv.ParseInt(t.missing(key, a), 10, 64)
		return n
	}
	n, isInt := raw.(int64)
	if !isInt {
		t.wrong(key, "write it without quotes, point or unit", "is no whole number")
		return low
	}
	if n < low || n > high {
		t.wrong(key, "", "%d is outside %d to %d", n, low, high)
		return low
	}
	return n
}

// text reads a text that is not empty.
func (t *table) text(key string, a absent) string {
	raw, ok := t.look(key)
	if !ok {
		return t.missing(key, a)
	}
	s, isText := raw.(string)
	switch {
	case !isText:
		t.wrong(key, "write it in double quotes", "is no text")
	case strings.TrimSpace(s) == "":
		t.wrong(key, a.reason, "is empty")
	case len(s) > 200:
		t.wrong(key, "200 letters are enough", "is too long")
	case strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }):
		t.wrong(key, "", "has control characters")
	default:
		return s
	}
	return ""
}

// choice reads one of some words.
func (t *table) choice(key string, words []string, a absent) string {
	if !t.has(key) {
		return t.missing(key, a)
	}
	s := t.text(key, a)
	if s == "" {
		return ""
	}
	for _, w := range words {
		if strings.EqualFold(s, w) {
			return w
		}
	}
	hint := "it takes " + strings.Join(words, ", ")
	if n := Nearest(s, words); n != "" {
		hint = fmt.Sprintf("did you mean %q? %s", n, hint)
	}
	t.wrong(key, hint, "%q is not known", short(s))
	return ""
}

// flag reads true or false; not given is false.
func (t *table) flag(key string) bool {
	raw, ok := t.look(key)
	if !ok {
		return false
	}
	b, isBool := raw.(bool)
	if !isBool {
		t.wrong(key, "write true or false, without quotes", "is neither true nor false")
	}
	return b
}

// file reads the name of a file in the folder.
func (t *table) file(key string, a absent) string {
	if !t.has(key) {
		return t.missing(key, a)
	}
	name := t.text(key, a)
	if name != "" && !inside(name) {
		t.wrong(key, "a site is one folder: copy the file into it and give its name alone", "%q is no name of a file in the site's folder", short(name))
		return ""
	}
	return name
}

var dayOfYear = regexp.MustCompile(`^(\d{1,2})-(\d{1,2})$`)

// day reads a day of the calendar, "11-05".
func (t *table) day(key string, a absent) (d Date, ok bool) {
	text := ""
	if raw, given := t.look(key); given {
		s, isText := raw.(string)
		if !isText {
			t.wrong(key, "write month and day in quotes, \"11-05\" for 5 November: it holds for every year", "is no day of the year")
			return Date{}, false
		}
		text = s
	} else if text = t.missing(key, a); text == "" {
		return Date{}, false
	}
	d, err := ParseDate(text)
	if err != nil {
		t.wrong(key, "write month and day, \"11-05\" for 5 November", "%s", err)
		return Date{}, false
	}
	return d, true
}

// ParseDate reads a day of the calendar, month first: "11-05" is 5 November.
// There is no 29 February: it would be missing in most years.
func ParseDate(text string) (Date, error) {
	m := dayOfYear.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return Date{}, fmt.Errorf("%q is no day of the year", short(text))
	}
	month, _ := strconv.Atoi(m[1])
	day, _ := strconv.Atoi(m[2])
	if month < 1 || month > 12 {
		return Date{}, fmt.Errorf("%q: there is no month %d", text, month)
	}
	if day < 1 || day > daysIn(2001, time.Month(month)) {
		return Date{}, fmt.Errorf("%q: there is no day %d in %s of a common year", text, day, time.Month(month))
	}
	return Date{Month: time.Month(month), Day: day}, nil
}

// list reads a list; not given is nil.
func (t *table) list(key, hint string) []any {
	raw, ok := t.look(key)
	if !ok {
		return nil
	}
	items, isList := raw.([]any)
	switch {
	case !isList:
		t.wrong(key, hint, "is no list")
	case len(items) == 0:
		t.wrong(key, hint, "is an empty list")
	case len(items) > 1000:
		t.wrong(key, "", "has more than a thousand entries")
	default:
		return items
	}
	return nil
}

// curve reads a list of pairs that rise in their first number, such as
// [["20 %", "60 %"], ["100 %", "78 %"]].
func (t *table) curve(key string, x, y *Measure, xRange, yRange [2]float64, example string) (xs, ys []float64) {
	items := t.list(key, "write pairs, "+example)
	for i, item := range items {
		path := joinPath(t.key(key), strconv.Itoa(i))
		pair, ok := item.([]any)
		if !ok || len(pair) != 2 {
			t.l.wrong(path, "write pairs, "+example, "is no pair")
			return nil, nil
		}
		a, _ := t.l.quantityAt(joinPath(path, "0"), pair[0], x, xRange[0], xRange[1])
		b, _ := t.l.quantityAt(joinPath(path, "1"), pair[1], y, yRange[0], yRange[1])
		if i > 0 && a <= xs[i-1] {
			t.l.wrong(joinPath(path, "0"), "begin with the smallest", "does not rise above the pair before it")
		}
		xs, ys = append(xs, a), append(ys, b)
	}
	return xs, ys
}
