package worth

import (
	"context"
	"errors"
	"math"
	"slices"
)

// Target is the light that every mix must give and the fuel that it may burn.
type Target struct {
	UnmetHours float64 // at most, in the one-in-five year and in a mean one
	FuelL      float64 // at most, in a mean year; +Inf: no limit
	Told       bool    // by the owner; false: UnmetHours is what hydro as described leaves
}

// Grid is what the search tries: every panel power with every bank, with a
// generator and without, without the creek and through each of the plan's
// waterways. Panels and bank begin with what stands.
type Grid struct {
	PanelsW []float64
	BanksWh []float64
	Scratch bool // nothing stands yet: panels and bank are all to be bought
}

// MixPoint is the cheapest mix that keeps to so many unmet hours.
type MixPoint struct {
	UnmetHours  float64
	Alternative *Alternative // nil: none on the grid
}

// Mixes are the cheapest mixes with the creek and without, at the target and at
// others beside it.
type Mixes struct {
	Target                Target
	Grid                  Grid
	Waterways             []Waterway
	Tried                 int          // mixes of the grid
	Run                   int          // of them were run; the others cost more than the best even so
	With, Without         *Alternative // at the target; nil: none on the grid keeps to it
	WithLine, WithoutLine []MixPoint
	Today                 *Alternative // what stands, the valve shut; nil from scratch

	market *market
	with   *mix
	low    *mix // without the creek
}

// ErrNoPrices is the error of mixes that nothing is known to cost.
var ErrNoPrices = errors.New("the site gives no prices")

// mixLevels are the unmet hours a year for which the lines are drawn.
var mixLevels = []float64{0, 5, 10, 20, 50, 100, 200, 500, 1000, 2000}

// NewGrid returns the grid of a plan: sizes that grow by a sixth or so each (from
// scratch by a quarter, as there are more of them), on whole 0.1 kW and kWh, from
// what stands (from nothing, if nothing does or scratch is set) to maxPanelsW or
// ten times what stands, and to ten times the bank.
func NewGrid(p *Plan, maxPanelsW float64, scratch bool) Grid {
	times := 1.18
	if scratch {
		times = 1.26
	}
	g := Grid{Scratch: scratch}
	maximum := maxPanelsW
	if maximum <= 0 {
		maximum = math.Max(maxTimes*p.PanelW, 10000)
	}
	g.PanelsW = append(g.PanelsW, p.PanelW)
	from := math.Max(p.PanelW, 500)
	if scratch {
		g.PanelsW[0], from = 0, 500
	}
	if p.PanelW > 0 || p.ShapeW > 0 {
		for w := from; w < maximum*1.001; w *= times {
			if r := math.Round(w/gridW) * gridW; r > g.PanelsW[len(g.PanelsW)-1] {
				g.PanelsW = append(g.PanelsW, math.Min(r, maximum))
			}
		}
	}
	now := p.Bus.Bank.CapacityWh
	if now <= 0 {
		g.BanksWh = []float64{now}
		return g
	}
	first := now
	if scratch {
		first = now / 4
	}
	for wh := first; wh < maxTimes*now*1.001; wh *= times {
		r := math.Round(wh/gridWh) * gridWh
		if wh == now {
			r = now
		}
		if n := len(g.BanksWh); r > 0 && (n == 0 || r > g.BanksWh[n-1]) {
			g.BanksWh = append(g.BanksWh, r)
		}
	}
	return g
}

// FindMixes returns the cheapest mixes on a grid, exactly ([market.cheapest]).
func FindMixes(ctx context.Context, p *Plan, target Target, g Grid) (*Mixes, error) {
	if p.Prices == nil {
		return nil, ErrNoPrices
	}
	p = p.on(g)
	k := newMarket(p, false)
	if err := k.darkestFirst(ctx); err != nil {
		return nil, err
	}
	r := &Mixes{Target: target, Grid: g, Waterways: p.Waterways, Tried: len(k.mixes), market: k}
	tf := newTariff(p, p.Prices)
	dark := p.darkMonth()
	alternatives := map[*mix]*Alternative{}
	alternative := func(m *mix) (*Alternative, error) {
		if m == nil || alternatives[m] != nil {
			return alternatives[m], nil
		}
		w, err := p.evaluate("", k.setup(m), dark)
		alternatives[m] = &w
		return &w, err
	}
	levels := slices.Clone(mixLevels)
	if at, there := slices.BinarySearch(levels, target.UnmetHours); !there {
		levels = slices.Insert(levels, at, target.UnmetHours)
	}
	step := p.Progress.Steps(2 * len(levels))
	for _, side := range []struct {
		water       bool
		best        **mix
		alternative **Alternative
		line        *[]MixPoint
	}{{false, &r.low, &r.Without, &r.WithoutLine}, {true, &r.with, &r.With, &r.WithLine}} {
		var last *mix
		for _, level := range slices.Backward(levels) { // what falls short of much falls short of little
			m, _, err := k.cheapest(ctx, tf, Target{UnmetHours: level, FuelL: target.FuelL}, side.water, math.Inf(1), false, k.like(last)...)
			if err != nil {
				return nil, err
			}
			w, err := alternative(m)
			if err != nil {
				return nil, err
			}
			*side.line = append(*side.line, MixPoint{level, w})
			if level == target.UnmetHours {
				*side.best, *side.alternative = m, w
			}
			last = m
			step()
		}
		slices.Reverse(*side.line)
	}
	r.Run = k.ran
	if !g.Scratch {
		w, err := p.evaluate(WithoutHydro, p.baseline(), dark)
		if err != nil {
			return nil, err
		}
		r.Today = &w
	}
	return r, nil
}

// on returns the plan with a grid, and with a waterway at least.
func (p *Plan) on(g Grid) *Plan {
	plan := *p
	plan.Grid = &g
	if len(plan.Waterways) == 0 {
		plan.Waterways = []Waterway{{BoreRatio: 1}}
	}
	if g.Scratch {
		if plan.ShapeW == 0 {
			plan.ShapeW = plan.PanelW
		}
		plan.PanelW, plan.scratch = 0, true
	}
	return &plan
}

// Worth reports whether the cheapest mix has the creek in it.
func (m *Mixes) Worth() bool {
	return m.With != nil && (m.Without == nil || *m.With.CostAYear <= *m.Without.CostAYear)
}

// Priced reports whether all prices are given without which mixes cannot be
// told apart.
func (q *Prices) Priced() bool {
	return q != nil && q.PanelPerKW != nil && q.BankPerKWh != nil && q.PenstockPerM != nil && q.Turbine != nil && q.Works != nil &&
		q.Generator != nil && q.FuelPerL != nil
}
