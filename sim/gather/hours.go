package gather

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
)

// resample lays a column on the hours that all tables span: the mean of the
// rows of an hour, of which half at least have to be known. per turns a raw
// value into what is averaged.
func (t *table) resample(start time.Time, n int, c *column, step time.Duration, per func(float64) float64) ([]float64, []int) {
	sum, rows, first := make([]float64, n), make([]int, n), make([]int, n)
	for i, v := range c.values {
		if v.st != known {
			continue
		}
		at := t.times[i]
		if t.ending {
			at = at.Add(-step)
		}
		h := int(at.Sub(start) / time.Hour)
		if at.Before(start) || h >= n {
			continue
		}
		if rows[h] == 0 {
			first[h] = t.lines[i]
		}
		sum[h] += per(v.v)
		rows[h]++
	}
	full := math.Max(1, float64(time.Hour)/float64(step))
	for h := range sum {
		if rows[h] == 0 || float64(rows[h]) < full/2 {
			sum[h] = math.NaN()
			continue
		}
		sum[h] /= float64(rows[h])
	}
	return sum, first
}

// inOrder tells rows that go back in time or stand twice.
func (t *table) inOrder() (ps Problems) {
	for i := 1; i < len(t.times); i++ {
		a, b := t.times[i-1], t.times[i]
		switch {
		case b.Equal(a):
			ps = append(ps, t.problem(t.lines[i], "keep one of them; a clock put back in autumn tells an hour twice: write standard time all year", "%s stands there twice", b.Format("2006-01-02 15:04")))
		case b.Before(a):
			ps = append(ps, t.problem(t.lines[i], "sort the rows by time; write standard time all year", "%s comes after %s", b.Format("2006-01-02 15:04"), a.Format("2006-01-02 15:04")))
		}
	}
	return ps
}

// hourSpan is the span of hours of all tables.
func hourSpan(tables []*table) (start time.Time, n int, ps Problems) {
	grid, ps := gridOf(tables)
	if len(ps) > 0 {
		return time.Time{}, 0, ps
	}
	rows := 0
	for _, t := range tables {
		rows += len(t.times)
	}
	if grid.n > 3000+rows {
		return time.Time{}, 0, Problems{{File: tables[0].name, What: fmt.Sprintf("the %s run from %s to %s, with hardly a row a day", measure.Plural(rows, "row", "rows"), iso(grid.start), iso(grid.day(grid.n-1))), Hint: "is the year of the first or the last right?"}}
	}
	// A row that ends an hour belongs to the day before.
	start = grid.start.AddDate(0, 0, -1)
	return start, 24 * (grid.n + 1), nil
}

// stepOf returns the usual step of a table that has to be hourly at least.
func (t *table) stepOf() (time.Duration, Problems) {
	ps := t.inOrder()
	if len(ps) > 0 {
		return 0, ps
	}
	step, even := t.step()
	switch {
	case step == 0 || step > time.Hour:
		what := "has one row"
		if step > 0 {
			what = "has a row every " + stepWords(step)
		}
		return 0, Problems{{File: t.name, What: what, Hint: "export the record by the hour or finer"}}
	case time.Hour%step != 0 && even > 0.5:
		t.find(fmt.Sprintf("a row every %s, averaged over each hour", stepWords(step)), "")
	case step < time.Hour:
		t.find(fmt.Sprintf("a row every %s, averaged over each hour", stepWords(step)), fmt.Sprintf("%.0f %% of the rows keep to it", 100*even))
	}
	return step, nil
}

// hourly makes demand.csv or meter.csv.
func (g *Gathered) hourly(tables []*table, o Options) (ps Problems) {
	start, n, ps := hourSpan(tables)
	if len(ps) > 0 {
		return ps
	}
	qs, names, file := []quantity{demand}, []string{"demand_w"}, "demand.csv"
	if g.Kind == Meter {
		qs, names, file = []quantity{soc, hydroW, pvW}, []string{"soc_pct", "hydro_w", "pv_w"}, "meter.csv"
	}
	values := make([][]float64, len(qs))
	for _, t := range tables {
		step, problems := t.stepOf()
		if len(problems) > 0 {
			ps = append(ps, problems...)
			continue
		}
		for k, q := range qs {
			c := t.column(q)
			if c == nil {
				continue
			}
			per, problems := t.powerOf(c, step, o, k == 0)
			if len(problems) > 0 {
				ps = append(ps, problems...)
				continue
			}
			v, lines := t.resample(start, n, c, step, per)
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
	g.writeHours(file, "From "+sources(tables)+". Means of the hour that begins then, standard time; hours that are not known are left out.", names, values, start, []int{1, 1, 1})
	g.sumMeans(start, values[0], map[Kind]string{Demand: "W", Meter: "%"}[g.Kind])
	if g.Kind == Demand {
		g.Set = append(g.Set, "[loads]", `hourly = "demand.csv"`)
	}
	return nil
}

// merge lays one table's hours over those of the files before.
func (t *table) merge(into, v []float64, lines []int, start time.Time, what string) (ps Problems) {
	for h, x := range v {
		switch {
		case math.IsNaN(x):
		case math.IsNaN(into[h]) || math.Abs(into[h]-x) <= 1e-6*(1+math.Abs(x)):
			into[h] = x
		default:
			ps = append(ps, t.problem(lines[h], "take the hour out of one of the files", "%s of %s is %s here and %s in a file before", what, start.Add(time.Duration(h)*time.Hour).Format("2006-01-02 15:04"), short4(x), short4(into[h])))
		}
	}
	return ps
}

// powerOf finds how the values of a column turn into W, or into % of a bank's
// charge.
func (t *table) powerOf(c *column, step time.Duration, o Options, main bool) (func(float64) float64, Problems) {
	if c.q == soc {
		highest := 0.0
		for _, v := range c.values {
			if v.st == known {
				highest = math.Max(highest, v.v)
			}
		}
		if highest <= 1 && highest > 0 {
			t.find("charge is a share of 1, written in %", fmt.Sprintf("the highest is %s", short4(highest)))
			return func(v float64) float64 { return 100 * v }, nil
		}
		return func(v float64) float64 { return v }, nil
	}
	u, why, ok, ps := t.told(c, o, main)
	if len(ps) > 0 {
		return nil, ps
	}
	if !ok {
		return nil, Problems{t.problem(t.headerLine, "say it: --unit W, kW, Wh or kWh", "nothing tells the unit of %s", nameOf(c))}
	}
	t.find(quantityNames[c.q]+" is in "+u.name, why)
	if u.kind == "power" {
		return func(v float64) float64 { return v * u.factor }, nil
	}
	if t.countsUp(c) {
		t.find(nameOf(c)+" counts up: the energy of a row is its rise to the next", "it never falls")
		t.rises(c)
	}
	hours := step.Hours()
	return func(v float64) float64 { return v * u.factor / hours }, nil
}

// countsUp tells a meter's register: it never falls, and does not begin at
// nothing.
func (t *table) countsUp(c *column) bool {
	before, n := math.Inf(-1), 0
	first := math.NaN()
	for _, v := range c.values {
		if v.st != known {
			continue
		}
		if v.v < before {
			return false
		}
		if math.IsNaN(first) {
			first = v.v
		}
		before = v.v
		n++
	}
	return n >= 24 && before > first
}

// rises replaces a register by its rise to the next row.
func (t *table) rises(c *column) {
	for i := range c.values {
		if i+1 == len(c.values) || c.values[i].st != known || c.values[i+1].st != known {
			c.values[i] = value{}
			continue
		}
		c.values[i].v = c.values[i+1].v - c.values[i].v
	}
}

// writeHours lays out an hourly file; columns without a slice are left out, and
// rows without a value.
func (g *Gathered) writeHours(file, comment string, names []string, values [][]float64, start time.Time, decimals []int) {
	var b bytes.Buffer
	b.WriteString("# " + comment + "\ntime")
	n := 0
	for k, v := range values {
		if v != nil {
			b.WriteString("," + names[k])
			n = len(v)
		}
	}
	b.WriteByte('\n')
	rows := 0
	for h := range n {
		any := false
		for _, v := range values {
			any = any || v != nil && !math.IsNaN(v[h])
		}
		if !any {
			continue
		}
		rows++
		b.WriteString(start.Add(time.Duration(h) * time.Hour).Format("2006-01-02 15:04"))
		for k, v := range values {
			if v == nil {
				continue
			}
			b.WriteByte(',')
			if !math.IsNaN(v[h]) {
				b.WriteString(number(v[h], decimals[k]))
			}
		}
		b.WriteByte('\n')
	}
	g.Outputs = append(g.Outputs, Output{file, b.Bytes(), rows})
}

// sumMeans takes the means of years and months of an hourly or daily record.
func (g *Gathered) sumMeans(start time.Time, v []float64, unit string) {
	g.sumSteps(start, v, unit, time.Hour)
}

func (g *Gathered) sumSteps(start time.Time, v []float64, unit string, step time.Duration) {
	g.Unit = unit
	perDay := float64(24*time.Hour) / float64(step)
	years := map[int]*Total{}
	var order []int
	months := make([]Total, 12)
	last := -1
	for i, x := range v {
		if math.IsNaN(x) {
			continue
		}
		at := start.Add(time.Duration(i) * step)
		if last >= 0 && i > last+1 {
			g.Gaps = append(g.Gaps, Span{start.Add(time.Duration(last+1) * step), start.Add(time.Duration(i-1) * step)})
		}
		last = i
		if g.From.IsZero() {
			g.From = at
		}
		g.To = at
		y := years[at.Year()]
		if y == nil {
			y = &Total{Year: at.Year()}
			years[at.Year()] = y
			order = append(order, at.Year())
		}
		m := &months[at.Month()-1]
		y.Sum, m.Sum = y.Sum+x, m.Sum+x
		y.Days, m.Days = y.Days+1, m.Days+1
		if x > g.Largest {
			g.Largest, g.LargeAt = x, at
		}
	}
	for _, k := range order {
		y := years[k]
		y.Sum /= float64(y.Days)
		y.Days = int(float64(y.Days)/perDay + 0.5)
		y.Known = y.Days >= 360
		g.Years = append(g.Years, *y)
	}
	for m := range months {
		months[m].Year = m
		if months[m].Days > 0 {
			months[m].Sum /= float64(months[m].Days)
			months[m].Days = int(float64(months[m].Days)/perDay + 0.5)
			months[m].Known = true
		}
	}
	g.Months = months
}

func sources(tables []*table) string {
	var names []string
	for _, t := range tables {
		names = append(names, strings.Map(printable, t.name))
	}
	if len(names) > 6 {
		names = append(names[:6], "…")
	}
	return strings.Join(names, ", ")
}

// flow makes flow.csv: the mean of each day.
func (g *Gathered) flow(tables []*table, o Options) (ps Problems) {
	grid, ps := gridOf(tables)
	if len(ps) > 0 {
		return ps
	}
	days := grid.room()
	gpm := true
	for _, t := range tables {
		c := t.column(flow)
		u, why, ok, problems := t.told(c, o, true)
		if len(problems) == 0 && !ok {
			problems = Problems{t.problem(t.headerLine, "say it: --unit L/s, gpm, cfs or m3/s", "nothing tells the unit of %s", nameOf(c))}
		}
		if len(problems) > 0 {
			ps = append(ps, problems...)
			continue
		}
		t.find("flow is in "+u.name, why)
		gpm = gpm && u.name == "gal/min"
		step, _ := t.step()
		if step > 0 && step < 20*time.Hour && !t.oneADay() {
			if problems := t.inOrder(); len(problems) > 0 {
				ps = append(ps, problems...)
				continue
			}
			t.find(fmt.Sprintf("a row every %s, averaged over each day", stepWords(step)), "days with less than half their rows are gaps")
		}
		sum, rows, line := make([]float64, grid.n), make([]int, grid.n), make([]int, grid.n)
		for i, v := range c.values {
			if v.st == known {
				k := grid.index(t.times[i])
				sum[k] += v.v * u.factor
				rows[k]++
				line[k] = t.lines[i]
				if v.v < 0 {
					ps = append(ps, t.problem(t.lines[i], "a mark for a missing value? leave the cell empty", "a flow cannot be negative: %s", short4(v.v)))
				}
			}
		}
		full := 1.0
		if step > 0 && step < 20*time.Hour && !t.oneADay() {
			full = float64(24*time.Hour) / float64(step)
		}
		for k := range sum {
			if rows[k] > 0 && float64(rows[k]) >= full/2 {
				days.set(k, sum[k]/float64(rows[k]), place{t.name, line[k]}, &ps, grid.day(k), "the flow in L/s")
			}
		}
	}
	if len(ps) > 0 {
		return ps
	}
	name, factor := "flow_lps", 1.0
	if gpm {
		name, factor = "flow_gpm", gpmLPS
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# From %s. Means of the day; days that are not known are left out.\ndate,%s\n", sources(tables), name)
	rows := 0
	for k, v := range days.v {
		if !math.IsNaN(v) {
			rows++
			days.v[k] = v / factor
			fmt.Fprintf(&b, "%s,%s\n", iso(grid.day(k)), number(v/factor, 4))
		}
	}
	g.Outputs = append(g.Outputs, Output{"flow.csv", b.Bytes(), rows})
	g.Set = append(g.Set, "[stream]", `model = "record"`, `file = "flow.csv"`)
	g.sumSteps(grid.start, days.v, map[bool]string{true: "gal/min", false: "L/s"}[gpm], 24*time.Hour)
	return nil
}

// readings makes gaugings.csv.
func (g *Gathered) readings(tables []*table, o Options) (ps Problems) {
	type reading struct {
		at                                   time.Time
		method, volume, seconds, lps, remark string
	}
	var all []reading
	hasNote := false
	for _, t := range tables {
		factor := map[quantity]float64{volume: 1, flow: 1}
		for _, q := range []quantity{volume, flow} {
			c := t.column(q)
			if c == nil {
				continue
			}
			u, why, ok, problems := t.told(c, o, q == flow)
			if len(problems) == 0 && !ok {
				known := map[quantity]string{volume: "L or gal", flow: "L/s, gpm, cfs or m3/s"}[q]
				problems = Problems{t.problem(t.headerLine, "write it into the header: "+quantityNames[q]+" ("+known+")", "nothing tells the unit of %s", nameOf(c))}
			}
			ps = append(ps, problems...)
			factor[q] = u.factor
			t.find(quantityNames[q]+" is in "+u.name, why)
		}
		get := func(q quantity, i int) (float64, bool) {
			c := t.column(q)
			if c == nil || c.values[i].st != known {
				return 0, false
			}
			return c.values[i].v * factor[q], true
		}
		text := func(q quantity, i int) string {
			if t.texts[q] == nil {
				return ""
			}
			return t.texts[q][i]
		}
		taken := map[string]int{}
		for i, at := range t.times {
			r := reading{at: at, method: strings.ToLower(text(method, i)), remark: text(note, i)}
			if v, ok := get(volume, i); ok {
				r.volume = number(v, 3)
			}
			var bad string
			if r.seconds, bad = timings(text(seconds, i)); bad != "" {
				ps = append(ps, t.problem(t.lines[i], "the seconds of each fill, spaces between: 14.2 13.8", "%q is no time of a fill", clip(bad)))
			}
			if v, ok := get(flow, i); ok && (r.volume == "" || r.seconds == "") {
				r.lps = number(v, 5)
				r.volume, r.seconds = "", ""
			}
			switch {
			case r.seconds == "" && r.lps == "":
				ps = append(ps, t.problem(t.lines[i], "give volume and seconds of a bucket, or the flow; else take the row out", "the reading has no figures"))
				continue
			case strings.Contains(r.method, "bucket") || strings.Contains(r.method, "pail") || r.method == "" && r.seconds != "":
				r.method = "bucket"
			case strings.Contains(r.method, "weir") || strings.Contains(r.method, "notch"):
				r.method = "weir"
			case strings.Contains(r.method, "float"):
				r.method = "float"
			case r.method == "" || strings.Contains(r.method, "meter"):
				if r.method == "" {
					taken["meter"]++
				}
				r.method = "meter"
			default:
				ps = append(ps, t.problem(t.lines[i], "bucket, weir, float or meter", "%q is no method", clip(r.method)))
				continue
			}
			hasNote = hasNote || r.remark != ""
			all = append(all, r)
		}
		if n := taken["meter"]; n > 0 {
			t.find(measure.Plural(n, "reading", "readings")+` written as by "meter"`, "they have a flow and no method; change it in the file if it was a weir or a float")
		}
	}
	if len(ps) > 0 {
		return ps
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# From %s.\ndate,method,volume_l,seconds,flow_lps,note\n", sources(tables))
	for _, r := range all {
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s,%s\n", iso(r.at), r.method, r.volume, r.seconds, r.lps, quoted(files.AsText(r.remark)))
		if g.From.IsZero() || r.at.Before(g.From) {
			g.From = r.at
		}
		if r.at.After(g.To) {
			g.To = r.at
		}
	}
	g.Outputs = append(g.Outputs, Output{"gaugings.csv", b.Bytes(), len(all)})
	return nil
}

// quoted writes a text as one cell.
func quoted(s string) string {
	s = strings.Map(printable, s)
	if strings.ContainsAny(s, `",#`) {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

// timings turns "14,2 / 13,8", "14.2; 13.8" or "1:05" into seconds with spaces
// between.
func timings(text string) (out, bad string) {
	if text == "" {
		return "", ""
	}
	text = strings.NewReplacer(";", " ", "/", " ", ", ", " ", "&", " ", "+", " ").Replace(text)
	var words []string
	for _, w := range strings.Fields(text) {
		w = strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(w, "sec"), "s"), ",")
		if w == "" {
			continue
		}
		minutes := 0.0
		if m, s, ok := strings.Cut(w, ":"); ok {
			if !allDigits(m) {
				return "", w
			}
			minutes, w = float64(num(m)), s
		}
		v, ok := plainNumber(strings.Replace(w, ",", ".", 1))
		if !ok || v+minutes <= 0 {
			return "", w
		}
		words = append(words, number(60*minutes+v, 2))
	}
	return strings.Join(words, " "), ""
}
