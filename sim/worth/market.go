package worth

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"

	"sunrill/sim"
)

// market holds every mix of a grid in one world, and of each what running it
// has told so far.
type market struct {
	p     *Plan
	order []int // the years, the darkest first
	mixes []mix
	byOne [][]*sim.Input // the years by waterway; nil: not made yet
	walks []float64      // a year, by waterway; 0 until its years are made
	other []sim.Other    // by worker
	ran   int            // mixes that were run over the years
	bounds
}

// noWater is the waterway of a mix without the creek.
const noWater = -1

// mix is one mix: places in the grid, and what is known of it.
type mix struct {
	panel, bank, water int
	generator          bool

	failed          float64 // it keeps to no target of so many unmet hours or fewer; −1: not known to
	tried           bool    // it was run, if not through all years
	ran, worn       bool    // what is below is known
	mean, p80       float64 // unmet hours
	fuelL, runningH float64 // a year; before it ran, at the least for the target that is asked for
	bankLifeY       float64 // as the years wear it; +Inf: for ever
	// What it burns and runs at the least where a run was stopped as too dear, for
	// targets of so many unmet hours or fewer.
	stopped struct{ target, fuelL, runningH float64 }
}

// newMarket lays out the mixes of the plan's grid: those without the creek first,
// unless only those with it are asked for.
func newMarket(p *Plan, onlyWater bool) *market {
	k := &market{p: p, byOne: make([][]*sim.Input, len(p.Waterways)), walks: make([]float64, len(p.Waterways)), other: make([]sim.Other, sim.Workers())}
	generators := []bool{false, true}
	if p.Bus.Generator != nil && !p.scratch {
		generators = []bool{true} // it stands
	}
	for water := noWater; water < len(p.Waterways); water++ {
		if water == noWater && onlyWater || water != noWater && !p.Hydro {
			continue
		}
		for _, generator := range generators {
			for i := range p.Grid.PanelsW {
				for j := range p.Grid.BanksWh {
					k.mixes = append(k.mixes, mix{panel: i, bank: j, water: water, generator: generator, failed: -1})
					k.mixes[len(k.mixes)-1].stopped.target = -1
				}
			}
		}
	}
	for y := range p.Years {
		k.order = append(k.order, y)
	}
	return k
}

// darkestFirst orders the years by the unmet hours of what is described, without
// the creek: a mix that falls short is then soon known to.
func (k *market) darkestFirst(ctx context.Context) error {
	unmet := make([]float64, len(k.p.Years))
	v := k.p.variant(k.p.baseline())
	b := v.Bus(k.p.Bus)
	err := sim.Held(k.p.Years).Visit(ctx, nil, func(c sim.Case) error {
		var t sim.Tally
		b.Span(k.other[c.Worker].Of(c.In, v), b.Start(), 0, c.In.Hours(), &t)
		unmet[c.Year] = t.UnmetWh
		return nil
	})
	slices.SortStableFunc(k.order, func(a, b int) int { return cmp.Compare(unmet[b], unmet[a]) })
	return err
}

func (k *market) setup(m *mix) setup {
	s := setup{panelW: k.p.Grid.PanelsW[m.panel], bankWh: k.p.Grid.BanksWh[m.bank], generator: m.generator}
	if m.water != noWater {
		s.hydro, s.water = true, m.water
	}
	return s
}

// years returns the years that a mix runs through, made at most once a waterway.
func (k *market) years(water int) []*sim.Input {
	if water == noWater {
		return k.p.Years
	}
	if k.byOne[water] == nil {
		k.byOne[water] = k.p.through(water)
		for _, in := range k.byOne[water] {
			k.walks[water] += float64(len(in.VisitDay)) / float64(len(k.p.Years))
		}
	}
	return k.byOne[water]
}

// run runs a mix over the years until it cannot keep to a target any more (the
// sum of its unmet hours is too great, or too many years exceed it, or too much
// fuel is burnt), or costs most or more with what the years to come burn at the
// least.
func (k *market) run(ctx context.Context, tf *tariff, m *mix, t Target, most float64) error {
	years := k.years(m.water)
	n := len(years)
	ordered := make([]*sim.Input, n)
	for i, y := range k.order {
		ordered[i] = years[y]
	}
	mayExceed := n
	for float64(n-mayExceed) < oneInFive*float64(n) {
		mayExceed--
	}
	short, err := k.shortOf(ctx, m, true)
	if err != nil {
		return err
	}
	toCome := -float64(n) * k.mayLack(m, t)
	for _, wh := range short {
		toCome += wh
	}
	v := k.p.variant(k.setup(m))
	b := v.Bus(k.p.Bus)
	var mu sync.Mutex
	sum, over, fuelL, runningH := 0.0, 0, 0.0, 0.0
	fails, burns, dear := false, false, false
	unmet := make([]float64, n)
	if err := sim.Held(ordered).Visit(ctx, nil, func(c sim.Case) error {
		mu.Lock()
		stop := fails || burns || dear
		mu.Unlock()
		if stop {
			return nil
		}
		var y sim.Tally
		b.Span(k.other[c.Worker].Of(c.In, v), b.Start(), 0, c.In.Hours(), &y)
		mu.Lock()
		defer mu.Unlock()
		unmet[c.Year] = float64(y.UnmetHours)
		sum += unmet[c.Year]
		if unmet[c.Year] > t.UnmetHours {
			over++
		}
		fuelL, runningH = fuelL+y.FuelL, runningH+float64(y.GeneratorHours)
		toCome -= short[k.order[c.Year]]
		fails = sum > t.UnmetHours*float64(n)+1e-9 || over > mayExceed
		if m.generator {
			k.burns(m, fuelL, runningH, toCome, float64(n))
			burns = m.fuelL > t.FuelL*(1+1e-9)
			dear = tf.atLeast(k, m) > most*(1+1e-9)
		}
		return nil
	}); err != nil {
		return err
	}
	if !m.tried {
		m.tried = true
		k.ran++
	}
	switch {
	case fails:
		m.failed = math.Max(m.failed, t.UnmetHours)
	case burns && fuelL > t.FuelL*float64(n): // too much with any light, since the fuel is the same for all
		m.failed = math.Inf(1)
	case burns || dear:
		m.stopped.target, m.stopped.fuelL, m.stopped.runningH = t.UnmetHours, m.fuelL, m.runningH
	default:
		m.ran = true
		s := sim.NewSpread(unmet)
		m.p80, m.mean = s.At(oneInFive), s.Mean()
		m.fuelL, m.runningH = fuelL/float64(n), runningH/float64(n)
	}
	return nil
}

// oneInFive is the share of years that the one-in-five year stays above.
const oneInFive = 0.8

// wear finds how long the bank of a mix lives.
func (k *market) wear(ctx context.Context, m *mix) error {
	years := k.years(m.water)
	v := k.p.variant(k.setup(m))
	b := v.Bus(k.p.Bus)
	worn := make([]float64, len(years))
	err := sim.Held(years).Visit(ctx, nil, func(c sim.Case) error {
		y, err := c.Run(k.other[c.Worker].Of(c.In, v), b)
		if err != nil {
			return err
		}
		worn[c.Year] = b.Bank.Wear(y.SoC, sim.FullSoC).UsedAYear
		return nil
	})
	m.worn, m.bankLifeY = true, bankLife(b.Bank.LifeYears(sim.NewSpread(worn).Mean()))
	return err
}

// fails reports whether a mix is known not to keep to a target.
func (m *mix) fails(t Target) bool {
	if m.ran {
		return m.p80 > t.UnmetHours || m.mean > t.UnmetHours || m.generator && m.fuelL > t.FuelL
	}
	return t.UnmetHours <= m.failed
}

// cheapest returns the cheapest of the mixes, with the creek or without it, that
// keep to a target for less than most a year, and its cost; nil if none does.
// With anyOne the first that is found will do. The hints are tried first.
//
// It is exact. The mixes are taken in the order of what they cost at the least: a
// bank that does not wear, a generator that gives what is short at the least.
// Each is run over the years, then with its bank's wear, unless what is known by
// then is dearer than the best so far; it ends where even the least is.
func (k *market) cheapest(ctx context.Context, tf *tariff, t Target, water bool, maximum float64, anyOne bool, hints ...*mix) (*mix, float64, error) {
	var best *mix
	try := func(m *mix) error {
		if m == nil || m.fails(t) {
			return nil
		}
		if m.water != noWater {
			k.years(m.water) // which tells the walks
		}
		if !m.ran {
			if less, err := k.lacks(ctx, m, t, true); err != nil || less {
				return err
			}
			if tf.atLeast(k, m) < maximum {
				if err := k.run(ctx, tf, m, t, maximum); err != nil {
					return err
				}
			}
		}
		if !m.ran || m.fails(t) {
			return nil
		}
		if !m.worn && tf.atLeast(k, m) < maximum {
			if err := k.wear(ctx, m); err != nil {
				return err
			}
		}
		if cost := tf.atLeast(k, m); m.worn && cost < maximum {
			best, maximum = m, cost
		}
		return nil
	}
	for _, m := range hints {
		if err := try(m); err != nil {
			return nil, 0, err
		}
	}
	type offer struct {
		at      int
		minimum float64
	}
	for _, known := range []bool{true, false} { // what costs no run comes first
		var offers []offer
		for i := range k.mixes {
			m := &k.mixes[i]
			if m.worn != known || (m.water == noWater) == water || m.fails(t) {
				continue
			}
			if !m.ran {
				m.fuelL, m.runningH = 0, 0
			}
			minimum := tf.atLeast(k, m)
			if minimum < maximum && !m.ran {
				less, err := k.lacks(ctx, m, t, false)
				if err != nil {
					return nil, 0, err
				}
				if less {
					continue
				}
				minimum = tf.atLeast(k, m)
			}
			if minimum < maximum {
				offers = append(offers, offer{i, minimum})
			}
		}
		slices.SortFunc(offers, func(a, b offer) int {
			return cmp.Or(cmp.Compare(a.minimum, b.minimum), cmp.Compare(a.at, b.at))
		})
		for _, o := range offers {
			if best != nil && anyOne || o.minimum >= maximum {
				break
			}
			if err := try(&k.mixes[o.at]); err != nil {
				return nil, 0, err
			}
		}
	}
	return best, maximum, nil
}

// like returns this market's mix that is another market's, nil of nil.
func (k *market) like(m *mix) []*mix {
	if m == nil {
		return nil
	}
	for i := range k.mixes {
		if o := &k.mixes[i]; o.panel == m.panel && o.bank == m.bank && o.water == m.water && o.generator == m.generator {
			return []*mix{o}
		}
	}
	return nil
}
