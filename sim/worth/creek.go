package worth

import (
	"math"
	"time"
)

// Whether and from where on the creek pays.
const (
	PaysAbove  = "above"  // with more than the flow and the head that are told
	PaysNever  = "never"  // not even with twice the water
	PaysAlways = "always" // any trickle does
)

// Creek is how little water and how little head would still make hydro the
// cheapest way. A smaller flow is taken as that share of the turbine's watts,
// as with nozzles to match; so is a smaller head.
type Creek struct {
	Month    int      // the dark month, to which the flow belongs
	FlowM3S  float64  // mean stream flow of that month
	HeadM    float64  // gross head
	Pays     string   // one of the above; "" where prices are wanting
	PaysM3S  *float64 // hydro pays above this; nil unless Pays is PaysAbove
	PaysHead *float64
}

// creek finds the least share of the turbine's watts at which hydro is still
// the cheapest way to the unmet hours that it then leaves.
func (c *comparison) creek() error {
	r := c.r
	r.Creek = Creek{Month: int(c.dark), HeadM: c.HeadM}
	days := 0
	for _, in := range c.Years {
		for d := range in.FlowM3S {
			if in.Start.AddDate(0, 0, d).Month() == c.dark {
				r.Creek.FlowM3S += in.FlowM3S[d]
				days++
			}
		}
	}
	if days > 0 {
		r.Creek.FlowM3S /= float64(days)
	}
	if r.Way(WithHydro).CostAYear == nil || len(c.wanting()) > 0 {
		return nil
	}
	const most, least, exact = 2.0, 0.02, 0.02
	lo, hi := 0.0, 0.0
	for share := most; share > least; share *= 0.7 {
		ok, err := c.pays(share)
		if err != nil {
			return err
		}
		if !ok {
			lo = share
			break
		}
		hi = share
	}
	switch {
	case hi == 0:
		r.Creek.Pays = PaysNever
		return nil
	case lo == 0:
		r.Creek.Pays = PaysAlways
		return nil
	}
	for hi-lo > exact*hi {
		mid := (lo + hi) / 2
		ok, err := c.pays(mid)
		if err != nil {
			return err
		}
		if ok {
			hi = mid
		} else {
			lo = mid
		}
	}
	r.Creek.Pays = PaysAbove
	if days > 0 {
		flow := hi * r.Creek.FlowM3S
		r.Creek.PaysM3S = &flow
	}
	if c.HeadM > 0 {
		head := hi * c.HeadM
		r.Creek.PaysHead = &head
	}
	return nil
}

// pays reports whether hydro with this share of its watts is the cheapest way
// to the unmet hours that it then leaves.
func (c *comparison) pays(share float64) (bool, error) {
	s := c.withHydro()
	s.waterShare = share
	hydro, err := c.evaluate(WithHydro, s, c.dark)
	if err != nil {
		return false, err
	}
	now := c.r.Way(WithoutHydro)
	for _, name := range []string{WithoutHydro, GeneratorInstead} {
		if w := c.r.Way(name); w != nil && w.UnmetMean <= hydro.UnmetMean && *w.CostAYear < *hydro.CostAYear {
			return false, c.ctx.Err()
		}
	}
	// Any rival that is cheaper settles it. What the search reckons a rival to
	// cost can be a little off, so the cheapest is looked at if the first will
	// not do.
	for _, first := range []bool{true, false} {
		rival, found := c.rivalBelow(*hydro.CostAYear-*now.CostAYear, hydro.UnmetMean, first)
		if !found {
			return true, c.ctx.Err()
		}
		w, err := c.evaluate("", rival, c.dark)
		if err != nil {
			return false, err
		}
		if *w.CostAYear < *hydro.CostAYear {
			return false, c.ctx.Err()
		}
	}
	return true, c.ctx.Err()
}

// rivalBelow looks for panels, a bank or both that keep to target for less
// than extra a year beyond what today costs: the first or the cheapest.
func (c *comparison) rivalBelow(extra, target float64, first bool) (setup, bool) {
	today := c.asItIs()
	switch {
	case c.PanelW <= 0 && c.Bus.Bank.CapacityWh <= 0:
		return today, false
	case c.PanelW <= 0:
		return c.bankFor(today, target)
	case c.Bus.Bank.CapacityWh <= 0:
		return c.panelsFor(today, target)
	}
	cost := c.sizeCost(c.r.Way(WithoutHydro).BankLifeY)
	return c.bothFor(today, target, math.Max(extra, 0)+cost(today), first, cost)
}

// Name returns the name of the creek's month.
func (c Creek) Name() string { return time.Month(c.Month).String() }
