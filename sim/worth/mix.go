package worth

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// Target is the light that every mix must give and the fuel that it may burn.
type Target struct {
	UnmetHours float64 `json:"unmet_hours"` // at most, in the one-in-five year and in a mean one
	FuelL      float64 `json:"-"`           // at most, in a mean year; +Inf: no limit
	Default    string  `json:"default"`     // where it comes from, if the owner did not say; ""
}

// Grid is what the search tries: every panel power with every bank, with a
// generator and without, with the creek and without. Panels and bank begin with
// what stands.
type Grid struct {
	PanelsW []float64
	BanksWh []float64
	Scratch bool // nothing stands yet: panels and bank are all to be bought
}

// MixPoint is the cheapest mix that keeps to so many unmet hours.
type MixPoint struct {
	UnmetHours float64 `json:"unmet_hours"`
	Way        *Way    `json:"mix"` // nil: none on the grid
}

// Mixes are the cheapest mixes with the creek and without, at the target and at
// others beside it.
type Mixes struct {
	Target        Target         `json:"target"`
	Grid          Grid           `json:"-"`
	Tried         int            `json:"tried"`
	With, Without *Way           `json:"-"` // at the target; nil: none on the grid keeps to it
	WithLine      []MixPoint     `json:"with_hydro"`
	WithoutLine   []MixPoint     `json:"without_hydro"`
	Today         *Way           `json:"today"` // what stands, the valve shut
	System        measure.System `json:"-"`
	Currency      string         `json:"-"`
}

// ErrNoPrices is the error of mixes that nothing is known to cost.
var ErrNoPrices = errors.New("the site gives no prices")

// mixLevels are the unmet hours a year for which the lines are drawn.
var mixLevels = []float64{0, 5, 10, 20, 50, 100, 200, 500, 1000, 2000}

// NewGrid returns the grid of a plan: sizes that grow by a sixth or so each, on
// whole 0.1 kW and kWh, from what stands (from nothing, if nothing does or
// scratch is set) to mostPanelsW or ten times what stands, and to ten times the
// bank.
func NewGrid(p *Plan, mostPanelsW float64, scratch bool) Grid {
	const times = 1.18
	g := Grid{Scratch: scratch}
	most := mostPanelsW
	if most <= 0 {
		most = math.Max(mostTimes*p.PanelW, 10000)
	}
	g.PanelsW = append(g.PanelsW, p.PanelW)
	from := math.Max(p.PanelW, 500)
	if scratch {
		g.PanelsW[0], from = 0, 500
	}
	if p.PanelW > 0 || p.ShapeW > 0 {
		for w := from; w < most*1.001; w *= times {
			if r := math.Round(w/gridW) * gridW; r > g.PanelsW[len(g.PanelsW)-1] {
				g.PanelsW = append(g.PanelsW, math.Min(r, most))
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
	for wh := first; wh < mostTimes*now*1.001; wh *= times {
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

// mixed is one mix with what its years came to.
type mixed struct {
	setup
	p80, mean, fuelL float64
	least            float64 // what it costs a year at the least: its bank never worn
	way              *Way    // priced as the years wear it; nil: not run yet
}

// FindMixes returns the cheapest mixes on the grid. It is exact: every mix is run
// over all years for its light and its fuel; of those that keep to a target,
// the one that would be cheapest if its bank never wore is run with its wear
// first, and so on until the next would be dearer even so.
func FindMixes(ctx context.Context, p *Plan, target Target, g Grid) (*Mixes, error) {
	if p.Prices == nil {
		return nil, ErrNoPrices
	}
	plan := *p
	if g.Scratch {
		if plan.ShapeW == 0 {
			plan.ShapeW = plan.PanelW
		}
		plan.PanelW, plan.scratch = 0, true
	}
	p = &plan
	dark := p.darkMonth()
	generators := []bool{false, true}
	if p.Bus.Generator != nil && !g.Scratch {
		generators = []bool{true} // it stands
	}
	var all []*mixed
	for _, hydro := range []bool{false, true} {
		for _, generator := range generators {
			for _, w := range g.PanelsW {
				for _, wh := range g.BanksWh {
					if !hydro || p.Hydro {
						all = append(all, &mixed{setup: setup{panelW: w, bankWh: wh, hydro: hydro, generator: generator}})
					}
				}
			}
		}
	}
	step := p.Progress.Steps(len(all))
	unmet := make([]float64, len(p.Years))
	for _, m := range all {
		if err := p.glance(ctx, m, unmet); err != nil {
			return nil, err
		}
		step()
	}
	r := &Mixes{Target: target, Grid: g, Tried: len(all), System: p.System, Currency: p.Prices.Currency}
	levels := slices.Clone(mixLevels)
	if at, there := slices.BinarySearch(levels, target.UnmetHours); !there {
		levels = slices.Insert(levels, at, target.UnmetHours)
	}
	for _, side := range []bool{false, true} {
		var own []*mixed
		for _, m := range all {
			if m.hydro == side {
				own = append(own, m)
			}
		}
		slices.SortStableFunc(own, func(a, b *mixed) int { return cmp.Compare(a.least, b.least) })
		find := func(t Target) (*Way, error) { return p.cheapestMix(ctx, own, t, dark) }
		best, err := find(target)
		if err != nil {
			return nil, err
		}
		var line []MixPoint
		for _, level := range levels {
			w, err := find(Target{UnmetHours: level, FuelL: target.FuelL})
			if err != nil {
				return nil, err
			}
			line = append(line, MixPoint{level, w})
		}
		if side {
			r.With, r.WithLine = best, line
		} else {
			r.Without, r.WithoutLine = best, line
		}
	}
	if !g.Scratch {
		w, err := p.evaluate(WithoutHydro, p.asItIs(), dark)
		if err != nil {
			return nil, err
		}
		r.Today = &w
	}
	return r, nil
}

// glance runs a mix over all years for its unmet hours and its fuel.
func (p *Plan) glance(ctx context.Context, m *mixed, unmet []float64) error {
	v := p.variant(m.setup)
	b := v.Bus(p.Bus)
	fuel, running := make([]float64, len(p.Years)), make([]float64, len(p.Years))
	if err := sim.Held(p.Years).Visit(ctx, nil, func(c sim.Case) error {
		var t sim.Tally
		b.Span(c.As(v), b.Start(), 0, c.In.Hours(), &t)
		unmet[c.Year], fuel[c.Year], running[c.Year] = float64(t.UnmetHours), t.FuelL, float64(t.GeneratorHours)
		return nil
	}); err != nil {
		return err
	}
	s := sim.NewSpread(unmet)
	m.p80, m.mean = s.At(0.8), s.Mean()
	w := Way{PanelKW: m.panelW / 1000, BankKWh: m.bankWh / 1000, Hydro: m.hydro, Generator: m.generator}
	for i := range fuel {
		w.FuelL += fuel[i] / float64(len(fuel))
		w.RunningH += running[i] / float64(len(fuel))
	}
	m.fuelL = w.FuelL
	if life := bankLife(b.Bank.LifeYears(0)); m.bankWh > 0 && !math.IsInf(life, 1) {
		w.BankLifeY = life
	}
	p.price(&w)
	m.least = *w.CostAYear
	return nil
}

// keeps reports whether a mix keeps to a target.
func (m *mixed) keeps(t Target) bool {
	return m.p80 <= t.UnmetHours && m.mean <= t.UnmetHours && (!m.generator || m.fuelL <= t.FuelL)
}

// cheapestMix returns the cheapest of mixes, which stand in the order of what
// they cost at the least, that keep to a target; nil if none does.
func (p *Plan) cheapestMix(ctx context.Context, mixes []*mixed, t Target, dark time.Month) (*Way, error) {
	var best *Way
	for _, m := range mixes {
		if best != nil && m.least >= *best.CostAYear {
			break
		}
		if !m.keeps(t) {
			continue
		}
		if m.way == nil {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			w, err := p.evaluate(describeMix(m.setup), m.setup, dark)
			if err != nil {
				return nil, err
			}
			m.way = &w
		}
		if best == nil || *m.way.CostAYear < *best.CostAYear {
			best = m.way
		}
	}
	return best, nil
}

func describeMix(s setup) string {
	parts := []string{fmt.Sprintf("%.1f kW of panels", s.panelW/1000), fmt.Sprintf("a bank of %.1f kWh", s.bankWh/1000)}
	if s.panelW == 0 {
		parts = []string{"no panels", parts[1]}
	}
	if s.generator {
		parts = append(parts, "a generator")
	}
	if s.hydro {
		parts = append(parts, "the creek")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

// Worth reports whether the cheapest mix has the creek in it.
func (m *Mixes) Worth() bool {
	return m.With != nil && (m.Without == nil || *m.With.CostAYear <= *m.Without.CostAYear)
}

// Says tells the cheapest mixes in sentences, the answer first.
func (m *Mixes) Says() []string {
	money := func(w *Way) string { return measure.Digits(math.Round(*w.CostAYear), 3) + " " + m.Currency }
	aim := fmt.Sprintf("at most %s in the one-in-five year and in a mean one", measure.Plural(int(math.Round(m.Target.UnmetHours)), "unmet hour", "unmet hours"))
	switch {
	case m.Target.FuelL == 0:
		aim += ", and no fuel"
	case !math.IsInf(m.Target.FuelL, 1):
		aim += fmt.Sprintf(", and %s of fuel a year", m.System.Volume(m.Target.FuelL/1000))
	}
	mix := func(w *Way) string {
		text := w.Name + " for " + money(w) + " a year"
		if w.Generator && w.FuelL > 0 {
			text += fmt.Sprintf(" (%s of fuel)", m.System.Volume(w.FuelL/1000))
		}
		return text
	}
	var say []string
	switch {
	case m.With == nil && m.Without == nil:
		say = append(say, fmt.Sprintf("Nothing that was tried keeps to %s.", aim))
	case m.Without == nil:
		say = append(say, fmt.Sprintf("Hydro is worth it: nothing without the creek that was tried keeps to %s; the cheapest with it is %s.", aim, mix(m.With)))
	case m.With == nil:
		say = append(say, fmt.Sprintf("Hydro is not worth it: for %s the cheapest is %s; nothing with the creek that was tried keeps to that.", aim, mix(m.Without)))
	default:
		apart := measure.Digits(math.Round(math.Abs(*m.With.CostAYear-*m.Without.CostAYear)), 2) + " " + m.Currency
		if m.Worth() {
			say = append(say, fmt.Sprintf("Hydro is worth it for %s: the cheapest mix is %s; the cheapest without the creek, %s, costs %s a year more.", aim, mix(m.With), mix(m.Without), apart))
		} else {
			say = append(say, fmt.Sprintf("Hydro is not in the cheapest mix for %s: that is %s; the cheapest with the creek, %s, costs %s a year more.", aim, mix(m.Without), mix(m.With), apart))
		}
	}
	if m.Target.Default != "" {
		say = append(say, m.Target.Default)
	}
	g := m.Grid
	say = append(say, fmt.Sprintf("%s mixes were run over all years: %d sizes of panels from %.1f to %.1f kW, %d of the bank from %.1f to %.1f kWh, each with a generator and without.",
		measure.Count(m.Tried), len(g.PanelsW), g.PanelsW[0]/1000, g.PanelsW[len(g.PanelsW)-1]/1000, len(g.BanksWh), g.BanksWh[0]/1000, g.BanksWh[len(g.BanksWh)-1]/1000))
	return say
}

// Priced reports whether all prices are given without which mixes cannot be
// told apart.
func (r *Result) Priced() bool {
	q := r.Prices
	return q != nil && q.PanelPerKW != nil && q.BankPerKWh != nil && q.PenstockPerM != nil && q.Turbine != nil && q.Works != nil &&
		q.Generator != nil && q.FuelPerL != nil
}
