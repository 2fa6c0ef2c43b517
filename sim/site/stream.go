package site

import (
	"maps"
	"slices"
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

// stream reads [stream]: one of the three models.
func (l *loader) stream(t *files.Table) {
	s := &Stream{}
	model := t.Choice("model", []string{"curve", "catchment", "record"}, files.Need("\"curve\" (from bucket readings), \"catchment\" (GR4J) or \"record\" (an own flow record)"))
	var fitted map[string]float64
	file := t.File("parameters", files.Optional)
	if file != "" && l.o.Unfitted {
		// An earlier fit, which the coming one does not ask.
	} else if file != "" && model != "record" {
		fitted = l.parameters(file, model, &s.Fitted)
	} else if file != "" {
		t.Wrong("parameters", "they belong to the models curve and catchment", "a record has no parameters")
	}
	switch model {
	case "curve":
		s.Curve = l.curve(t, fitted)
		if fitted != nil {
			s.Draws = l.draws(file, model, s.Curve.AreaM2, fitted)
		}
	case "catchment":
		s.Catchment = l.catchment(t, fitted)
		if fitted != nil {
			s.Draws = l.draws(file, model, s.Catchment.AreaM2, fitted)
		}
	case "record":
		s.Record = l.flowRecord(t.File("file", files.Or("flow.csv", "its usual name")))
	}
	l.forgive(t, model)
	t.Done()
	if model == "curve" || model == "catchment" {
		sun := &l.site.Sun
		if rain := l.site.Rain; rain.RainMM != nil && rain.TMinC == nil && l.sunRead && !sun.HasTemp {
			t.Wrong("model", "add tmin_c and tmax_c to rain.csv, or temp_c to sun.csv", "the model needs temperatures, to know what evaporates")
		}
	}
	l.site.Stream = s
	l.gaugings()
}

// streamValues are the parameters of the curve and the catchment model: their
// column in a file of fitted parameters, and what they may be, in SI.
var streamValues = map[string]struct {
	column    string
	measure   *measure.Measure
	low, high float64
	factor    float64 // from the column's unit to SI
}{
	"area":           {areaColumn, measure.Areas, 0, 1e10, 1e6},
	"soil_depth":     {"soil_depth_mm", measure.Depths, 1, 5000, 1},
	"quick_share":    {"quick_share", measure.Factors, 0, 1, 1},
	"quick_days":     {"quick_days", measure.DayCounts, 0.05, 60, 1},
	"recession_days": {"recession_days", measure.DayCounts, 0.5, 1000, 1},
	"floor":          {"floor_lps", measure.Flows, 0, greatestM3S, 1e-3},
	"gain":           {"gain_lps", measure.Flows, 1e-9, greatestM3S, 1e-3},
	"exponent":       {"exponent", measure.Factors, 0.1, 10, 1},
	"x1":             {"x1_mm", measure.Depths, 1, 1e4, 1},
	"x2":             {"x2_mm_day", measure.DepthRates, -50, 50, 1},
	"x3":             {"x3_mm", measure.Depths, 0.1, 5000, 1},
	"x4":             {"x4_days", measure.DayCounts, 0.5, 20, 1},
}

// forgive makes the keys of all models known, and warns of those that have
// no meaning in the model that is chosen: they may stay in the file, and what
// is wrong with them is wrong all the same.
func (l *loader) forgive(t *files.Table, model string) {
	asked := t.Asked()
	idle := func(key string) bool {
		if slices.Contains(asked, key) || !t.Has(key) {
			return false
		}
		if model != "" {
			l.warn("stream.%s has no meaning in the model %q", key, model)
		}
		return true
	}
	for _, key := range []string{"parameters", "file", "yield"} {
		if idle(key) {
			t.File(key, files.Optional)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(streamValues)) {
		if idle(key) {
			v := streamValues[key]
			t.Quantity(key, v.measure, v.low, v.high, files.Optional)
		}
	}
}

// unlessUnfitted makes a required parameter one with a placeholder where the
// site is read for a fit.
func (l *loader) unlessUnfitted(a files.Absent, text string) files.Absent {
	if l.o.Unfitted {
		return files.Or(text, "a placeholder until the fit")
	}
	return a
}

// parameter reads a parameter of a model: from stream.csv if it is there,
// else from its key.
func parameter(t *files.Table, fitted map[string]float64, key string, a files.Absent) float64 {
	p := streamValues[key]
	column, low, high, factor := p.column, p.low, p.high, p.factor
	if v, ok := fitted[column]; ok {
		if t.Has(key) {
			t.Wrong(key, "delete this line, or take the parameter out of the file", "the fitted parameters tell %s as well", column)
		}
		si := v * factor
		if !(si >= low && si <= high) {
			t.Wrong("parameters", "", "%s = %s is outside %s to %s", column, measure.Trim(v), measure.Trim(low/factor), measure.Trim(high/factor))
		}
		return si
	}
	return t.Quantity(key, p.measure, low, high, a)
}

func (l *loader) curve(t *files.Table, fitted map[string]float64) *stream.Curve {
	c := &stream.Curve{
		SoilDepthMM:   parameter(t, fitted, "soil_depth", files.Or("120 mm", "judgement: what a dry hillside soaks up before the creek answers; fit tells better")),
		QuickFraction: parameter(t, fitted, "quick_share", files.Or("0.15", "judgement; fit tells better")),
		QuickDays:     parameter(t, fitted, "quick_days", files.Or("1.5 days", "judgement; fit tells better")),
		RecessionDays: parameter(t, fitted, "recession_days", l.unlessUnfitted(files.Need("the days in which the flow falls to 37 % without rain: recession_days = 30; \"sunrill fit\" finds it from gaugings.csv"), "30 days")),
	}
	area := files.Optional
	if c.QuickFraction > 0 {
		area = files.Or("0 ha", "not given: the quick share of the rain does not show in the creek")
	}
	c.AreaM2 = parameter(t, fitted, "area", area)
	if t.Has("yield") {
		for _, k := range []string{"floor", "gain", "exponent"} {
			if t.Has(k) {
				t.Wrong(k, "the table of yield.csv stands for floor, gain and exponent", "is given beside yield")
			}
		}
		c.Exponent = 1
		c.Table = l.yield(t.File("yield", files.Optional))
		return c
	}
	c.FloorM3S = parameter(t, fitted, "floor", files.Or("0 L/s", "not given: the creek may run dry"))
	c.GainM3S = parameter(t, fitted, "gain", l.unlessUnfitted(files.Need("the flow at a wetness of 1 mm a day: gain = \"0.9 L/s\"; \"sunrill fit\" finds it from gaugings.csv"), "1 L/s"))
	c.Exponent = parameter(t, fitted, "exponent", files.Or("1", "flow in step with wetness"))
	return c
}

const minCatchmentM2 = 100

func (l *loader) catchment(t *files.Table, fitted map[string]float64) *stream.Catchment {
	const published = "the median of the catchments that the model was published with, from memory; fit tells better"
	c := &stream.Catchment{
		AreaM2: parameter(t, fitted, "area", l.unlessUnfitted(files.Need("the land that drains to the intake: area = \"40 ha\"; \"sunrill fit\" finds it too"), "0 ha")),
		X1MM:   parameter(t, fitted, "x1", files.Or("350 mm", published)),
		X2MMD:  parameter(t, fitted, "x2", files.Or("0 mm/day", published)),
		X3MM:   parameter(t, fitted, "x3", files.Or("90 mm", published)),
		X4D:    parameter(t, fitted, "x4", files.Or("1 days", "a small creek answers within a day; fit tells better")),
	}
	if c.AreaM2 < minCatchmentM2 && !l.o.Unfitted && (t.Has("area") || fitted[areaColumn] > 0) {
		t.Wrong("area", "the land that drains to the intake", "%s m2 is too little land for a creek", measure.Trim(c.AreaM2))
	}
	return c
}
