package worth

import (
	"math"
	"time"
)

// What the creek with more or less water was found to do, each factor on its
// flow run through intake, pipe and machine as they are described.
const (
	PaysWith   = "with"   // from a factor on that lies between two that were run
	PaysNever  = "never"  // with none of the factors up to [mostWater]
	PaysAlways = "always" // with all of the factors down to [leastWater]
)

const (
	mostWater  = 2.0
	leastWater = 0.02
)

// Creek is with how much water hydro would be the cheapest way to the unmet
// hours that it then leaves. Flows are means of the dark month.
type Creek struct {
	Month   int     // the dark month
	FlowM3S float64 // as it is
	Pays    string  // one of the above; "" where it was not tried
	// With Pays = PaysWith: hydro pays with the flow times Enough and does not
	// with it times Short, the two lying within 2 % of each other.
	Enough, Short float64
}

// creek tries the creek with other water, from what it has towards more where
// hydro does not pay, towards less where it does.
func (c *comparison) creek() error {
	r := c.r
	r.Creek = Creek{Month: int(c.dark)}
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
	if r.Way(WithHydro).CostAYear == nil || len(c.wanting()) > 0 || c.Water == nil {
		return nil
	}
	now, err := c.pays(1)
	if err != nil {
		return err
	}
	enough, short := 1.0, 1.0
	step, last := 0.7, leastWater
	r.Creek.Pays = PaysAlways
	if !now {
		step, last = math.Pow(mostWater, 0.25), mostWater
		r.Creek.Pays = PaysNever
	}
	for factor := step; step < 1 && factor > last || step > 1 && factor < last*1.001; factor *= step {
		ok, err := c.pays(factor)
		if err != nil {
			return err
		}
		if ok {
			enough = factor
		} else {
			short = factor
		}
		if ok != now {
			r.Creek.Pays = PaysWith
			break
		}
	}
	if r.Creek.Pays != PaysWith {
		return nil
	}
	const exact = 0.02
	for math.Abs(enough-short) > exact*enough {
		mid := (enough + short) / 2
		ok, err := c.pays(mid)
		if err != nil {
			return err
		}
		if ok {
			enough = mid
		} else {
			short = mid
		}
	}
	r.Creek.Enough, r.Creek.Short = enough, short
	return nil
}

// pays reports whether hydro with this much of the creek's water is the
// cheapest way to the unmet hours that it then leaves.
func (c *comparison) pays(water float64) (bool, error) {
	other := *c.Plan
	if water != 1 {
		other.Years = c.Water(water)
	}
	hydro, err := other.evaluate(WithHydro, c.withHydro(), c.dark)
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
