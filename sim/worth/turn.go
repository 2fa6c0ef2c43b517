package worth

import (
	"context"
	"math"
	"slices"
	"time"
)

// What can turn the verdict beside the prices ([Prices.Named]).
const (
	DiscountRate     = "discount rate"
	LifeOfPanels     = "life of panels"
	LifeOfTurbine    = "life of the turbine"
	LifeOfPipe       = "life of pipe and works"
	LifeOfInverter   = "life of the inverter"
	LifeOfGenerator  = "life of the generator"
	HoursOfBuilding  = "own hours of building hydro"
	HoursOfHydro     = "own hours of hydro a year"
	HoursOfWalk      = "own hours of a walk to the intake"
	HoursOfGenerator = "own hours of a generator a year"
	WaterOfCreek     = "water of the creek"
	HeadOfPipe       = "head"
)

// TurningPoint is how far one thing would have to be otherwise, alone, for the
// cheapest mix to be without the creek where it was with it, or the other way
// round: every mix of the grid weighed again there.
type TurningPoint struct {
	Name    string
	Given   float64 // as it is: money, share a year, years, hours, m³/s of the dark month's mean, m
	TurnsAt float64
	Factor  float64 // TurnsAt over Given
}

// Within reports whether it turns within 20 % of what was given.
func (t TurningPoint) Within() bool { return 0.8 <= t.Factor && t.Factor <= 1.2 }

// farthestTurn is how many times more or less of a thing is tried: no one is
// that wrong about it.
const farthestTurn = 5

// turnWithin is how close two factors lie between which the verdict turns; with
// waterTurnWithin mixes are run through other water at each.
const (
	turnWithin      = 0.01
	waterTurnWithin = 0.03
)

// knob is a number of the prices that can turn the verdict.
type knob struct {
	name string
	of   func(q *Prices) *float64 // nil: not given
}

func knobs() []knob {
	var ks []knob
	for i, n := range (&Prices{}).list() {
		ks = append(ks, knob{n.name, func(q *Prices) *float64 { return q.list()[i].value }})
	}
	return append(ks,
		knob{DiscountRate, func(q *Prices) *float64 { return &q.DiscountRate }},
		knob{LifeOfPanels, func(q *Prices) *float64 { return &q.LifePanelsY }},
		knob{LifeOfTurbine, func(q *Prices) *float64 { return &q.LifeHydroY }},
		knob{LifeOfPipe, func(q *Prices) *float64 { return &q.LifePenstockY }},
		knob{LifeOfInverter, func(q *Prices) *float64 { return &q.LifeInverterY }},
		knob{LifeOfGenerator, func(q *Prices) *float64 { return &q.LifeGeneratorH }},
		knob{HoursOfBuilding, func(q *Prices) *float64 { return q.BuildHydroH }},
		knob{HoursOfHydro, func(q *Prices) *float64 { return q.LabourHydroH }},
		knob{HoursOfWalk, func(q *Prices) *float64 { return q.CleanIntakeH }},
		knob{HoursOfGenerator, func(q *Prices) *float64 { return q.LabourGeneratorH }},
	)
}

// turned returns the prices with one number times a factor.
func (kn knob) turned(q *Prices, factor float64) *Prices {
	o := q.clone()
	*kn.of(o) *= factor
	return o
}

// turn finds what turns the verdict of the mixes, the nearest first.
func (m *Mixes) turn(ctx context.Context, p *Plan, c Creek) ([]TurningPoint, error) {
	var turns []TurningPoint
	for _, kn := range knobs() {
		v := kn.of(p.Prices)
		if v == nil || *v == 0 {
			continue
		}
		factor, found, err := nearestTurn(m.Worth(), func(f float64) (bool, error) {
			return m.worthAt(ctx, kn.turned(p.Prices, f))
		})
		if err != nil {
			return nil, err
		}
		if found {
			turns = append(turns, TurningPoint{kn.name, *v, *v * factor, factor})
		}
	}
	if p.Other != nil {
		for _, of := range []struct {
			name  string
			given float64
			world func(f float64) World
		}{
			{WaterOfCreek, c.FlowM3S, func(f float64) World { return p.Other(f, 1) }},
			{HeadOfPipe, p.HeadM, func(f float64) World { return p.Other(1, f) }},
		} {
			factor, found, err := m.waterTurn(ctx, of.world)
			if err != nil {
				return nil, err
			}
			if found {
				turns = append(turns, TurningPoint{of.name, of.given, of.given * factor, factor})
			}
		}
	}
	slices.SortStableFunc(turns, func(a, b TurningPoint) int {
		x, y := math.Abs(math.Log(a.Factor)), math.Abs(math.Log(b.Factor))
		switch {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	return turns, nil
}

// worthAt reports whether the cheapest mix has the creek in it at other prices.
func (m *Mixes) worthAt(ctx context.Context, q *Prices) (bool, error) {
	k := m.market
	tf := newTariff(k.p, q)
	low, cost, err := k.cheapest(ctx, tf, m.Target, false, math.Inf(1), false, m.low)
	if err != nil {
		return false, err
	}
	if low != nil {
		cost = math.Nextafter(cost, math.Inf(1)) // as much is cheap enough
	}
	with, _, err := k.cheapest(ctx, tf, m.Target, true, cost, true, m.with)
	return with != nil, err
}

// nearestTurn returns the factor nearest to 1, in ratio and to turnWithin, at
// which a verdict is another than now. Both sides are tried in steps of a
// quarter, up to farthestTurn and down to one over it; what turns twice within
// one step is not seen.
func nearestTurn(now bool, verdict func(factor float64) (bool, error)) (factor float64, found bool, err error) {
	const step = 1.25
	for near := 1.0; near < farthestTurn; near *= step {
		far := math.Min(near*step, farthestTurn)
		for _, sign := range []float64{1, -1} {
			at, err := verdict(math.Pow(far, sign))
			if err != nil {
				return 0, false, err
			}
			if at == now {
				continue
			}
			turn, err := between(math.Pow(near, sign), math.Pow(far, sign), turnWithin, now, verdict)
			if err != nil {
				return 0, false, err
			}
			if !found || math.Abs(math.Log(turn)) < math.Abs(math.Log(factor)) {
				factor, found = turn, true
			}
		}
		if found {
			return factor, true, nil
		}
	}
	return 0, false, nil
}

// between halves the span of two factors until the verdict, which is now at one
// and another at the other, turns within so close, and returns the other.
func between(one, other, within float64, now bool, verdict func(float64) (bool, error)) (float64, error) {
	for math.Abs(math.Log(other/one)) > within {
		mid := math.Sqrt(one * other)
		at, err := verdict(mid)
		if err != nil {
			return 0, err
		}
		if at == now {
			one = mid
		} else {
			other = mid
		}
	}
	return other, nil
}

// waterTurn returns with how much of the water or the head the verdict turns:
// less of it where the creek is worth it, more where it is not, to waterTurnWithin.
// More of either is taken never to speak against the creek.
func (m *Mixes) waterTurn(ctx context.Context, world func(f float64) World) (factor float64, found bool, err error) {
	now := m.Worth()
	maximum := math.Inf(1)
	if m.Without != nil {
		maximum = math.Nextafter(*m.Without.CostAYear, math.Inf(1))
	}
	verdict := func(f float64) (bool, error) {
		p := *m.market.p
		p.World = world(f)
		k := newMarket(&p, true)
		k.order = m.market.order
		with, _, err := k.cheapest(ctx, newTariff(&p, p.Prices), m.Target, true, maximum, true, k.like(m.with)...)
		return with != nil, err
	}
	far := float64(farthestTurn)
	if now {
		far = 1 / far
	}
	at, err := verdict(far)
	if err != nil || at == now {
		return 0, false, err
	}
	factor, err = between(1, far, waterTurnWithin, now, verdict)
	return factor, err == nil, err
}

// Creek is the creek as it is in the month in which the panels give least.
type Creek struct {
	Month   time.Month
	FlowM3S float64 // mean
}

// creekOf returns the mean of a month over all years.
func (p *Plan) creekOf(month time.Month) Creek {
	c := Creek{Month: month}
	days := 0
	for _, in := range p.Years {
		for d := range in.FlowM3S {
			if in.Start.AddDate(0, 0, d).Month() == month {
				c.FlowM3S += in.FlowM3S[d]
				days++
			}
		}
	}
	if days > 0 {
		c.FlowM3S /= float64(days)
	}
	return c
}
