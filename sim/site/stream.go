package site

import "sunrill/sources/stream"

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
