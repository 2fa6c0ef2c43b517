package worth

import (
	"context"
	"math"

	"sunrill/sim"
)

// Sure is how sure the verdict is, over draws of sky, creek, house and prices.
type Sure struct {
	Draws         int
	With, Without sim.Doubt // unmet hours of a mean year, as described and with the valve shut
	Mixes         *SureMixes
}

// SureMixes is how sure it is that the cheapest mix has the creek in it, every
// mix weighed anew in each draw.
type SureMixes struct {
	Worth int // draws in which it has
	// Saved is what the cheapest mix with the creek costs a year less than the
	// cheapest without it: +Inf where only mixes with it keep to the target, −Inf
	// where only mixes without do, NaN where none does.
	Saved sim.Doubt
}

// pointers returns the prices of a year's sums, each time in the same order: a
// draw goes by the place.
func (q *Prices) pointers() []**float64 {
	return []**float64{
		&q.PanelPerKW, &q.BankPerKWh, &q.PenstockPerM, &q.Turbine, &q.Works, &q.Inverter, &q.Generator, &q.FuelPerL,
		&q.UpkeepHydro, &q.UpkeepPanels, &q.UpkeepGenerator, &q.LabourPerH, &q.DiggingPerM, &q.Permits,
	}
}

// clone returns the prices in memory of their own.
func (q *Prices) clone() *Prices {
	o := *q
	for _, p := range append(o.pointers(), &o.LabourHydroH, &o.CleanIntakeH, &o.BuildHydroH, &o.LabourGeneratorH) {
		if *p != nil {
			v := **p
			*p = &v
		}
	}
	return &o
}

// Times returns the prices, each times a factor of its own; those that are not
// given stay so.
func (q *Prices) Times(factor func(i int) float64) *Prices {
	o := q.clone()
	for i, p := range o.pointers() {
		if *p != nil {
			**p *= factor(i)
		}
	}
	return o
}

// Drawn returns the prices as a draw has them, each by itself within a share of
// what was given; nil of nil.
func (q *Prices) Drawn(fraction float64, d sim.Draw, seed uint64) *Prices {
	if q == nil {
		return nil
	}
	return q.Times(func(i int) float64 { return sim.Factor(fraction, sim.Z(seed, sim.ThePrices, i, d[sim.ThePrices])) })
}

// sure weighs hydro again in each draw: its years, its prices, and mixes of its
// own.
func (c *comparison) sure() error {
	if c.Draws == 0 {
		return nil
	}
	r := c.r
	u := &Sure{Draws: c.Draws}
	u.With.Middle, u.Without.Middle = r.Alternative(WithHydro).UnmetMean, r.Alternative(WithoutHydro).UnmetMean
	if r.Mixes != nil {
		u.Mixes = &SureMixes{Saved: sim.Doubt{Middle: r.Mixes.saved()}}
	}
	for d := range c.Draws {
		p := *c.Plan
		p.World = c.Draw(d)
		with, err := p.unmetMean(c.ctx, p.withHydro())
		if err != nil {
			return err
		}
		without, err := p.unmetMean(c.ctx, p.baseline())
		if err != nil {
			return err
		}
		u.With.Draws, u.Without.Draws = append(u.With.Draws, with), append(u.Without.Draws, without)
		if r.Mixes != nil {
			saved, err := r.Mixes.savedIn(c.ctx, p.World)
			if err != nil {
				return err
			}
			u.Mixes.Saved.Draws = append(u.Mixes.Saved.Draws, saved)
			if saved >= 0 {
				u.Mixes.Worth++
			}
		}
		if err := c.step(); err != nil {
			return err
		}
	}
	r.Sure = u
	return nil
}

// saved is [SureMixes.Saved] of the mixes as they were found.
func (m *Mixes) saved() float64 {
	cost := func(w *Alternative) float64 {
		if w == nil {
			return math.Inf(1)
		}
		return *w.CostAYear
	}
	return cost(m.Without) - cost(m.With)
}

// savedIn is [SureMixes.Saved] in another world.
func (m *Mixes) savedIn(ctx context.Context, w World) (float64, error) {
	p := *m.market.p
	p.World = w
	k := newMarket(&p, false)
	k.order = m.market.order
	tf := newTariff(&p, p.Prices)
	_, without, err := k.cheapest(ctx, tf, m.Target, false, math.Inf(1), false, k.like(m.low)...)
	if err != nil {
		return 0, err
	}
	_, with, err := k.cheapest(ctx, tf, m.Target, true, math.Inf(1), false, k.like(m.with)...)
	return without - with, err
}

// unmetMean returns the unmet hours of a mean year.
func (p *Plan) unmetMean(ctx context.Context, s setup) (float64, error) {
	v := p.variant(s)
	b := v.Bus(p.Bus)
	hours := make([]float64, len(p.Years))
	err := sim.Held(p.Years).Visit(ctx, nil, func(c sim.Case) error {
		var t sim.Tally
		b.Span(c.As(v), b.Start(), 0, c.In.Hours(), &t)
		hours[c.Year] = float64(t.UnmetHours)
		return nil
	})
	return sim.NewSpread(hours).Mean(), err
}

// Known returns what the creek saves in the draws in which mixes of both sides
// keep to the target.
func (m *SureMixes) Known() sim.Doubt {
	known := sim.Doubt{Middle: m.Saved.Middle}
	for _, v := range m.Saved.Draws {
		if !math.IsInf(v, 0) && !math.IsNaN(v) {
			known.Draws = append(known.Draws, v)
		}
	}
	return known
}
