package files

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sunrill/sim/measure"
	"time"
)

// Quantity reads a value with a unit and holds it to a range, both in SI. It
// returns NaN for what it could not read.
func (t *Table) Quantity(key string, m *measure.Measure, low, high float64, a Absent, hint ...string) float64 {
	v, _ := t.QuantityUnit(key, m, low, high, a, hint...)
	return v
}

// QuantityUnit is [Table.Quantity], and returns the unit as well.
func (t *Table) QuantityUnit(key string, m *measure.Measure, low, high float64, a Absent, hint ...string) (float64, measure.Unit) {
	raw, ok := t.Look(key)
	if !ok {
		text := t.missing(key, a, m)
		if text == "" {
			if a.Needed {
				return math.NaN(), measure.Unit{}
			}
			return 0, measure.Unit{}
		}
		v, u, err := m.ParseUnit(text)
		if err != nil {
			panic("site: the default of " + t.Key(key) + " cannot be read: " + err.Error())
		}
		return v, u
	}
	v, u := t.d.QuantityAt(t.Key(key), raw, m, low, high, hint...)
	if meant, doubt := m.Doubt(v, u); doubt {
		t.d.Warn("%s = %s is less than %s; is %q meant?", keyName(t.Key(key)), show(raw), u.Write(m.Least()), meant)
	}
	return v, u
}

// QuantityAt reads the value that stands at a path.
func (d *Document) QuantityAt(path string, raw any, m *measure.Measure, low, high float64, hint ...string) (float64, measure.Unit) {
	var v float64
	u := m.Usual()
	written := ""
	switch x := raw.(type) {
	case string:
		parsed, as, err := m.ParseUnit(x)
		if err != nil {
			if o, odd := measure.OddIn(x); odd {
				d.Wrong(path, o.Cure(), "%q: %s", Short(x), o.What())
			} else {
				d.Wrong(path, "", "%s", err)
			}
			return math.NaN(), measure.Unit{}
		}
		v, u, written = parsed, as, strconv.Quote(x)
	case int64, float64:
		f, text := plainNumber(x)
		if !m.Bare {
			d.Wrong(path, fmt.Sprintf("%s takes %s", m.Name, m.Units()), "%s has no unit; write for example %q", text, m.Example(f, text))
			return math.NaN(), measure.Unit{}
		}
		v, written = u.SI(f), text
	default:
		d.Wrong(path, fmt.Sprintf("it takes %s", m.Units()), "is no text with a number and a unit")
		return math.NaN(), measure.Unit{}
	}
	if !(v >= low-1e-12*math.Abs(low) && v <= high+1e-12*math.Abs(high)) {
		d.Wrong(path, strings.Join(hint, "; "), "%s is outside %s to %s", written, u.Write(low), u.Write(high))
		return math.NaN(), measure.Unit{}
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

// Number reads a bare number.
func (t *Table) Number(key string, low, high float64, a Absent, hint ...string) float64 {
	raw, ok := t.Look(key)
	if !ok {
		text := t.Missing(key, a)
		if text == "" {
			if a.Needed {
				return math.NaN()
			}
			return 0
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			panic("site: the default of " + t.Key(key) + " cannot be read: " + err.Error())
		}
		return v
	}
	v, text := plainNumber(raw)
	if text == "" {
		if s, isText := raw.(string); isText {
			t.Wrong(key, "it has no unit and stands without quotes", "%q is no bare number", Short(s))
		} else {
			t.Wrong(key, "", "is no number")
		}
		return math.NaN()
	}
	if !(v >= low && v <= high) {
		t.Wrong(key, strings.Join(hint, "; "), "%s is outside %s to %s", text, measure.Trim(low), measure.Trim(high))
		return math.NaN()
	}
	return v
}

// Whole reads a whole number.
func (t *Table) Whole(key string, low, high int64, a Absent) int64 {
	raw, ok := t.Look(key)
	if !ok {
		n, _ := strconv.ParseInt(t.Missing(key, a), 10, 64)
		return n
	}
	n, isInt := raw.(int64)
	if !isInt {
		t.Wrong(key, "write it without quotes, point or unit", "is no whole number")
		return low
	}
	if n < low || n > high {
		t.Wrong(key, "", "%d is outside %d to %d", n, low, high)
		return low
	}
	return n
}

// Text reads a text that is not empty.
func (t *Table) Text(key string, a Absent) string {
	raw, ok := t.Look(key)
	if !ok {
		return t.Missing(key, a)
	}
	s, isText := raw.(string)
	switch {
	case !isText:
		t.Wrong(key, "write it in double quotes", "is no text")
	case strings.TrimSpace(s) == "":
		t.Wrong(key, a.cure(), "is empty")
	case len(s) > 200:
		t.Wrong(key, "200 letters are enough", "is too long")
	case strings.ContainsFunc(s, Unseen):
		t.Wrong(key, "take them out", "has characters that are not seen")
	default:
		return s
	}
	return ""
}

// Choice reads one of some words.
func (t *Table) Choice(key string, words []string, a Absent) string {
	if !t.Has(key) {
		return t.Missing(key, a)
	}
	s := t.Text(key, a)
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
	if o, odd := measure.OddIn(s); odd {
		hint = o.What() + ": " + o.Cure() + "; " + hint
	}
	t.Wrong(key, hint, "%q is not known", Short(s))
	return ""
}

// Flag reads true or false; not given is false.
func (t *Table) Flag(key string) bool {
	raw, ok := t.Look(key)
	if !ok {
		return false
	}
	b, isBool := raw.(bool)
	if !isBool {
		t.Wrong(key, "write true or false, without quotes", "is neither true nor false")
	}
	return b
}

// File reads the name of a file in the folder.
func (t *Table) File(key string, a Absent) string {
	if !t.Has(key) {
		return t.Missing(key, a)
	}
	name := t.Text(key, a)
	if name != "" && !inside(name) {
		t.Wrong(key, "a site is one folder: copy the file into it and give its name alone", "%q is no name of a file in the site's folder", Short(name))
		return ""
	}
	return name
}

var dayOfYear = regexp.MustCompile(`^(\d{1,2})-(\d{1,2})$`)

// Day reads a day of the calendar, "11-05".
func (t *Table) Day(key string, a Absent) (month time.Month, day int, ok bool) {
	text := ""
	if raw, given := t.Look(key); given {
		s, isText := raw.(string)
		if !isText {
			t.Wrong(key, "write month and day in quotes, \"11-05\" for 5 November: it holds for every year", "is no day of the year")
			return 0, 0, false
		}
		text = s
	} else if text = t.Missing(key, a); text == "" {
		return 0, 0, false
	}
	month, day, err := ParseDayOfYear(text)
	if err != nil {
		t.Wrong(key, "write month and day, \"11-05\" for 5 November", "%s", err)
		return 0, 0, false
	}
	return month, day, true
}

// ParseDayOfYear reads a day of the calendar, month first: "11-05" is 5
// November. There is no 29 February: it would be missing in most years.
func ParseDayOfYear(text string) (time.Month, int, error) {
	m := dayOfYear.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, 0, fmt.Errorf("%q is no day of the year", Short(text))
	}
	month, _ := strconv.Atoi(m[1])
	day, _ := strconv.Atoi(m[2])
	if month < 1 || month > 12 {
		return 0, 0, fmt.Errorf("%q: there is no month %d", text, month)
	}
	if day < 1 || day > daysIn(2001, time.Month(month)) {
		return 0, 0, fmt.Errorf("%q: there is no day %d in %s of a common year", text, day, time.Month(month))
	}
	return time.Month(month), day, nil
}

// List reads a list; not given is nil.
func (t *Table) List(key, hint string) []any {
	raw, ok := t.Look(key)
	if !ok {
		return nil
	}
	items, isList := raw.([]any)
	switch {
	case !isList:
		t.Wrong(key, hint, "is no list")
	case len(items) == 0:
		t.Wrong(key, hint, "is an empty list")
	case len(items) > 1000:
		t.Wrong(key, "", "has more than a thousand entries")
	default:
		return items
	}
	return nil
}

// Curve reads a list of pairs that rise in their first number, such as
// [["20 %", "60 %"], ["100 %", "78 %"]].
func (t *Table) Curve(key string, x, y *measure.Measure, xRange, yRange [2]float64, example string) (xs, ys []float64) {
	items := t.List(key, "write pairs, "+example)
	for i, item := range items {
		path := JoinPath(t.Key(key), strconv.Itoa(i))
		pair, ok := item.([]any)
		if !ok || len(pair) != 2 {
			t.d.Wrong(path, "write pairs, "+example, "is no pair")
			return nil, nil
		}
		a, _ := t.d.QuantityAt(JoinPath(path, "0"), pair[0], x, xRange[0], xRange[1])
		b, _ := t.d.QuantityAt(JoinPath(path, "1"), pair[1], y, yRange[0], yRange[1])
		if i > 0 && a <= xs[i-1] {
			t.d.Wrong(JoinPath(path, "0"), "begin with the smallest", "does not rise above the pair before it")
		}
		xs, ys = append(xs, a), append(ys, b)
	}
	return xs, ys
}
