package gather

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sunrill/sim/measure"
	"sunrill/sim/site"
	"sunrill/weather"
)

// maxDays bounds a record, so that a stray date makes no room for a thousand
// years.
const maxDays = 400 * 366

// place is where a value stands.
type place struct {
	file string
	line int
}

// daily is one quantity, a value a day; NaN where not known.
type daily struct {
	v    []float64
	from []place
	why  map[int]string // days whose value is a trace, or a share of a total
}

// dayGrid is a span of days.
type dayGrid struct {
	start time.Time
	n     int
}

func (d dayGrid) index(t time.Time) int { return int(t.Sub(d.start).Hours() / 24) }

func (d dayGrid) day(i int) time.Time { return d.start.AddDate(0, 0, i) }

func (d dayGrid) room() daily {
	v := make([]float64, d.n)
	for i := range v {
		v[i] = math.NaN()
	}
	return daily{v, make([]place, d.n), map[int]string{}}
}

func dayOf(t time.Time) time.Time { return t.Truncate(24 * time.Hour) }

// gridOf spans the days of all tables.
func gridOf(tables []*table) (dayGrid, Problems) {
	var first, last time.Time
	for _, t := range tables {
		for _, at := range t.times {
			if first.IsZero() || at.Before(first) {
				first = at
			}
			if last.IsZero() || at.After(last) {
				last = at
			}
		}
	}
	first, last = dayOf(first), dayOf(last)
	n := int(last.Sub(first).Hours()/24) + 1
	if n > maxDays {
		return dayGrid{}, Problems{{What: fmt.Sprintf("the dates run from %s to %s", iso(first), iso(last)), Hint: "is the year of the first or the last right?"}}
	}
	return dayGrid{first, n}, nil
}

func iso(t time.Time) string { return t.Format("2006-01-02") }

// step returns the usual distance between rows, and the share of rows that
// keep to it.
func (t *table) step() (time.Duration, float64) {
	count := map[time.Duration]int{}
	for i := 1; i < len(t.times); i++ {
		if gap := t.times[i].Sub(t.times[i-1]); gap > 0 {
			count[gap]++
		}
	}
	best, n, all := time.Duration(0), 0, 0
	for gap, k := range count {
		all += k
		if k > n || k == n && gap < best {
			best, n = gap, k
		}
	}
	return best, float64(n) / float64(max(all, 1))
}

// set puts a value on a day. Two files may tell the same; they may not differ.
func (d *daily) set(i int, v float64, p place, ps *Problems, day time.Time, what string) {
	if math.IsNaN(v) {
		return
	}
	if !math.IsNaN(d.v[i]) {
		if math.Abs(d.v[i]-v) > 1e-9+1e-6*math.Abs(v) {
			*ps = append(*ps, Problem{File: p.file, Line: p.line, What: fmt.Sprintf("%s of %s is %s here and %s on line %d of %s", what, iso(day), short4(v), short4(d.v[i]), d.from[i].line, d.from[i].file),
				Hint: "take one of the two rows out"})
		}
		return
	}
	d.v[i], d.from[i] = v, p
}

func short4(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", v), "0"), ".")
}

// rain makes rain.csv.
func (g *Gathered) rain(tables []*table, o Options) (ps Problems) {
	for _, t := range tables {
		if t.monthly {
			return g.rainMonths(tables, o)
		}
	}
	grid, ps := gridOf(tables)
	if len(ps) > 0 {
		return ps
	}
	fall, low, high := grid.room(), grid.room(), grid.room()
	listed := make([]bool, grid.n)
	var units []unit
	hasTemp := false
	var tempUnit unit
	for _, t := range tables {
		u, problems := t.rainDays(g, grid, &fall, o)
		ps = append(ps, problems...)
		if len(problems) > 0 {
			continue
		}
		units = append(units, u)
		for _, q := range []quantity{tmin, tmax} {
			into, c := &low, t.column(q)
			if q == tmax {
				into = &high
			}
			if c == nil {
				continue
			}
			if tu, problems := t.tempDays(g, grid, c, into, o); len(problems) > 0 {
				ps = append(ps, problems...)
			} else {
				tempUnit, hasTemp = tu, true
			}
		}
	}
	if len(ps) > 0 {
		return ps
	}
	// One unit for the file: inches where all came in inches, else mm.
	u := unitNamed("mm")
	if !slices.ContainsFunc(units, func(x unit) bool {
		return !strings.HasPrefix(x.name, "in") && !strings.HasPrefix(x.name, "hundredths of an in")
	}) {
		u = unitNamed("inches")
	}
	for _, t := range tables {
		c := t.column(rain)
		for i, at := range t.times {
			if c == nil || !c.blankDry || c.values[i].st != missing {
				listed[grid.index(at)] = true
			}
		}
	}
	if o.Unlisted == "dry" {
		n := 0
		for i, v := range fall.v {
			if math.IsNaN(v) && !listed[i] {
				fall.v[i] = 0
				n++
			}
		}
		g.Findings = append(g.Findings, Finding{"", measure.Plural(n, "day", "days") + " without a row taken as dry", "as --unlisted dry says"})
	} else if q := onlyWet(fall.v); q && o.Unlisted == "" {
		return Problems{{File: tables[0].name, What: "no row says 0, and most days have no row: a list of the days on which it rained?",
			Hint: "if all other days were dry say --unlisted dry; if they were not read, --unlisted missing"}}
	}
	g.writeRain(grid, fall, low, high, u, tempUnit, hasTemp)
	g.sumRain(grid, fall.v, u)
	record := weather.Record{Start: grid.start, RainMM: fall.v}
	if hasTemp {
		record.TMinC, record.TMaxC = low.v, high.v
	}
	g.Warnings = append(g.Warnings, site.Slips(record, o.LatDeg, u.name == "inches")...)
	return nil
}

// onlyWet tells a list of wet days: hardly a 0, and most days without a row.
func onlyWet(v []float64) bool {
	zero, wet, none := 0, 0, 0
	for _, x := range v {
		switch {
		case math.IsNaN(x):
			none++
		case x == 0:
			zero++
		default:
			wet++
		}
	}
	return wet >= 5 && zero*20 < wet && none > wet
}

func (t *table) column(q quantity) *column {
	for _, c := range t.columns {
		if c.q == q {
			return c
		}
	}
	return nil
}

// rainDays lays a table's rain on the days, in mm.
func (t *table) rainDays(g *Gathered, grid dayGrid, fall *daily, o Options) (unit, Problems) {
	c := t.column(rain)
	soFar := c == nil
	if soFar {
		c = t.column(rainSoFar)
	}
	several := t.column(severalDaysRain)
	if c == nil {
		c = several
	}
	if c == nil {
		return unit{}, Problems{{File: t.name, What: "has no column of rain"}}
	}
	step, even := t.step()
	raw := grid.room() // in the file's own unit
	var ps Problems
	var totals []total
	switch {
	case c.q == rainSoFar:
		t.differences(c, grid, &raw)
	case step > 0 && step < 20*time.Hour && !t.oneADay():
		if even < 0.8 && step < time.Hour {
			return unit{}, Problems{{File: t.name, What: "the rows come at no even step: a gauge that writes a row when its bucket tips?", Hint: "export its daily totals; from tips alone nobody can tell a dry hour from a dead battery"}}
		}
		ps = t.sumDays(g, c, grid, &raw, step)
	default:
		for i, v := range c.values {
			k := grid.index(t.times[i])
			p := place{t.name, t.lines[i]}
			switch v.st {
			case known:
				raw.set(k, v.v, p, &ps, grid.day(k), "the rain")
			case traced:
				raw.set(k, 0, p, &ps, grid.day(k), "the rain")
				raw.why[k] = "trace"
			case totalled:
				totals = append(totals, total{k, int(v.days), v.v, p})
			}
		}
	}
	if several != nil && c.q == rain {
		span := t.column(totalDays)
		for i, v := range several.values {
			if v.st != known && v.st != totalled {
				continue
			}
			n := 0
			if span != nil && span.values[i].st == known {
				n = int(span.values[i].v)
			}
			totals = append(totals, total{grid.index(t.times[i]), n, v.v, place{t.name, t.lines[i]}})
		}
	}
	if len(ps) > 0 {
		return unit{}, ps
	}
	g.spread(t, grid, &raw, totals)
	u, ps := t.rainUnit(g, c, raw.v, o)
	if len(ps) > 0 {
		return unit{}, ps
	}
	for i, v := range raw.v {
		if math.IsNaN(v) {
			continue
		}
		mm := v * u.factor
		if mm < 0 {
			ps = append(ps, t.problem(raw.from[i].line, "a mark for a missing day? leave the cell empty", "rain cannot be negative: %s", short4(v)))
			continue
		}
		fall.set(i, mm, raw.from[i], &ps, grid.day(i), "the rain in mm")
		if why := raw.why[i]; why != "" {
			fall.why[i] = why
		}
	}
	return u, ps
}

// oneADay tells whether no day has a second row.
func (t *table) oneADay() bool {
	seen := map[int64]bool{}
	for _, at := range t.times {
		k := at.Unix() / daySec
		if seen[k] {
			return false
		}
		seen[k] = true
	}
	return true
}

// total is a reading that covers several days, the last of them its own; days
// is 0 where nobody says how many.
type total struct {
	at, days int
	sum      float64
	p        place
}

// spread lays totals of several days evenly over those of their days that have
// no reading of their own, the day of the reading included. Where nobody says
// how many days they are, they are those since the last reading.
func (g *Gathered) spread(t *table, grid dayGrid, raw *daily, totals []total) {
	n := 0
	var told []string
	for _, tot := range totals {
		from := tot.at - tot.days + 1
		if tot.days == 0 {
			from = tot.at
			for from > 0 && tot.at-from < 60 && math.IsNaN(raw.v[from-1]) {
				from--
			}
		}
		if from < 0 {
			g.Warnings = append(g.Warnings, fmt.Sprintf("%s, line %d: the total of %d days begins before the record; its share of the days before is left out", tot.p.file, tot.p.line, tot.days))
		}
		rest := tot.sum
		var open []int
		for k := max(from, 0); k <= tot.at; k++ {
			if math.IsNaN(raw.v[k]) {
				open = append(open, k)
			} else {
				rest -= raw.v[k]
			}
		}
		days := len(open) + max(0, -from)
		if len(open) == 0 || rest < 0 {
			g.Warnings = append(g.Warnings, fmt.Sprintf("%s, line %d: the total of several days is less than what its days have of their own, and is left out", tot.p.file, tot.p.line))
			continue
		}
		for _, k := range open {
			raw.v[k], raw.from[k] = rest/float64(days), tot.p
			if days > 1 {
				raw.why[k] = fmt.Sprintf("share of a total of %d days to %s", tot.at-from+1, iso(grid.day(tot.at)))
			}
		}
		if days > 1 {
			n++
			if len(told) < 4 {
				told = append(told, fmt.Sprintf("%s of the %d days to %s", short4(tot.sum), tot.at-from+1, iso(grid.day(tot.at))))
			}
		}
	}
	if n > 0 {
		if n > len(told) {
			told = append(told, "…")
		}
		t.find(measure.Plural(n, "total", "totals")+" of several days spread evenly over the days without a reading of their own, and noted", strings.Join(told, "; "))
	}
}

// differences turns what has accumulated since the season began into the rain
// of each day. Readings at the start of a day give the day before.
func (t *table) differences(c *column, grid dayGrid, raw *daily) {
	back := 0
	if strings.Contains(strings.ToLower(c.header), "start of day") {
		back = 1
	}
	last := -1
	for i, v := range c.values {
		if v.st != known {
			continue
		}
		if last >= 0 && t.times[i].Sub(t.times[last]) == 24*time.Hour {
			d := v.v - c.values[last].v
			if d < 0 && v.v < c.values[last].v/2 {
				d = v.v // the gauge began again
			} else if d < 0 {
				d = 0 // settling of the instrument
			}
			if k := grid.index(t.times[i]) - back; k >= 0 {
				raw.v[k], raw.from[k] = d, place{t.name, t.lines[i]}
			}
		}
		last = i
	}
	t.find(fmt.Sprintf("%q counts up: each day's rain is its rise", clip(c.header)), "where it falls to less than half, it began again; a small fall is 0")
}

// sumDays adds up the rows of each day. A day that lacks more than an eighth of
// its rows is a gap.
func (t *table) sumDays(g *Gathered, c *column, grid dayGrid, raw *daily, step time.Duration) (ps Problems) {
	full := float64(24*time.Hour) / float64(step)
	sum, n := make([]float64, grid.n), make([]int, grid.n)
	line := make([]int, grid.n)
	traces := make([]int, grid.n)
	var before time.Time
	for i, v := range c.values {
		at := t.times[i]
		if i > 0 && !at.After(before) {
			if at.Equal(before) {
				ps = append(ps, t.problem(t.lines[i], "keep one of them; a clock put back in autumn tells an hour twice: standard time all year does not", "%s stands there twice", at.Format("2006-01-02 15:04")))
				continue
			}
			ps = append(ps, t.problem(t.lines[i], "sort the rows by time", "%s comes after %s", at.Format("2006-01-02 15:04"), before.Format("2006-01-02 15:04")))
		}
		before = at
		if t.ending {
			at = at.Add(-step)
		}
		k := grid.index(at)
		if k < 0 || v.st != known && v.st != traced {
			continue
		}
		if v.st == traced {
			traces[k]++
		}
		sum[k] += v.v
		n[k]++
		line[k] = t.lines[i]
	}
	if len(ps) > 0 {
		return ps
	}
	short, gaps := 0, 0
	for k := range sum {
		switch {
		case n[k] == 0:
		case float64(n[k]) < 0.875*full:
			gaps++
		default:
			if float64(n[k]) < full-0.5 {
				short++
			}
			raw.v[k], raw.from[k] = sum[k], place{t.name, line[k]}
			if sum[k] == 0 && traces[k] > 0 {
				raw.why[k] = "trace"
			}
		}
	}
	t.find(fmt.Sprintf("rows every %s added up to days", stepWords(step)), fmt.Sprintf("%d to a day", int(full+0.5)))
	if short+gaps > 0 {
		g.Warnings = append(g.Warnings, fmt.Sprintf("%s: %s some of their rows and counted as they stand; %s more than an eighth and left as gaps", t.name, measure.Plural(short, "day lacks", "days lack"), measure.Plural(gaps, "lacks", "lack")))
	}
	return nil
}

func stepWords(d time.Duration) string {
	switch {
	case d == time.Hour:
		return "hour"
	case d%time.Hour == 0:
		return fmt.Sprintf("%d hours", d/time.Hour)
	case d%time.Minute == 0:
		return measure.Plural(int(d/time.Minute), "minute", "minutes")
	}
	return fmt.Sprintf("%d s", d/time.Second)
}

// tempDays lays a table's temperatures on the days, in its own unit.
func (t *table) tempDays(g *Gathered, grid dayGrid, c *column, into *daily, o Options) (unit, Problems) {
	u, ps := t.tempUnit(g, c)
	if len(ps) > 0 {
		return u, ps
	}
	extreme := grid.room()
	for i, v := range c.values {
		if v.st != known {
			continue
		}
		k := grid.index(t.times[i])
		x := v.v*u.factor + u.offset
		if x < -90 || x > 60 {
			ps = append(ps, t.problem(t.lines[i], "is it the right unit? a mark for a missing value? leave the cell empty", "%s: %s is %.0f °C, which has never been measured on earth", clip(c.header), short4(v.v), x))
			continue
		}
		// Of several rows a day the lowest and the highest count.
		if e := extreme.v[k]; math.IsNaN(e) || c.q == tmin && x < e || c.q == tmax && x > e {
			extreme.v[k], extreme.from[k] = x, place{t.name, t.lines[i]}
		}
	}
	for k, x := range extreme.v {
		into.set(k, x, extreme.from[k], &ps, grid.day(k), "the "+quantityNames[c.q]+" in °C")
	}
	return u, ps
}

// sumRain adds up years and months.
func (g *Gathered) sumRain(grid dayGrid, mm []float64, u unit) {
	g.Unit = map[bool]string{true: "in", false: "mm"}[u.name == "inches"]
	years := map[int]*Total{}
	months := make([]Total, 12)
	monthDays := [12]map[int]int{}
	for m := range monthDays {
		monthDays[m] = map[int]int{}
		months[m].Year = m
	}
	lastKnown := -1
	for i, v := range mm {
		day := grid.day(i)
		y := years[day.Year()]
		if y == nil {
			y = &Total{Year: day.Year()}
			years[day.Year()] = y
		}
		if math.IsNaN(v) {
			continue
		}
		if lastKnown >= 0 && i > lastKnown+1 {
			g.Gaps = append(g.Gaps, Span{grid.day(lastKnown + 1), grid.day(i - 1)})
		}
		lastKnown = i
		if g.From.IsZero() {
			g.From = day
		}
		g.To = day
		x := v / u.factor
		m := &months[day.Month()-1]
		y.Sum, m.Sum = y.Sum+x, m.Sum+x
		y.Days, m.Days = y.Days+1, m.Days+1
		if v >= 0.1 {
			y.Wet++
			m.Wet++
		}
		if x > g.Largest {
			g.Largest, g.LargeAt = x, day
		}
	}
	for _, y := range years {
		y.Known = y.Days >= 360
		if y.Days > 0 {
			g.Years = append(g.Years, *y)
		}
	}
	slices.SortFunc(g.Years, func(a, b Total) int { return a.Year - b.Year })
	for m := range months {
		if months[m].Days > 0 {
			usual := float64(daysIn(typicalYear, m+1))
			fraction := usual / float64(months[m].Days)
			months[m].Sum *= fraction
			months[m].Wet = int(math.Round(float64(months[m].Wet) * fraction))
			months[m].Known = true
		}
	}
	g.Months = months
}
