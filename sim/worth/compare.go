package worth

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"sunrill/sim"
)

// The names of the ways.
const (
	WithoutHydro      = "without hydro" // what stands today, the valve shut
	WithHydro         = "with hydro"    // as it is described
	MorePanels        = "more panels"
	BiggerBank        = "bigger bank"
	PanelsAndBank     = "panels and bank"
	GeneratorInstead  = "generator instead"
	HydroAndGenerator = "hydro and generator"
)

// ErrNoHydro is the error of a plan without a turbine to compare with.
var ErrNoHydro = errors.New("the site describes no hydro to compare")

// Result is the comparison.
type Result struct {
	Currency     string // "" without prices
	Years        []int
	Alternatives []Alternative
	// Worth is true if the cheapest mix has the creek in it; where no mixes were
	// looked for, if hydro is the cheapest of the ways to its unmet hours, without
	// prices if no other way was found to reach them.
	Worth     bool
	Mixes     *Mixes         // nil: not looked for, or prices are missing
	Turns     []TurningPoint // of the mixes
	Creek     Creek
	Synthetic *Spread
	Sure      *Sure          // nil without draws
	Missing   []string       // prices and hours that were not given
	LeftOut   []LeftOut      // ways that were not compared
	Prices    *Prices        // as they were given; nil: none
	Generator *sim.Generator // of the ways with one
	Stands    bool           // the generator stands already
	Valve     Valve
}

// LeftOut is a way that was not compared, and why.
type LeftOut struct {
	Name string
	Why  Reason
}

// Reason is why a way is not compared.
type Reason int

// The reasons.
const (
	NoNeed        Reason = iota // what stands leaves no more unmet hours than hydro would
	NoPanels                    // none are described that could grow
	NoBank                      // likewise
	NoPanelsOrNot               // one of both is not described
	InEveryWay                  // the generator that stands
)

// Alternative returns the way of that name, nil if it was not compared.
func (r *Result) Alternative(name string) *Alternative {
	for i := range r.Alternatives {
		if r.Alternatives[i].Name == name {
			return &r.Alternatives[i]
		}
	}
	return nil
}

// Compare runs every way over all years of the plan, looks for the cheapest
// mixes and says whether hydro is worth it. It returns ErrNoHydro for a plan
// without hydro, and the context's error if it was cancelled.
func Compare(ctx context.Context, p *Plan) (*Result, error) {
	if !p.Hydro {
		return nil, ErrNoHydro
	}
	r := &Result{Prices: p.Prices, Valve: p.Valve}
	for _, in := range p.Years {
		r.Years = append(r.Years, in.Start.Year())
	}
	if p.Prices != nil {
		r.Currency = p.Prices.Currency
	}
	c := &comparison{Plan: p, ctx: ctx, r: r, dark: p.darkMonth()}
	r.Creek = p.creekOf(c.dark)
	for _, part := range []func() error{c.pair, c.alternatives, c.generators, c.synthetic, c.mixes, c.turn, c.sure} {
		if err := part(); err != nil {
			return nil, err
		}
		if err := c.step(); err != nil {
			return nil, err
		}
	}
	r.Worth = r.worth()
	return r, nil
}

// comparison is a plan being compared.
type comparison struct {
	*Plan
	ctx  context.Context
	r    *Result
	dark time.Month
	done int
}

// step tells how far it is and stops if it was cancelled.
func (c *comparison) step() error {
	steps := 14 + c.Draws // seven parts, seven ways
	c.done++
	if c.Progress != nil {
		c.Progress(min(c.done, steps), steps)
	}
	return c.ctx.Err()
}

func (c *comparison) add(name string, s setup, found bool) error {
	w, err := c.evaluate(name, s, c.dark)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	w.Found = found
	if !found { // why more of it does not help
		v := c.variant(s)
		if w.Why, err = sim.Diagnose(c.ctx, sim.Held(c.Years).With(v), v.Bus(c.Bus), false); err != nil {
			return err
		}
	}
	c.r.Alternatives = append(c.r.Alternatives, w)
	return c.step()
}

func (c *comparison) leaveOut(name string, why Reason) {
	c.r.LeftOut = append(c.r.LeftOut, LeftOut{name, why})
}

// pair adds the two ways that the question is about.
func (c *comparison) pair() error {
	if err := c.add(WithoutHydro, c.baseline(), true); err != nil {
		return err
	}
	return c.add(WithHydro, c.withHydro(), true)
}

// alternatives adds what panels and bank can do instead.
func (c *comparison) alternatives() error {
	now, target := c.r.Alternative(WithoutHydro), c.r.Alternative(WithHydro).UnmetMean
	panels, bank := c.PanelW > 0, c.Bus.Bank.CapacityWh > 0
	for _, try := range []struct {
		name string
		ok   bool
		why  Reason
		find func() (setup, bool)
	}{
		{MorePanels, panels, NoPanels, func() (setup, bool) { return c.panelsFor(c.baseline(), target) }},
		{BiggerBank, bank, NoBank, func() (setup, bool) { return c.bankFor(c.baseline(), target) }},
		{PanelsAndBank, panels && bank, NoPanelsOrNot, func() (setup, bool) { return c.bothBelow(target, c.sizeCost(now.BankLifeY)) }},
	} {
		switch {
		case now.UnmetMean <= target:
			c.leaveOut(try.name, NoNeed)
			continue
		case !try.ok:
			c.leaveOut(try.name, try.why)
			continue
		}
		s, found := try.find()
		if !found && try.name == PanelsAndBank {
			s = c.baseline()
			s.panelW, s.bankWh = maxTimes*s.panelW, maxTimes*s.bankWh
		}
		if err := c.add(try.name, s, found); err != nil {
			return err
		}
	}
	c.settle()
	return nil
}

// bothBelow is [Plan.bothFor] that begins with what panels alone would cost.
func (c *comparison) bothBelow(target float64, cost func(setup) float64) (setup, bool) {
	panels := c.r.Alternative(MorePanels)
	if panels == nil || !panels.Found {
		return c.bothFor(c.baseline(), target, math.Inf(1), cost)
	}
	if s, ok := c.bothFor(c.baseline(), target, cost(panels.setup), cost); ok {
		return s, true
	}
	return panels.setup, true
}

// settle makes sure that panels and bank together are never dearer than one of
// them alone: the search reckons with the bank's life of today, and where the
// years wear a bank out, a bigger one lasts longer.
func (c *comparison) settle() {
	both := c.r.Alternative(PanelsAndBank)
	if both == nil || both.CostAYear == nil {
		return
	}
	for _, name := range []string{MorePanels, BiggerBank} {
		if w := c.r.Alternative(name); w != nil && w.Found && (!both.Found || *w.CostAYear < *both.CostAYear) {
			*both = *w
			both.Name = PanelsAndBank
		}
	}
}

// generators adds the ways with a generator, where none stands already.
func (c *comparison) generators() error {
	if g := c.Bus.Generator; g != nil {
		c.r.Generator, c.r.Stands = g, true
		c.leaveOut(GeneratorInstead, InEveryWay)
		c.leaveOut(HydroAndGenerator, InEveryWay)
	} else {
		c.r.Generator = &c.Generator
		s := c.baseline()
		s.generator = true
		if err := c.add(GeneratorInstead, s, true); err != nil {
			return err
		}
		s.hydro = true
		if err := c.add(HydroAndGenerator, s, true); err != nil {
			return err
		}
	}
	c.r.Missing = missing(c.r.Alternatives)
	return nil
}

// missing lists every price that a way wanted and did not find.
func missing(alternatives []Alternative) []string {
	names := []string{}
	seen := map[string]bool{}
	for _, w := range alternatives {
		for _, m := range w.Missing {
			if !seen[m] {
				seen[m] = true
				names = append(names, m)
			}
		}
	}
	return names
}

// mixes looks for the cheapest mixes, where the plan asks for them and there are
// prices enough.
func (c *comparison) mixes() (err error) {
	if c.Grid == nil || !c.Prices.Priced() {
		return nil
	}
	t := c.Target
	if !t.Told {
		hydro := c.r.Alternative(WithHydro)
		t.UnmetHours = math.Ceil(math.Max(hydro.UnmetP80, hydro.UnmetMean))
	}
	quiet := *c.Plan
	quiet.Progress = nil
	c.r.Mixes, err = FindMixes(c.ctx, &quiet, t, *c.Grid)
	return err
}

// turn finds what turns the verdict of the mixes.
func (c *comparison) turn() (err error) {
	if m := c.r.Mixes; m != nil && (m.With != nil || m.Without != nil) {
		c.r.Turns, err = m.turn(c.ctx, c.Plan, c.r.Creek)
	}
	return err
}

// Rivals are the ways other than hydro that keep to its unmet hours.
func (r *Result) Rivals() []*Alternative {
	var ws []*Alternative
	hydro := r.Alternative(WithHydro)
	for _, name := range []string{WithoutHydro, MorePanels, BiggerBank, PanelsAndBank, GeneratorInstead} {
		if w := r.Alternative(name); w != nil && w.Found && w.UnmetMean <= hydro.UnmetMean {
			ws = append(ws, w)
		}
	}
	return ws
}

// Rival returns the cheapest of [Result.Rivals], nil if there is none or nothing
// has a price.
func (r *Result) Rival() *Alternative {
	var best *Alternative
	for _, w := range r.Rivals() {
		if w.CostAYear != nil && (best == nil || *w.CostAYear < *best.CostAYear) {
			best = w
		}
	}
	return best
}

// worth judges.
func (r *Result) worth() bool {
	hydro, now, rival := r.Alternative(WithHydro), r.Alternative(WithoutHydro), r.Rival()
	switch {
	case r.Mixes != nil:
		return r.Mixes.Worth()
	case hydro.CostAYear == nil:
		return hydro.UnmetMean < now.UnmetMean && len(r.Rivals()) == 0
	case rival == nil:
		return hydro.UnmetMean < now.UnmetMean
	}
	return *hydro.CostAYear <= *rival.CostAYear
}

// Wanting returns the names of the missing prices without which the ways cannot
// be told apart; nil without any prices.
func (r *Result) Wanting() []string {
	if r.Prices == nil {
		return nil
	}
	var names []string
	list := r.Prices.list()
	for _, i := range []int{penstockPrice, turbinePrice, worksPrice, panelPrice, bankPrice, generatorPrice, fuelPrice} {
		for _, m := range r.Missing {
			if m == list[i].name {
				names = append(names, m)
			}
		}
	}
	return names
}
