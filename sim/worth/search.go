package worth

import (
	"math"
	"sort"
)

// Sizes are searched on a grid of 0.1 kW and 0.1 kWh, up to ten times what
// stands today; what stands today is the first step, on the grid or not.
const (
	gridW    = 100.0
	gridWh   = 100.0
	maxTimes = 10
)

// sizes are the steps of one size: now, then the grid's points above it.
type sizes struct {
	now, grid float64
	lo, hi    int
}

func sizesFrom(now, grid float64) sizes {
	return sizes{now, grid, int(math.Floor(now/grid + 1e-9)), int(math.Ceil(maxTimes*now/grid - 1e-9))}
}

func (s sizes) at(i int) float64 { return math.Max(float64(i)*s.grid, s.now) }

// minOn returns the smallest step of lo to hi for which reaches is true, by
// halving. Where hi itself does not reach, as many as row−1 steps below it are
// looked at, from the largest; found is false only if none of them does either.
func minOn(lo, hi, row int, reaches func(int) bool) (minimum int, found bool) {
	top := hi
	for k := 1; !reaches(top); k++ {
		if k >= row || top == lo {
			return hi, false
		}
		// Evenly in the logarithm: a doubling counts the same anywhere.
		top = int(float64(hi) * math.Pow(float64(max(lo, 1))/float64(hi), float64(k)/float64(row-1)))
		top = min(max(top, lo), hi)
	}
	return lo + sort.Search(top-lo, func(i int) bool { return reaches(lo + i) }), true
}

// row is how many sizes are looked at before none is said to do. More is not
// always better: a bank that a disconnect has cut off takes the longer to come
// back, the bigger it is, and a generator that waits for a share of the charge
// starts the later.
func (p *Plan) row() int {
	if p.Bus.Generator != nil || p.Bus.Bank.ReconnectSoC > 0 {
		return 6
	}
	return 1
}

// panelsFor returns the least panel power that keeps the mean unmet hours at
// or below target, everything else as in s.
func (p *Plan) panelsFor(s setup, target float64) (setup, bool) {
	steps := sizesFrom(p.PanelW, gridW)
	at := func(i int) setup { s.panelW = steps.at(i); return s }
	i, ok := minOn(steps.lo, steps.hi, p.row(), func(i int) bool { return p.reaches(at(i), target) })
	return at(i), ok
}

// bankFor returns the smallest bank that keeps the mean unmet hours at or
// below target, everything else as in s.
func (p *Plan) bankFor(s setup, target float64) (setup, bool) {
	steps := sizesFrom(p.Bus.Bank.CapacityWh, gridWh)
	at := func(i int) setup { s.bankWh = steps.at(i); return s }
	i, ok := minOn(steps.lo, steps.hi, p.row(), func(i int) bool { return p.reaches(at(i), target) })
	return at(i), ok
}

// bothFor returns the panels and the bank that together keep the mean unmet
// hours at or below target at the least cost, if that is below most. cost must
// not fall as either grows.
//
// The answer is exact on the grid. For each panel power the largest bank that
// would still be cheaper than the best so far is tried; only if it does, the
// least that does is found by halving. So a panel power that cannot win costs
// one run of the years, and no dip of the jagged cost is missed, as a downhill
// search would.
func (p *Plan) bothFor(s setup, target, maximum float64, cost func(setup) float64) (setup, bool) {
	panels, banks := sizesFrom(p.PanelW, gridW), sizesFrom(p.Bus.Bank.CapacityWh, gridWh)
	at := func(i, j int) setup {
		t := s
		t.panelW, t.bankWh = panels.at(i), banks.at(j)
		return t
	}
	var best setup
	found := false
	for i := panels.lo; i <= panels.hi; i++ {
		affordable := sort.Search(banks.hi-banks.lo+1, func(k int) bool { return cost(at(i, banks.lo+k)) >= maximum })
		if affordable == 0 {
			break // more panels cost more still
		}
		j, ok := minOn(banks.lo, banks.lo+affordable-1, p.row(), func(j int) bool { return p.reaches(at(i, j), target) })
		if ok {
			best, found = at(i, j), true
			maximum = cost(best)
		}
	}
	return best, found
}

// sizeCost returns what panels and bank cost a year, the bank over a life of
// bankLifeY; without their prices, by how much they have grown.
func (p *Plan) sizeCost(bankLifeY float64) func(setup) float64 {
	q := p.Prices
	if q == nil || q.PanelPerKW == nil || q.BankPerKWh == nil || bankLifeY <= 0 {
		return func(s setup) float64 { return s.panelW/p.PanelW + s.bankWh/p.Bus.Bank.CapacityWh }
	}
	perKW := *q.PanelPerKW * CapitalRecovery(q.DiscountRate, q.LifePanelsY) / 1000
	perKWh := *q.BankPerKWh * CapitalRecovery(q.DiscountRate, bankLifeY) / 1000
	upkeep := 0.0
	if q.UpkeepPanels != nil {
		upkeep = *q.UpkeepPanels / p.PanelW
	}
	return func(s setup) float64 {
		return perKW*(s.panelW-p.PanelW) + upkeep*s.panelW + perKWh*s.bankWh
	}
}
