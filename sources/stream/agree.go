package stream

import "math"

// Moved says which store of a model was moved so that it agrees with a reading.
type Moved int

const (
	MovedNothing Moved = iota // the model agreed
	MovedSlow                 // the slow store: groundwater, from which a creek lives between rains
	MovedQuick                // beyond what the slow store may hold or lack: the quick flow of the last rain too
	Beyond                    // no state gives the reading: the nearest was taken
)

// StateFrom says where the state of a creek on a day comes from.
type StateFrom int

const (
	NoState     StateFrom = iota // without a model of the creek
	FromRecord                   // the record reaches the day
	FromGap                      // the record's end, run on under the weather of past years
	FromSeasons                  // the mean of past years on this day of the calendar
)

// Today says how a model of the creek met the reading of a day.
type Today struct {
	From     StateFrom
	ModelM3S float64 // what the model gave before; NaN without one
	Moved    Moved
	GivesM3S float64 // what it gives after
}

// wettest is how far a store may be filled: to this many times the fullest
// that the record knows.
const wettest = 1.5

// Agree moves the state of a model at the beginning of a day so that a day
// without rain, on which petMM may evaporate, gives flowM3S. It moves the slow
// store first (wetness index of a [Curve], routing store of a [Catchment]),
// since that is what a dry-weather reading tells of; what the slow store cannot
// explain, between empty and 1.5 times its fullest (the fullest state of the
// record, see [Fullest]), the water of the last rain under way has to. The soil
// or production store, of which the flow tells nothing, stays.
//
// It returns the state, which store it moved and the flow that the state gives.
func Agree(m Model, s, fullest State, petMM, flowM3S float64) (State, Moved, float64) {
	gives := func(s State) float64 {
		var day [1]float64
		m.Run(day[:], s, []float64{0}, []float64{petMM})
		return day[0]
	}
	now := gives(s)
	if math.Abs(now-flowM3S) <= 1e-6*math.Max(flowM3S, 1e-9) {
		return s, MovedNothing, now
	}
	slow := func(x float64) State { // x: 0 empty, 1 as far as it may be filled
		o := s
		o.IndexMMD = x * wettest * fullest.IndexMMD
		o.RoutingMM = x * wettest * fullest.RoutingMM
		return o
	}
	if lo, hi := gives(slow(0)), gives(slow(1)); lo <= flowM3S && flowM3S <= hi {
		o := slow(bisect(func(x float64) float64 { return gives(slow(x)) }, flowM3S))
		return o, MovedSlow, gives(o)
	}
	end := 0.0 // the slow store's end that is nearer to the reading
	if flowM3S > now {
		end = 1
	}
	s = slow(end)
	quick := func(x float64) State { // x: 0 none of the last rain, 1 the most that the record knows
		o := s
		o.QuickMMD = x * wettest * fullest.QuickMMD
		for i := range o.UH1MM {
			o.UH1MM[i] = x * wettest * fullest.UH1MM[i]
		}
		for i := range o.UH2MM {
			o.UH2MM[i] = x * wettest * fullest.UH2MM[i]
		}
		return o
	}
	lo, hi := gives(quick(0)), gives(quick(1))
	switch {
	case flowM3S < lo:
		return quick(0), Beyond, lo
	case flowM3S > hi:
		return quick(1), Beyond, hi
	}
	o := quick(bisect(func(x float64) float64 { return gives(quick(x)) }, flowM3S))
	return o, MovedQuick, gives(o)
}

// bisect returns where in 0 to 1 a rising function reaches want.
func bisect(f func(float64) float64, want float64) float64 {
	lo, hi := 0.0, 1.0
	for range 60 {
		if mid := (lo + hi) / 2; f(mid) < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Follow returns the state of m at the beginning of each day of a record and
// after its last, days+1 in all, after a [WarmUp].
func Follow(m Model, rainMM, petMM []float64) []State {
	all := make([]State, 0, len(rainMM)+1)
	s := WarmUp(m, rainMM, petMM)
	for d := range rainMM {
		all = append(all, s)
		s = m.Run(nil, s, rainMM[d:d+1], petMM[d:d+1])
	}
	return append(all, s)
}

// Fullest returns, store by store, the most that any of the states holds.
func Fullest(states []State) State {
	var f State
	for i := range states {
		s := &states[i]
		f.SoilMM, f.QuickMMD, f.IndexMMD = max(f.SoilMM, s.SoilMM), max(f.QuickMMD, s.QuickMMD), max(f.IndexMMD, s.IndexMMD)
		f.ProductionMM, f.RoutingMM = max(f.ProductionMM, s.ProductionMM), max(f.RoutingMM, s.RoutingMM)
		for j, v := range s.UH1MM {
			f.UH1MM[j] = max(f.UH1MM[j], v)
		}
		for j, v := range s.UH2MM {
			f.UH2MM[j] = max(f.UH2MM[j], v)
		}
	}
	return f
}

// MeanState returns the mean of each store over some states, at least one.
func MeanState(states []State) State {
	var m State
	n := float64(len(states))
	for i := range states {
		s := &states[i]
		m.SoilMM += s.SoilMM / n
		m.QuickMMD += s.QuickMMD / n
		m.IndexMMD += s.IndexMMD / n
		m.ProductionMM += s.ProductionMM / n
		m.RoutingMM += s.RoutingMM / n
		for j, v := range s.UH1MM {
			m.UH1MM[j] += v / n
		}
		for j, v := range s.UH2MM {
			m.UH2MM[j] += v / n
		}
	}
	return m
}
