package worth

import "sunrill/sim"

// Sure is how sure the verdict is, over draws of sky, creek, house and prices.
type Sure struct {
	Draws int
	// Pays is the number of draws in which hydro is the cheapest way to the unmet
	// hours that it leaves, every rival's size searched anew; 0 without prices.
	Pays   int
	Priced bool
	// Unmet hours of a mean year, and what hydro costs a year beyond today's.
	With, Without sim.Doubt
	Extra         sim.Doubt // empty without prices
}

// Times returns the prices, each times a factor of its own; those that are not
// given stay so.
func (q *Prices) Times(factor func(i int) float64) *Prices {
	o := *q
	for i, p := range []**float64{
		&o.PanelPerKW, &o.BankPerKWh, &o.PenstockPerM, &o.Turbine, &o.Works, &o.Inverter, &o.Generator, &o.FuelPerL,
		&o.UpkeepHydro, &o.UpkeepPanels, &o.UpkeepGenerator, &o.LabourPerH,
	} {
		if *p != nil {
			v := **p * factor(i)
			*p = &v
		}
	}
	return &o
}

// Drawn returns the prices as a draw has them, each by itself within a share of
// what was given; nil of nil.
func (q *Prices) Drawn(share float64, d sim.Draw, seed uint64) *Prices {
	if q == nil {
		return nil
	}
	return q.Times(func(i int) float64 { return sim.Factor(share, sim.Z(seed, sim.ThePrices, i, d[sim.ThePrices])) })
}

// sure weighs hydro again in each draw: its years, its prices, and rivals of its
// own.
func (c *comparison) sure() error {
	if c.Draws == 0 {
		return nil
	}
	r := c.r
	with, without := r.Way(WithHydro), r.Way(WithoutHydro)
	u := &Sure{Draws: c.Draws, Priced: with.CostAYear != nil && len(c.wanting()) == 0}
	u.With.Middle, u.Without.Middle = with.UnmetMean, without.UnmetMean
	if u.Priced {
		u.Extra.Middle = *with.CostAYear - *without.CostAYear
	}
	for d := range c.Draws {
		other := *c.Plan
		other.Years, other.Prices = c.Draw(d)
		other.Progress = nil
		in := comparison{Plan: &other, ctx: c.ctx, r: &Result{Prices: other.Prices, System: other.System}, dark: c.dark}
		if err := in.pair(); err != nil {
			return err
		}
		with, without := in.r.Way(WithHydro), in.r.Way(WithoutHydro)
		u.With.Draws, u.Without.Draws = append(u.With.Draws, with.UnmetMean), append(u.Without.Draws, without.UnmetMean)
		if u.Priced {
			u.Extra.Draws = append(u.Extra.Draws, *with.CostAYear-*without.CostAYear)
			if c.r.Way(GeneratorInstead) != nil {
				s := in.asItIs()
				s.generator = true
				if err := in.add(GeneratorInstead, s, true, ""); err != nil {
					return err
				}
			}
			pays, err := in.pays(1)
			if err != nil {
				return err
			}
			if pays {
				u.Pays++
			}
		}
		if err := c.step(); err != nil {
			return err
		}
	}
	r.Sure = u
	return nil
}
