package site

import (
	"math"
	"time"

	"sunrill/sources/stream"
)

// stream reads [stream]: one of the three models.
func (l *loader) stream(t *table) {
	s := &Stream{}
	model := t.choice("model", []string{"curve", "catchment", "record"}, need("\"curve\" (from bucket readings), \"catchment\" (GR4J) or \"record\" (an own flow record)"))
	var fitted map[string]float64
	if file := t.file("parameters", optional); file != "" && l.o.Unfitted {
		// An earlier fit, which the coming one does not ask.
	} else if file != "" && model != "record" {
		fitted = l.parameters(file, model)
	} else if file != "" {
		t.wrong("parameters", "they belong to the models curve and catchment", "a record has no parameters")
	}
	switch model {
	case "curve":
		s.Curve = l.curve(t, fitted)
	case "catchment":
		s.Catchment = l.catchment(t, fitted)
	case "record":
		s.Record = l.flowRecord(t.file("file", or("flow.csv", "its usual name")))
	}
	t.forgive(model)
	t.done()
	if model == "curve" || model == "catchment" {
		sun := &l.site.Sun
		if rain := l.site.Rain; rain.RainMM != nil && rain.TMinC == nil && l.sunRead && !sun.HasTemp {
			t.wrong("model", "add tmin_c and tmax_c to rain.csv, or temp_c to sun.csv", "the model needs temperatures, to know what evaporates")
		}
	}
	l.site.Stream = s
	l.gaugings()
}

// streamKeys are the keys of the three models. Those of the models that are
// not chosen may stay in the file.
var streamKeys = []string{"model", "parameters", "file", "yield", "area",
	"soil_depth", "quick_share", "quick_days", "recession_days", "floor", "gain", "exponent", "x1", "x2", "x3", "x4"}

// forgive makes the keys of all models known, and warns of those that have
// no meaning in the model that is chosen.
func (t *table) forgive(model string) {
	asked := append([]string(nil), t.known...)
	for _, k := range streamKeys {
		was := false
		for _, a := range asked {
			was = was || a == k
		}
		if t.has(k) && !was && model != "" {
			t.l.warn("stream.%s has no meaning in the model %q", k, model)
		}
	}
}

// unlessUnfitted makes a required parameter one with a placeholder where the
// site is read for a fit.
func (l *loader) unlessUnfitted(a absent, text string) absent {
	if l.o.Unfitted {
		return or(text, "a placeholder until the fit")
	}
	return a
}

// parameter reads a parameter of a model: from stream.csv if it is there,
// else from its key.
func (t *table) parameter(fitted map[string]float64, column, key string, m *Measure, low, high, factor float64, a absent) float64 {
	if v, ok := fitted[column]; ok {
		if t.has(key) {
			t.wrong(key, "delete this line, or take the parameter out of the file", "the fitted parameters tell %s as well", column)
		}
		si := v * factor
		if !(si >= low && si <= high) {
			t.wrong("parameters", "", "%s = %s is outside %s to %s", column, trimNumber(v), trimNumber(low/factor), trimNumber(high/factor))
		}
		return si
	}
	return t.quantity(key, m, low, high, a)
}

func (l *loader) curve(t *table, fitted map[string]float64) *stream.Curve {
	c := &stream.Curve{
		SoilDepthMM:   t.parameter(fitted, "soil_depth_mm", "soil_depth", Depth, 1, 5000, 1, or("120 mm", "judgement: what a dry hillside soaks up before the creek answers; fit tells better")),
		QuickShare:    t.parameter(fitted, "quick_share", "quick_share", Factor, 0, 1, 1, or("0.15", "judgement; fit tells better")),
		QuickDays:     t.parameter(fitted, "quick_days", "quick_days", Days, 0.05, 60, 1, or("1.5 days", "judgement; fit tells better")),
		RecessionDays: t.parameter(fitted, "recession_days", "recession_days", Days, 0.5, 1000, 1, l.unlessUnfitted(need("the days in which the flow falls to 37 % without rain: recession_days = 30; \"sunrill fit\" finds it from gaugings.csv"), "30 days")),
	}
	area := optional
	if c.QuickShare > 0 {
		area = or("0 ha", "not given: the quick share of the rain does not show in the creek")
	}
	c.AreaM2 = t.parameter(fitted, areaColumn, "area", Area, 0, 1e10, 1e6, area)
	if t.has("yield") {
		for _, k := range []string{"floor", "gain", "exponent"} {
			if t.has(k) {
				t.wrong(k, "the table of yield.csv stands for floor, gain and exponent", "is given beside yield")
			}
		}
		c.Exponent = 1
		c.Table = l.yield(t.file("yield", optional))
		return c
	}
	c.FloorM3S = t.parameter(fitted, "floor_lps", "floor", Flow, 0, 100, 1e-3, or("0 L/s", "not given: the creek may run dry"))
	c.GainM3S = t.parameter(fitted, "gain_lps", "gain", Flow, 1e-9, 100, 1e-3, l.unlessUnfitted(need("the flow at a wetness of 1 mm a day: gain = \"0.9 L/s\"; \"sunrill fit\" finds it from gaugings.csv"), "1 L/s"))
	c.Exponent = t.parameter(fitted, "exponent", "exponent", Factor, 0.1, 10, 1, or("1", "flow in step with wetness"))
	return c
}

func (l *loader) catchment(t *table, fitted map[string]float64) *stream.Catchment {
	const published = "the median of the catchments that the model was published with, from memory; fit tells better"
	return &stream.Catchment{
		AreaM2: t.parameter(fitted, areaColumn, "area", Area, 100, 1e10, 1e6, l.unlessUnfitted(need("the land that drains to the intake: area = \"40 ha\"; \"sunrill fit\" finds it too"), "0 ha")),
		X1MM:   t.parameter(fitted, "x1_mm", "x1", Depth, 1, 1e4, 1, or("350 mm", published)),
		X2MMD:  t.parameter(fitted, "x2_mm_day", "x2", DepthRate, -50, 50, 1, or("0 mm/day", published)),
		X3MM:   t.parameter(fitted, "x3_mm", "x3", Depth, 0.1, 5000, 1, or("90 mm", published)),
		X4D:    t.parameter(fitted, "x4_days", "x4", Days, 0.5, 20, 1, or("1 days", "a small creek answers within a day; fit tells better")),
	}
}

type yieldRow struct {
	Index   number `csv:"index_mm"`
	FlowLPS number `csv:"flow_lps"`
	FlowGPM number `csv:"flow_gpm"`
}

var flowChoice = []column{{"flow_lps", "flow", true}, {"flow_gpm", "flow", true}}

const (
	gallonMinM3S = gallonL * 1e-3 / 60
	greatestM3S  = 100 // a homestead's creek, generously
)

// flowOf returns the flow of a row that has one of the two columns.
func flowOf(s *sheet, lps, gpm number) (m3s float64, name string) {
	if s.has["flow_gpm"] {
		return float64(gpm) * gallonMinM3S, "flow_gpm"
	}
	return float64(lps) * 1e-3, "flow_lps"
}

// yield reads a table of wetness index and flow.
func (l *loader) yield(file string) []stream.YieldPoint {
	if file == "" {
		return nil
	}
	rows, s, ok := readTable[yieldRow](l, file, "it holds index_mm, flow_lps, rising", append([]column{{"index_mm", "", true}}, flowChoice...))
	if s == nil || !ok {
		return nil
	}
	var points []stream.YieldPoint
	for i, r := range rows {
		q, name := flowOf(s, r.FlowLPS, r.FlowGPM)
		p := stream.YieldPoint{IndexMM: float64(r.Index), FlowM3S: q}
		if q < 0 || q > greatestM3S {
			s.wrong(i, name, "", "%s m3/s is outside 0 to %d m3/s", trimNumber(q), greatestM3S)
		}
		if p.IndexMM < 0 || p.IndexMM > 1000 {
			s.wrong(i, "index_mm", "the wetness index in mm a day", "%s is outside 0 to 1000", trimNumber(p.IndexMM))
		}
		if i > 0 && p.IndexMM <= points[i-1].IndexMM {
			s.wrong(i, "index_mm", "begin with the driest", "the index does not rise above the row before it")
		}
		if i > 0 && p.FlowM3S < points[i-1].FlowM3S {
			s.wrong(i, name, "a wetter ground never gives less", "the flow falls below the row before it")
		}
		points = append(points, p)
	}
	if len(points) < 2 {
		l.problems = append(l.problems, Problem{File: file, What: "one point makes no curve", Hint: "give two points at least"})
	}
	return points
}

type flowRow struct {
	Date    dayCell `csv:"date"`
	FlowLPS number  `csv:"flow_lps"`
	FlowGPM number  `csv:"flow_gpm"`
}

// flowRecord reads the owner's own record of the creek.
func (l *loader) flowRecord(file string) *stream.FlowRecord {
	if file == "" {
		return nil
	}
	rows, s, ok := readTable[flowRow](l, file, "it holds a row a day: date, flow_lps", append([]column{{"date", "", true}}, flowChoice...))
	if s == nil || len(rows) == 0 {
		return nil
	}
	days, flows := make([]time.Time, len(rows)), make([]float64, len(rows))
	for i, r := range rows {
		q, name := flowOf(s, r.FlowLPS, r.FlowGPM)
		if q < 0 || q > greatestM3S {
			s.wrong(i, name, "a mark for a missing day has to go: leave out the row", "%s m3/s is outside 0 to %d m3/s", trimNumber(q), greatestM3S)
			ok = false
		}
		days[i], flows[i] = r.Date.Time, q
	}
	if !s.inOrder("date", days, 24*time.Hour) {
		return nil
	}
	n := int(days[len(days)-1].Sub(days[0]).Hours()/24) + 1
	y, m, d := days[0].Date()
	rec := &stream.FlowRecord{Start: time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone()), FlowM3S: make([]float64, n)}
	filled, last := 0, -1
	for i, q := range flows {
		k := int(days[i].Sub(days[0]).Hours() / 24)
		if gap := k - last - 1; gap > shortGapDays {
			s.wrong(i, "date", "fill in what you know of these days, or cut the record there", "%d days are missing before this row", gap)
		} else if gap > 0 {
			for j := 1; j <= gap; j++ {
				rec.FlowM3S[last+j] = flows[i-1] + (q-flows[i-1])*float64(j)/float64(gap+1)
			}
			filled += gap
		}
		rec.FlowM3S[k], last = q, k
	}
	if filled > 0 {
		l.warn("%s: gaps of 1 to %d days filled by straight lines, %s in all", file, shortGapDays, count(filled, "day"))
	}
	if !ok {
		return nil
	}
	l.commonDays(rec, file)
	return rec
}

// commonDays checks that rain and flow are known of the same days.
func (l *loader) commonDays(rec *stream.FlowRecord, file string) {
	r := &l.site.Rain
	if r.Days() == 0 {
		return
	}
	from := max(0, r.Index(rec.Start))
	to := min(r.Days(), r.Index(rec.Start)+len(rec.FlowM3S))
	if to-from < 365 {
		l.problems = append(l.problems, Problem{File: file, What: "has less than a year in common with the rain record", Hint: "both are needed for every day of a year"})
		return
	}
	if from > 0 || to < r.Days() {
		l.warn("%s and the rain record have the days from %s to %s in common; only years within them can be run", file, r.Start.AddDate(0, 0, from).Format("2006-01-02"), r.Start.AddDate(0, 0, to-1).Format("2006-01-02"))
	}
}

type parameterRow struct {
	Parameter string `csv:"parameter"`
	Value     number `csv:"value"`
	Low       maybe  `csv:"low"`
	High      maybe  `csv:"high"`
}

var (
	parameterColumns = []column{{"parameter", "", true}, {"value", "", true}, {"low", "", false}, {"high", "", false}}
	curveColumns     = []string{"soil_depth_mm", "quick_share", "quick_days", "recession_days", "floor_lps", "gain_lps", "exponent"}
	catchmentColumns = []string{"x1_mm", "x2_mm_day", "x3_mm", "x4_days"}
)

// areaColumn stands in stream.csv where the site does not tell the area and it
// was fitted with the rest.
const areaColumn = "area_km2"

// parameters reads the fitted parameters of a model.
func (l *loader) parameters(file, model string) map[string]float64 {
	rows, s, ok := readTable[parameterRow](l, file, "\"sunrill fit\" writes it from gaugings.csv", parameterColumns)
	if s == nil || !ok {
		return nil
	}
	known, other := curveColumns, catchmentColumns
	if model == "catchment" {
		known, other = other, known
	}
	fitted := map[string]float64{}
	for i, r := range rows {
		name := r.Parameter
		if _, twice := fitted[name]; twice {
			s.wrong(i, "parameter", "keep one of them", "%q stands there twice", name)
		}
		if !contains(known, name) && name != areaColumn {
			hint := didYouMean(name, known)
			if contains(other, name) {
				hint = "it belongs to another model than [stream] model = \"" + model + "\""
			}
			s.wrong(i, "parameter", hint, "%q is no parameter of the model", short(name))
			continue
		}
		fitted[name] = float64(r.Value)
	}
	return fitted
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

type gaugingRow struct {
	Date    dayCell `csv:"date"`
	Method  string  `csv:"method"`
	VolumeL maybe   `csv:"volume_l"`
	Seconds string  `csv:"seconds"`
	FlowLPS maybe   `csv:"flow_lps"`
	FlowGPM maybe   `csv:"flow_gpm"`
	Note    string  `csv:"note"`
}

const gaugingsFile = "gaugings.csv"

var (
	gaugingColumns = []column{{"date", "", true}, {"method", "", true}, {"volume_l", "", false}, {"seconds", "", false}, {"flow_lps", "flow", false}, {"flow_gpm", "flow", false}, {"note", "", false}}
	methods        = []string{"bucket", "weir", "float", "meter"}
)

// gaugings reads gaugings.csv, if it is there.
func (l *loader) gaugings() {
	if !l.exists(gaugingsFile) {
		return
	}
	rows, s, ok := readTable[gaugingRow](l, gaugingsFile, "it may be left out", gaugingColumns)
	if s == nil {
		return
	}
	rain := l.site.Rain
	outside := 0
	for i, r := range rows {
		g := stream.Gauging{Method: r.Method, Note: r.Note, Line: s.line(i)}
		if !contains(methods, r.Method) {
			s.wrong(i, "method", didYouMean(r.Method, methods), "%q is no method", short(r.Method))
			continue
		}
		y, m, d := r.Date.Date()
		g.Date = time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone())
		l.gaugedFlow(s, i, r, &g)
		if !r.Date.IsZero() && rain.Days() > 0 {
			if k := rain.Index(g.Date); k < 0 || k >= rain.Days() {
				outside++
			}
		}
		l.site.Gaugings = append(l.site.Gaugings, g)
	}
	if !ok {
		return
	}
	if outside > 0 {
		l.warn("%s: %s outside the days of the rain record; fit cannot use them", gaugingsFile, count(outside, "reading"))
	}
	for _, d := range stream.Disagreements(l.site.Gaugings) {
		l.warn("%s: lines %d and %d tell different flows for %s, %s L/s by %s and %s L/s by %s: look which is right", gaugingsFile, d.A.Line, d.B.Line, d.A.Date.Format("2006-01-02"),
			trimNumber(d.A.FlowM3S*1e3), d.A.Method, trimNumber(d.B.FlowM3S*1e3), d.B.Method)
	}
}

// gaugedFlow works out the flow of a reading.
func (l *loader) gaugedFlow(s *sheet, i int, r gaugingRow, g *stream.Gauging) {
	flow, name := r.FlowLPS, "flow_lps"
	factor := 1e-3
	if s.has["flow_gpm"] {
		flow, name, factor = r.FlowGPM, "flow_gpm", gallonMinM3S
	}
	fromBucket := r.VolumeL.given || r.Seconds != ""
	switch {
	case fromBucket:
		seconds, ok := l.timings(s, i, r.Seconds)
		if !r.VolumeL.given {
			s.wrong(i, "volume_l", "the volume of the bucket up to the mark", "the volume is missing")
			return
		}
		if !(r.VolumeL.value > 0) {
			s.wrong(i, "volume_l", "", "the volume must be above 0")
			return
		}
		if !ok {
			return
		}
		reading, err := stream.Bucket(r.VolumeL.value*1e-3, seconds)
		if err != nil {
			s.wrong(i, "seconds", "", "%s", err)
			return
		}
		g.FlowM3S, g.ErrorM3S = reading.FlowM3S, reading.ErrorM3S
		if flow.given && math.Abs(flow.value*factor-g.FlowM3S) > 0.02*g.FlowM3S {
			s.wrong(i, name, "leave the flow empty: it follows from volume and seconds", "the flow is not the volume divided by the seconds")
		}
	case flow.given:
		g.FlowM3S = flow.value * factor
		if g.FlowM3S < 0 || g.FlowM3S > greatestM3S {
			s.wrong(i, name, "", "%s is no flow of a creek", trimNumber(flow.value))
		}
	default:
		s.wrong(i, "method", "give volume_l and seconds of a bucket, or the flow", "the reading has no figures")
	}
}

// timings reads "14.2 13.8 14.5": the seconds of one or more fills.
func (l *loader) timings(s *sheet, i int, cell string) (seconds []float64, ok bool) {
	ok = true
	for _, word := range splitWords(cell) {
		v, err := cellNumber(word)
		if err != nil || !(v > 0) || v > 1e5 {
			s.wrong(i, "seconds", "the seconds that a fill took, above 0; several fills apart by spaces", "%q is no time of a fill", short(word))
			ok = false
			continue
		}
		seconds = append(seconds, v)
	}
	if ok && len(seconds) == 0 {
		s.wrong(i, "seconds", "the seconds that the fill took", "the seconds are missing")
		ok = false
	}
	return seconds, ok
}
