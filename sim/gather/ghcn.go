package gather

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"sunrill/sim/measure"
)

type layout uint8

const (
	layoutTable layout = iota
	layoutDLY          // GHCN-Daily, a month a line
	layoutLong         // GHCN-Daily, an element and a day a line
	layoutEPW
	layoutTMY3
)

var (
	dlyLine  = regexp.MustCompile(`^[A-Z]{2}[0-9A-Z_-]{9}[0-9]{6}[A-Z0-9]{4}[ 0-9-]{5}`)
	longLine = regexp.MustCompile(`^"?[A-Z]{2}[0-9A-Z_-]{9}"?,"?[0-9]{8}"?,"?[A-Z0-9]{4}"?,"?-?[0-9]+"?,`)
	longHead = regexp.MustCompile(`(?i)^"?(id|station)"?,"?(date|year/month/day)"?,"?element"?,"?(data_?value|value)`)
)

// layoutOf knows the layouts of public formats by their first lines.
func layoutOf(text []byte) layout {
	first, rest, _ := bytes.Cut(text, []byte{'\n'})
	second, _, _ := bytes.Cut(rest, []byte{'\n'})
	switch {
	case bytes.HasPrefix(first, []byte("LOCATION,")):
		return layoutEPW
	case bytes.Contains(second, []byte("Date (MM/DD/YYYY)")) && bytes.Contains(second, []byte("GHI")):
		return layoutTMY3
	case dlyLine.Match(first) && len(first) > 200:
		return layoutDLY
	case longLine.Match(first), longHead.Match(first):
		return layoutLong
	}
	return layoutTable
}

// elements of GHCN-Daily that are taken: rain and temperature in tenths, the
// total of several days in tenths of mm and their number [GHCN].
var elements = map[string]quantity{"PRCP": rain, "TMIN": tmin, "TMAX": tmax, "MDPR": severalDaysRain, "DAPR": totalDays}

// station collects the days of one station.
type station struct {
	t       *table
	id      string
	rows    map[int64]int // day to row
	refused map[string]int
	gone    int
	traces  int
}

func newStation(name string) *station {
	t := &table{name: name, tenths: true, texts: map[quantity][]string{}}
	return &station{t: t, rows: map[int64]int{}, refused: map[string]int{}}
}

// put keeps a value: tenths, with measurement and quality flag.
func (s *station) put(day time.Time, q quantity, tenths int, mflag, qflag byte, line int) {
	if tenths == -9999 {
		s.gone++
		return
	}
	v := value{v: float64(tenths), st: known}
	if qflag != ' ' && qflag != 0 {
		s.refused[string(qflag)]++
		v = value{st: failed}
	} else if mflag == 'T' {
		s.traces++
		v = value{st: traced}
	}
	t := s.t
	k, ok := s.rows[day.Unix()]
	if !ok {
		k = len(t.times)
		s.rows[day.Unix()] = k
		t.times, t.lines = append(t.times, day), append(t.lines, line)
		for _, c := range t.columns {
			c.values = append(c.values, value{})
		}
	}
	c := t.column(q)
	if c == nil {
		c = &column{q: q, header: map[quantity]string{rain: "PRCP", tmin: "TMIN", tmax: "TMAX", severalDaysRain: "MDPR", totalDays: "DAPR"}[q], quality: -1, why: "the layout of GHCN-Daily"}
		switch q {
		case rain, severalDaysRain:
			c.unit = unitNamed("tenths of mm")
		case tmin, tmax:
			c.unit = unitNamed("tenths of °C")
		}
		c.values = make([]value, len(t.times))
		t.columns = append(t.columns, c)
	}
	c.values[k] = v
}

func (s *station) done(format string) (*table, Problems) {
	t := s.t
	if len(t.times) == 0 {
		return nil, Problems{{File: t.name, What: "holds no value of PRCP, TMIN or TMAX", Hint: "is it the right station?"}}
	}
	// A month of one element may stand before that of another.
	order := make([]int, len(t.times))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return t.times[a].Compare(t.times[b]) })
	times, lines := make([]time.Time, len(order)), make([]int, len(order))
	for i, k := range order {
		times[i], lines[i] = t.times[k], t.lines[k]
	}
	for _, c := range t.columns {
		values := make([]value, len(order))
		for i, k := range order {
			values[i] = c.values[k]
		}
		c.values = values
	}
	t.times, t.lines = times, lines
	t.find(fmt.Sprintf("%s, station %s, %s from %s to %s", format, s.id, measure.Plural(len(times), "day", "days"), iso(times[0]), iso(times[len(times)-1])), "by the layout of its lines")
	if s.gone > 0 {
		t.find("missing is -9999 ("+often(s.gone)+")", "gaps, not 0")
	}
	if s.traces > 0 {
		t.find(measure.Plural(s.traces, "day", "days")+" of trace", "counted as 0 and noted")
	}
	if len(s.refused) > 0 {
		t.find("refused by the service's own check, by flag: "+words(s.refused), "taken for missing")
	}
	return t, nil
}

// readDLY reads a GHCN-Daily file by station: columns 1 to 11 the station, 12
// to 15 the year, 16 to 17 the month, 18 to 21 the element, then 31 times a
// value of 5 and the flags of measurement, quality and source [GHCN].
func readDLY(name string, text []byte) (*table, Problems) {
	s := newStation(name)
	var ps Problems
	for line := 1; len(text) > 0; line++ {
		this, rest, _ := bytes.Cut(text, []byte{'\n'})
		text = rest
		l := string(this)
		if strings.TrimSpace(l) == "" {
			continue
		}
		if !dlyLine.MatchString(l) {
			ps = append(ps, Problem{File: name, Line: line, What: "is no line of a GHCN-Daily file: station, year, month, element and 31 values", Hint: "take it out"})
			continue
		}
		if s.id == "" {
			s.id = l[:11]
		} else if l[:11] != s.id {
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("is of another station, %s, than the first line, %s", l[:11], s.id), Hint: "one station a file"})
			continue
		}
		q, ok := elements[l[17:21]]
		if !ok {
			continue
		}
		year, month := num(l[11:15]), num(l[15:17])
		if year < firstYear || year > lastYear || month < 1 || month > 12 {
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("%q is no year and month", l[11:17])})
			continue
		}
		for d := range 31 {
			at := 21 + 8*d
			if at+5 > len(l) {
				break
			}
			v, ok := plainNumber(strings.TrimSpace(l[at : at+5]))
			flag := func(i int) byte {
				if at+i < len(l) {
					return l[at+i]
				}
				return ' '
			}
			switch {
			case !ok:
				ps = append(ps, Problem{File: name, Line: line, Column: at + 1, What: fmt.Sprintf("%q is no value", l[at:at+5])})
			case d+1 > daysIn(year, month):
			default:
				s.put(time.Date(year, time.Month(month), d+1, 0, 0, 0, 0, time.UTC), q, int(v), flag(5), flag(6), line)
			}
		}
	}
	if len(ps) > 0 {
		return nil, ps
	}
	return s.done("GHCN-Daily, a month a line (.dly)")
}

// readLong reads GHCN-Daily with an element and a day a row: station, date,
// element, value, flags of measurement, quality and source, time [GHCN].
func readLong(name string, text []byte) (*table, Problems) {
	s := newStation(name)
	var ps Problems
	for line := 1; len(text) > 0; line++ {
		this, rest, _ := bytes.Cut(text, []byte{'\n'})
		text = rest
		l := strings.ReplaceAll(strings.TrimSpace(string(this)), `"`, "")
		if l == "" || line == 1 && longHead.MatchString(l) {
			continue
		}
		f := strings.Split(l, ",")
		if len(f) < 4 || len(f[1]) != 8 || !allDigits(f[1]) {
			ps = append(ps, Problem{File: name, Line: line, What: "is no row of GHCN-Daily: station, date, element, value and flags", Hint: "take it out"})
			continue
		}
		if s.id == "" {
			s.id = f[0]
		} else if f[0] != s.id {
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("is of another station, %s, than the first row, %s", f[0], s.id), Hint: "keep the rows of one station"})
			if len(ps) > 20 {
				return nil, ps
			}
			continue
		}
		q, ok := elements[f[2]]
		if !ok {
			continue
		}
		y, m, d := num(f[1][:4]), num(f[1][4:6]), num(f[1][6:])
		v, isNumber := plainNumber(f[3])
		if !possible(y, m, d) || !isNumber {
			ps = append(ps, Problem{File: name, Line: line, What: fmt.Sprintf("%s,%s is no date and value", f[1], f[3])})
			continue
		}
		flag := func(i int) byte {
			if i < len(f) && len(strings.TrimSpace(f[i])) == 1 {
				return strings.TrimSpace(f[i])[0]
			}
			return ' '
		}
		s.put(time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC), q, int(v), flag(4), flag(5), line)
	}
	if len(ps) > 0 {
		return nil, ps
	}
	return s.done("GHCN-Daily, an element and a day a row")
}
