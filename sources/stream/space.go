package stream

import (
	"math"
	"slices"
)

// space maps a point of the search, in standard deviations from the middle of
// each parameter's usual range, to a model.
type space struct {
	kind   Kind
	areaM2 float64 // where known
	dims   []dimension
}

// dimension is one parameter in the unit that people see. The 80 % range makes
// the prior: normal in the value, or in its logarithm.
type dimension struct {
	name, label      string
	unit             string
	low, high        float64
	minimum, maximum float64
	linear           bool
}

func (d dimension) scale(v float64) float64 {
	if d.linear {
		return v
	}
	return math.Log(v)
}

func (d dimension) value(z float64) float64 {
	low, high := d.scale(d.low), d.scale(d.high)
	v := (low+high)/2 + z*(high-low)/(2*tenthSD)
	if !d.linear {
		v = math.Exp(v)
	}
	return math.Max(d.minimum, math.Min(d.maximum, v))
}

// The usual ranges: 8 of 10 creeks lie within.
var (
	usualX1 = usual{100, 1200}
	usualX2 = usual{-5, 3}
	usualX3 = usual{20, 300}
	usualX4 = usual{1.1, 2.9}

	usualSoil          = usual{20, 250}
	usualQuickFraction = usual{0.05, 0.5}
	usualQuickDays     = usual{0.5, 4}
	usualRecession     = usual{10, 140}
	usualExponent      = usual{0.7, 1.8}
)

type usual struct{ low, high float64 }

// newSpace sets the priors. The ranges of GR4J are the paper's, with the lower
// end of X4 taken down with the area to the power 0.3 (Andréassian et al. 2014)
// as far as half a day. Those of the curve are judgement, wide enough for
// recession constants of 0.9 to 0.993 a day. What has the size of the creek is
// placed by the readings and the rain: on average something like half the rain
// runs off.
func newSpace(kind Kind, d Data, gs []Gauging, areaM2 float64) *space {
	s := &space{kind: kind, areaM2: areaM2}
	flowLPS := 1000 * ordinaryFlow(gs)
	runoffMMD := math.Max(0.1, meanOf(d.RainMM)/2)
	areaKM2 := areaM2 / 1e6
	if areaM2 == 0 {
		areaKM2 = flowLPS / 1000 / runoffMMD * 86.4
	}
	if kind == CatchmentKind {
		minX4 := math.Min(usualX4.low, math.Max(0.5, usualX4.low*math.Pow(areaKM2/100, 0.3)))
		s.dims = []dimension{
			{name: "x1_mm", label: "production store (x1)", unit: "mm", low: usualX1.low, high: usualX1.high, minimum: 1, maximum: 10000},
			{name: "x2_mm_day", label: "exchange (x2)", unit: "mm/day", low: usualX2.low, high: usualX2.high, minimum: -30, maximum: 30, linear: true},
			{name: "x3_mm", label: "routing store (x3)", unit: "mm", low: usualX3.low, high: usualX3.high, minimum: 1, maximum: 5000},
			{name: "x4_days", label: "time base (x4)", unit: "days", low: minX4, high: usualX4.high, minimum: 0.5, maximum: maxX4},
		}
	} else {
		lowestLPS := math.Max(1000*quantile(sortedFlows(gs), 0.1), flowLPS/1000)
		s.dims = []dimension{
			{name: "soil_depth_mm", label: "soil depth", unit: "mm", low: usualSoil.low, high: usualSoil.high, minimum: 1, maximum: 2000},
			{name: "quick_share", label: "quick share", low: usualQuickFraction.low, high: usualQuickFraction.high, minimum: 0, maximum: 0.95},
			{name: "quick_days", label: "quick flow lasts", unit: "days", low: usualQuickDays.low, high: usualQuickDays.high, minimum: 0.05, maximum: 30},
			{name: "recession_days", label: "recession", unit: "days", low: usualRecession.low, high: usualRecession.high, minimum: 1, maximum: 1000},
			{name: "floor_lps", label: "floor", unit: "L/s", low: lowestLPS / 50, high: lowestLPS, minimum: 0, maximum: 2 * lowestLPS},
			{name: "gain_lps", label: "gain", unit: "L/s", low: flowLPS / runoffMMD / 5, high: flowLPS / runoffMMD * 3, minimum: 0, maximum: math.Inf(1)},
			{name: "exponent", label: "exponent", low: usualExponent.low, high: usualExponent.high, minimum: 0.2, maximum: 4},
		}
	}
	if areaM2 == 0 {
		s.dims = append(s.dims, dimension{name: "area_km2", label: "area", unit: "km2", low: areaKM2 / 3, high: areaKM2 * 3, minimum: 0, maximum: math.Inf(1)})
	}
	return s
}

// ordinaryFlow returns the mean of the readings without the greatest and the
// least eighth, which a few wrong ones do not move far; of all where that is 0.
func ordinaryFlow(gs []Gauging) float64 {
	sorted := sortedFlows(gs)
	cut := len(sorted) / 8
	if mean := meanOf(sorted[cut : len(sorted)-cut]); mean > 0 {
		return mean
	}
	return meanOf(sorted)
}

func sortedFlows(gs []Gauging) []float64 {
	sorted := make([]float64, len(gs))
	for i, g := range gs {
		sorted[i] = g.FlowM3S
	}
	slices.Sort(sorted)
	return sorted
}

// values returns the parameters at a point, in the units of the dimensions.
func (s *space) values(z []float64) []float64 {
	v := make([]float64, len(z))
	for i, d := range s.dims {
		v[i] = d.value(z[i])
	}
	return v
}

// model builds the model of values.
func (s *space) model(v []float64) Model {
	area := s.areaM2
	if area == 0 {
		area = v[len(v)-1] * 1e6
	}
	if s.kind == CatchmentKind {
		return Catchment{AreaM2: area, X1MM: v[0], X2MMD: v[1], X3MM: v[2], X4D: v[3]}
	}
	return Curve{SoilDepthMM: v[0], QuickFraction: v[1], QuickDays: v[2], RecessionDays: v[3],
		FloorM3S: v[4] / 1000, GainM3S: v[5] / 1000, Exponent: v[6], AreaM2: area}
}

// parameters joins the best values with the ranges of the rounds. An area that
// was known is none of them.
func (s *space) parameters(best []float64, sets [][]float64) []Parameter {
	var ps []Parameter
	column := make([]float64, len(sets))
	for i, d := range s.dims {
		p := Parameter{Name: d.name, Label: d.label, Unit: d.unit, Value: best[i], Low: math.NaN(), High: math.NaN()}
		if len(sets) > 0 {
			for j, set := range sets {
				column[j] = set[i]
			}
			slices.Sort(column)
			// The best value lies within what is told of it.
			p.Low = math.Min(quantile(column, rangeLow), p.Value)
			p.High = math.Max(quantile(column, rangeHigh), p.Value)
		}
		ps = append(ps, p)
	}
	return ps
}
