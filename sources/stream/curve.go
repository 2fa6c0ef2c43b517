package stream

import "math"

// Curve holds the parameters of the yield-curve model: a soil store that must
// fill before rain reaches the creek, a quick store, and a wetness index from
// which the flow is read. More rain never gives less flow, on that day or on
// any later one.
type Curve struct {
	SoilDepthMM   float64
	QuickFraction float64 // fraction of what passes the soil that runs off quickly
	QuickDays     float64
	RecessionDays float64
	FloorM3S      float64
	GainM3S       float64 // flow at a wetness index of 1 mm a day
	Exponent      float64
	AreaM2        float64      // catchment that feeds the quick flow; 0: no quick flow is seen
	Table         []YieldPoint // yield.csv instead of floor, gain and exponent; nil: none
}

// YieldPoint is one point of a yield table, which rises monotonely.
type YieldPoint struct{ IndexMM, FlowM3S float64 }

// CurveDay tells what one day did.
type CurveDay struct {
	EvaporatedMM float64 // from the soil
	PassedMM     float64 // through the soil, the quick share included
	QuickMMD     float64 // left the quick store
	IndexMMD     float64 // left the slow store: the wetness index
	FlowM3S      float64
}

// Step moves one day forward:
//
//	passed = max(0, soil + rain − depth)
//	soil   = min(soil + rain, depth) · exp(−pet/depth)
//	quick  = kq·quick + (1−kq)·quickShare·passed         kq = exp(−1/quickDays)
//	W      = k·W + (1−k)·(1−quickShare)·passed           k  = exp(−1/recessionDays)
//	flow   = floor + gain·W^exponent + quick over the area
//
// The soil dries as evaporation in proportion to its filling would dry it,
// exactly over the day; quick and W are linear reservoirs [Maillet] whose
// stores hold k/(1−k) days of their outflow. Every line rises with rain and
// with each store.
func (c Curve) Step(s State, rainMM, petMM float64) (State, CurveDay) {
	r := c.rates()
	day := r.step(&s, rainMM, petMM)
	day.FlowM3S = r.flow(day.QuickMMD, day.IndexMMD)
	return s, day
}

// StoredMM returns the water in the soil, quick and slow stores of s.
func (c Curve) StoredMM(s State) (soil, quick, slow float64) {
	r := c.rates()
	return s.SoilMM, s.QuickMMD * r.kQuick / (1 - r.kQuick), s.IndexMMD * r.kSlow / (1 - r.kSlow)
}

// Empty returns a full soil and a creek at its floor.
func (c Curve) Empty() State { return State{SoilMM: c.SoilDepthMM} }

// Run implements [Model].
func (c Curve) Run(dst []float64, s State, rainMM, petMM []float64) State {
	checkLengths(dst, rainMM, petMM)
	r := c.rates()
	for i, rain := range rainMM {
		r.step(&s, rain, petMM[i])
		if dst != nil {
			dst[i] = r.flow(s.QuickMMD, s.IndexMMD)
		}
	}
	return s
}

// Flow implements [Model].
func (c Curve) Flow(dst, rainMM, petMM []float64) []float64 { return flow(c, dst, rainMM, petMM) }

// curveRates is a Curve with what every day needs worked out once.
type curveRates struct {
	Curve
	kQuick, kSlow, m3sPerMMD float64
}

func (c Curve) rates() curveRates {
	return curveRates{
		Curve:     c,
		kQuick:    math.Exp(-1 / c.QuickDays),
		kSlow:     math.Exp(-1 / c.RecessionDays),
		m3sPerMMD: m3sPerMMD(c.AreaM2),
	}
}

// step moves the stores; the flow is left to the caller, who may not need it.
func (r *curveRates) step(s *State, rainMM, petMM float64) CurveDay {
	var day CurveDay
	wet := s.SoilMM + rainMM
	if wet > r.SoilDepthMM {
		day.PassedMM = wet - r.SoilDepthMM
		wet = r.SoilDepthMM
	}
	s.SoilMM = 0
	if r.SoilDepthMM > 0 {
		s.SoilMM = wet * math.Exp(-petMM/r.SoilDepthMM)
	}
	day.EvaporatedMM = wet - s.SoilMM

	quick := r.QuickFraction * day.PassedMM
	s.QuickMMD = r.kQuick*s.QuickMMD + (1-r.kQuick)*quick
	s.IndexMMD = r.kSlow*s.IndexMMD + (1-r.kSlow)*(day.PassedMM-quick)
	day.QuickMMD, day.IndexMMD = s.QuickMMD, s.IndexMMD
	return day
}

// flow returns the creek's flow in m³/s.
func (r *curveRates) flow(quickMMD, indexMMD float64) float64 {
	base := r.FloorM3S
	if r.Table != nil {
		base = yield(r.Table, indexMMD)
	} else if indexMMD > 0 {
		base += r.GainM3S * math.Pow(indexMMD, r.Exponent)
	}
	return base + quickMMD*r.m3sPerMMD
}

// yield reads a flow in m³/s from a yield table, on straight lines between
// its points. Below the first point the flow falls in proportion to the index;
// above the last it stays: nobody has seen more.
func yield(table []YieldPoint, indexMM float64) float64 {
	if len(table) == 0 {
		return 0
	}
	last := table[len(table)-1]
	if indexMM >= last.IndexMM {
		return last.FlowM3S
	}
	var from YieldPoint
	if table[0].IndexMM == 0 {
		from = table[0]
	}
	for _, to := range table {
		if indexMM < to.IndexMM {
			fraction := (indexMM - from.IndexMM) / (to.IndexMM - from.IndexMM)
			return from.FlowM3S + fraction*(to.FlowM3S-from.FlowM3S)
		}
		from = to
	}
	return last.FlowM3S
}
