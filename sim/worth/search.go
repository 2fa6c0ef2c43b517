package worth

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/optimize"
)

// Sizes are searched on a grid of 0.1 kW and 0.1 kWh, up to ten times what
// stands today.
const (
	gridW     = 100.0
	gridWh    = 100.0
	mostTimes = 10
)

// leastOn returns the smallest step of lo to hi for which reaches is true, and
// false if it is not true for hi. reaches must not turn false again on the way
// up.
func leastOn(lo, hi int, reaches func(int) bool) (int, bool) {
	if !reaches(hi) {
		return hi, false
	}
	return lo + sort.Search(hi-lo, func(i int) bool { return reaches(lo + i) }), true
}

// panelsFor returns the least panel power that keeps the mean unmet hours at
// or below target, everything else as in s.
func (p *Plan) panelsFor(s setup, target float64) (setup, bool) {
	if p.PanelW <= 0 {
		return s, false
	}
	lo, hi := int(math.Ceil(s.panelW/gridW-1e-9)), int(math.Ceil(mostTimes*p.PanelW/gridW))
	at := func(i int) setup {
		s.panelW = math.Max(float64(i)*gridW, p.PanelW)
		return s
	}
	i, ok := leastOn(lo, hi, func(i int) bool { return p.unmetHours(at(i)) <= target })
	return at(i), ok
}

// bankFor returns the smallest bank that keeps the mean unmet hours at or
// below target, everything else as in s.
func (p *Plan) bankFor(s setup, target float64) (setup, bool) {
	now := p.Bus.Bank.CapacityWh
	if now <= 0 {
		return s, false
	}
	lo, hi := int(math.Ceil(now/gridWh-1e-9)), int(math.Ceil(mostTimes*now/gridWh))
	at := func(i int) setup {
		s.bankWh = math.Max(float64(i)*gridWh, now)
		return s
	}
	i, ok := leastOn(lo, hi, func(i int) bool { return p.unmetHours(at(i)) <= target })
	return at(i), ok
}

// bothFor returns the panels and the bank that together keep the mean unmet
// hours at or below target at the least cost a year, or, where panels and
// bank have no price, with the least growth of both. For each panel power the
// smallest bank is found by halving; the panel power is searched by the
// downhill simplex from the best of a coarse row, then step by step around.
func (p *Plan) bothFor(s setup, target float64) (setup, bool) {
	if p.PanelW <= 0 || p.Bus.Bank.CapacityWh <= 0 {
		return s, false
	}
	lo, hi := int(math.Ceil(p.PanelW/gridW-1e-9)), int(math.Ceil(mostTimes*p.PanelW/gridW))
	type point struct {
		setup setup
		cost  float64
	}
	seen := map[int]point{}
	at := func(i int) point {
		i = min(max(i, lo), hi)
		if q, ok := seen[i]; ok {
			return q
		}
		t := s
		t.panelW = math.Max(float64(i)*gridW, p.PanelW)
		q := point{t, math.Inf(1)}
		if t, ok := p.bankFor(t, target); ok {
			q = point{t, p.sizeCost(t)}
		}
		seen[i] = q
		return q
	}
	const row = 12
	best := lo
	for k := range row {
		// Evenly in the logarithm: a doubling counts the same anywhere.
		i := int(math.Round(float64(lo) * math.Pow(float64(hi)/float64(lo), float64(k)/(row-1))))
		if at(i).cost < at(best).cost {
			best = i
		}
	}
	if math.IsInf(at(best).cost, 1) {
		return s, false
	}
	problem := optimize.Problem{Func: func(x []float64) float64 {
		if c := at(int(math.Round(x[0]))).cost; !math.IsInf(c, 1) {
			return c
		}
		return math.MaxFloat64
	}}
	settings := optimize.Settings{FuncEvaluations: 25}
	if r, err := optimize.Minimize(problem, []float64{float64(best)}, &settings, &optimize.NelderMead{SimplexSize: math.Max(2, float64(best)/8)}); r != nil && (err == nil || len(r.X) == 1) {
		if i := int(math.Round(r.X[0])); at(i).cost < at(best).cost {
			best = i
		}
	}
	for moved := true; moved; {
		moved = false
		for _, i := range []int{best - 2, best - 1, best + 1, best + 2} {
			if lo <= i && i <= hi && at(i).cost < at(best).cost {
				best, moved = i, true
				break
			}
		}
	}
	return at(best).setup, true
}

// sizeCost is what panels and bank cost a year, the bank over its calendar
// life: what bothFor makes small. Without prices it is their growth.
func (p *Plan) sizeCost(s setup) float64 {
	q := p.Prices
	if q == nil || q.PanelPerKW == nil || q.BankPerKWh == nil {
		return s.panelW/p.PanelW + s.bankWh/p.Bus.Bank.CapacityWh
	}
	life := p.Bus.Bank.CalendarYears
	if life <= 0 {
		life = q.Years
	}
	return *q.PanelPerKW*(s.panelW-p.PanelW)/1000*CapitalRecovery(q.DiscountRate, q.LifePanelsY) +
		*q.BankPerKWh*s.bankWh/1000*CapitalRecovery(q.DiscountRate, life)
}
