package gather

import (
	"bytes"
	"fmt"
	"math"
	"time"

	"sunrill/sim/measure"
	"sunrill/sim/site"
)

// sun makes sun.csv, the sun hours of the twelve months, and of an hourly
// record sun-hourly.csv too.
func (g *Gathered) sun(tables []*table, o Options) (ps Problems) {
	hours := false
	for i, t := range tables {
		step, _ := t.step()
		is := !t.monthly && step > 0 && step <= time.Hour
		if i > 0 && is != hours {
			return Problems{{File: t.name, What: "has a row every " + stepWords(step) + ", another file not", Hint: "import them one after the other"}}
		}
		hours = is
	}
	if hours {
		return g.hourlySun(tables, o)
	}
	var sum, n, tempSum, tempN [12]float64
	for _, t := range tables {
		if c := t.column(daySun); c != nil || t.column(ghi) != nil {
			if c == nil {
				c = t.column(ghi)
			}
			per, problems := t.sunUnit(c, o)
			if len(problems) > 0 {
				ps = append(ps, problems...)
				continue
			}
			for i, v := range c.values {
				if v.st != known {
					continue
				}
				m := t.times[i].Month() - 1
				x := per(v.v, t.times[i])
				if x < 0 || x > 14 {
					ps = append(ps, t.problem(t.lines[i], "kWh/m² a day; a mark for a missing value? leave the cell empty", "%s is %s sun hours, outside 0 to 14", short4(v.v), short4(x)))
				}
				sum[m], n[m] = sum[m]+x, n[m]+1
			}
		}
		if c := t.column(tmean); c != nil {
			u, problems := t.tempUnit(g, c)
			ps = append(ps, problems...)
			for i, v := range c.values {
				if v.st == known {
					m := t.times[i].Month() - 1
					tempSum[m], tempN[m] = tempSum[m]+v.v*u.factor+u.offset, tempN[m]+1
				}
			}
		}
	}
	if len(ps) > 0 {
		return ps
	}
	return g.writeSun(tables, mean(sum, n), mean(tempSum, tempN), o)
}

func mean(sum, n [12]float64) (out [12]float64) {
	for m := range out {
		out[m] = sum[m] / n[m] // NaN without any
	}
	return out
}

// sunUnit finds how the values of a daily or monthly table turn into sun hours,
// kWh/m² a day.
func (t *table) sunUnit(c *column, o Options) (func(float64, time.Time) float64, Problems) {
	u, why, ok, ps := t.told(c, o, true)
	if len(ps) > 0 {
		return nil, ps
	}
	highest := 0.0
	for _, v := range c.values {
		if v.st == known {
			highest = math.Max(highest, v.v)
		}
	}
	if !ok {
		// A clear summer day has 6 to 9 kWh/m², 22 to 32 MJ/m²; whole months of
		// it never reach twice as much (from memory).
		switch {
		case highest > 3 && highest <= 11:
			u, why = unitNamed("kWh/m² a day"), fmt.Sprintf("by its size, at most %s", short4(highest))
		case highest > 15 && highest <= 36 && !t.monthly:
			u, why = unitNamed("MJ/m² a day"), fmt.Sprintf("by its size, at most %s", short4(highest))
		default:
			return nil, Problems{t.problem(t.headerLine, "say it: --unit kwh/m2/day, mj/m2/day, ly/day or w/m2", "nothing tells the unit of %s: its highest value is %s", nameOf(c), short4(highest))}
		}
	}
	factor := u.factor
	if u.kind == "sun" {
		factor = u.factor * 24 / 1000 // the mean of a day, W/m²
		if u.name == "W/m²" && highest > 1000 {
			factor = 1.0 / 1000 // Wh/m² a day is spelled like W/m²
			why += fmt.Sprintf("; up to %s, so Wh/m² a day", short4(highest))
		}
	}
	if t.monthly && factor*highest > 14 && factor*highest/28 < 14 {
		t.find(fmt.Sprintf("sun is in %s, the sum of a month; divided by its days", u.name), fmt.Sprintf("at most %s", short4(highest)))
		return func(v float64, at time.Time) float64 {
			return v * factor / float64(daysIn(typicalYear, int(at.Month())))
		}, nil
	}
	t.find("sun is in "+u.name, why)
	return func(v float64, _ time.Time) float64 { return v * factor }, nil
}

// writeSun lays out sun.csv.
func (g *Gathered) writeSun(tables []*table, sun, temp [12]float64, o Options) (ps Problems) {
	hasTemp := true
	for m := range 12 {
		if math.IsNaN(sun[m]) {
			ps = append(ps, Problem{File: tables[0].name, What: fmt.Sprintf("has no sun in %s", time.Month(m+1)), Hint: "all twelve months are needed"})
		}
		hasTemp = hasTemp && !math.IsNaN(temp[m])
		g.Months = append(g.Months, Total{Year: m, Sum: sun[m], Known: true})
	}
	if len(ps) > 0 {
		return ps
	}
	g.Unit = "kWh/m² a day"
	if site.OtherHemisphere(o.LatDeg, sun) {
		g.Warnings = append(g.Warnings, fmt.Sprintf("the sun hours run against the year: January has %s, July %s, at latitude %s; is the record of the other hemisphere, or the latitude's sign wrong (north is positive)?", number(sun[0], 2), number(sun[6], 2), number(o.LatDeg, 2)))
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# From %s. kWh/m2 a day on the horizontal, the mean of each month.\nmonth,sun_hours", sources(tables))
	if hasTemp {
		b.WriteString(",temp_c")
	}
	b.WriteByte('\n')
	for m := range 12 {
		fmt.Fprintf(&b, "%d,%s", m+1, number(sun[m], 3))
		if hasTemp {
			b.WriteString("," + number(temp[m], 2))
		}
		b.WriteByte('\n')
	}
	g.Outputs = append(g.Outputs, Output{"sun.csv", b.Bytes(), 12})
	if len(g.Set) == 0 {
		g.Set = append(g.Set, "[sun]", `file = "sun.csv"`)
	}
	return nil
}

// hourlySun makes sun-hourly.csv, and the sun hours of it.
func (g *Gathered) hourlySun(tables []*table, o Options) (ps Problems) {
	start, n, ps := hourSpan(tables)
	if len(ps) > 0 {
		return ps
	}
	qs, names := []quantity{ghi, dni, dhi, tmean}, []string{"ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_c"}
	values := make([][]float64, len(qs))
	typical := false
	for _, t := range tables {
		step, problems := t.stepOf()
		if len(problems) > 0 {
			ps = append(ps, problems...)
			continue
		}
		typical = typical || t.typical
		for k, q := range qs {
			c := t.column(q)
			if c == nil && q == ghi {
				c = t.column(daySun)
			}
			if c == nil {
				continue
			}
			u, problems := t.hourUnit(c, o, k == 0)
			if len(problems) > 0 {
				ps = append(ps, problems...)
				continue
			}
			v, lines := t.resample(start, n, c, step, func(x float64) float64 { return x*u.factor + u.offset })
			if values[k] == nil {
				values[k] = make([]float64, n)
				for i := range values[k] {
					values[k][i] = math.NaN()
				}
			}
			ps = append(ps, t.merge(values[k], v, lines, start, quantityNames[q])...)
		}
	}
	if len(ps) > 0 {
		return ps
	}
	if values[0] == nil {
		return Problems{{File: tables[0].name, What: "has no column of the sun on the horizontal"}}
	}
	comment := "From " + sources(tables) + ". Means of the hour that begins then, standard time."
	g.Set = append(g.Set, "[sun]", `hourly = "sun-hourly.csv"`)
	if typical {
		comment += fmt.Sprintf(" A typical year, its months of several years, written as %d.", typicalYear)
		g.Set = append(g.Set, "repeat = true")
	}
	if typical {
		g.closeYear(values, start)
	}
	g.writeHours("sun-hourly.csv", comment, names, values, start, []int{1, 1, 1, 2})
	// A day's sun hours are the mean of its hours, times 24.
	hour := func(v []float64) (out [12]float64) {
		var sum, k [12]float64
		for h, x := range v {
			if !math.IsNaN(x) {
				m := start.Add(time.Duration(h)*time.Hour).Month() - 1
				sum[m], k[m] = sum[m]+x, k[m]+1
			}
		}
		return mean(sum, k)
	}
	sun, temp := hour(values[0]), [12]float64{}
	for m := range temp {
		sun[m] *= 24.0 / 1000
		temp[m] = math.NaN()
	}
	if values[3] != nil {
		temp = hour(values[3])
	}
	g.sumMeans(start, values[0], "")
	g.Years, g.Months = nil, nil
	return g.writeSun(tables, sun, temp, o)
}

// hourUnit finds the unit of hourly sun or temperature.
func (t *table) hourUnit(c *column, o Options, main bool) (unit, Problems) {
	if c.q == tmean {
		return t.tempUnit(nil, c)
	}
	u, why, ok, ps := t.told(c, o, main)
	if len(ps) > 0 {
		return unit{}, ps
	}
	if ok && u.kind == "sun" {
		if t.g != nil {
			t.find(quantityNames[c.q]+" is in "+u.name, why)
		}
		return u, nil
	}
	highest := 0.0
	for _, v := range c.values {
		if v.st == known {
			highest = math.Max(highest, v.v)
		}
	}
	if highest > 300 && highest < 1700 {
		t.find(quantityNames[c.q]+" is in W/m²", fmt.Sprintf("by its size, at most %s", short4(highest)))
		return unitNamed("W/m²"), nil
	}
	return unit{}, Problems{t.problem(t.headerLine, "say it: --unit w/m2 or kw/m2", "nothing tells the unit of %s: its highest value is %s", nameOf(c), short4(highest))}
}

// closeYear fills up to three hours that a typical year lacks at its beginning
// or its end from the same hours of the day beside them.
func (g *Gathered) closeYear(values [][]float64, start time.Time) {
	first := time.Date(typicalYear, 1, 1, 0, 0, 0, 0, time.UTC)
	from := int(first.Sub(start).Hours())
	to := from + 365*24 - 1
	filled := 0
	for _, v := range values {
		if v == nil || to >= len(v) {
			continue
		}
		n := 0
		for k := range 3 {
			if h := from + 2 - k; math.IsNaN(v[h]) && !math.IsNaN(v[h+24]) {
				v[h] = v[h+24]
				n++
			}
			if h := to - 2 + k; math.IsNaN(v[h]) && !math.IsNaN(v[h-24]) {
				v[h] = v[h-24]
				n++
			}
		}
		filled = max(filled, n)
	}
	if filled > 0 {
		g.Warnings = append(g.Warnings, fmt.Sprintf("%s missing at the ends of the typical year: taken from the day beside", measure.Plural(filled, "hour was", "hours were")))
	}
}
