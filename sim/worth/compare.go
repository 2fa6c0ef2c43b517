package worth

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// The names of the ways.
const (
	WithoutHydro      = "without hydro"
	WithHydro         = "with hydro"
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
	Currency string `json:"currency"`
	Years    []int  `json:"years"`
	Ways     []Way  `json:"ways"`
	// Worth is true if hydro is the cheapest way to its unmet hours; without
	// prices, if no other way was found to reach them.
	Worth         bool           `json:"worth"`
	Verdict       string         `json:"verdict"`
	Uncertainty   []string       `json:"uncertainty"`
	TurningPoints []TurningPoint `json:"turning_points"`
	Creek         Creek          `json:"-"`
	Mixes         *Mixes         `json:"-"` // the cheapest at a target; nil: not looked for, or no prices
	MadeUp        *Spread        `json:"made_up,omitempty"`
	Sure          *Sure          `json:"-"` // nil without draws
	Missing       []string       `json:"missing_prices"`
	LeftOut       []LeftOut      `json:"left_out"` // ways that were not compared
	Prices        *Prices        `json:"-"`        // as they were given; nil: none
	Generator     *sim.Generator `json:"-"`        // of the ways with one
	Stands        bool           `json:"-"`        // the generator stands already
	System        measure.System `json:"-"`        // of the sentences
}

// LeftOut is a way that was not compared, and why.
type LeftOut struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// Way returns the way of that name, nil if it was not compared.
func (r *Result) Way(name string) *Way {
	for i := range r.Ways {
		if r.Ways[i].Name == name {
			return &r.Ways[i]
		}
	}
	return nil
}

// Compare runs every way over all years of the plan and says whether hydro is
// worth it. It returns ErrNoHydro for a plan without hydro, and the context's
// error if it was cancelled.
func Compare(ctx context.Context, p *Plan) (*Result, error) {
	if !p.Hydro {
		return nil, ErrNoHydro
	}
	r := &Result{
		TurningPoints: []TurningPoint{}, Missing: []string{}, Uncertainty: []string{}, LeftOut: []LeftOut{},
		Prices: p.Prices, System: p.System,
	}
	for _, in := range p.Years {
		r.Years = append(r.Years, in.Start.Year())
	}
	if p.Prices != nil {
		r.Currency = p.Prices.Currency
	}
	c := &comparison{Plan: p, ctx: ctx, r: r, dark: p.darkMonth()}
	for _, part := range []func() error{c.pair, c.alternatives, c.generators, c.madeUp, c.turn, c.creek, c.sure} {
		if err := part(); err != nil {
			return nil, err
		}
		if err := c.step(); err != nil {
			return nil, err
		}
	}
	c.judge()
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

func (c *comparison) add(name string, s setup, found bool, note string) error {
	w, err := c.evaluate(name, s, c.dark)
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	w.Found, w.Note = found, note
	if !found { // why more of it does not help
		v := c.variant(s)
		if w.Why, err = sim.Diagnose(c.ctx, sim.Held(c.Years).With(v), v.Bus(c.Bus), false); err != nil {
			return err
		}
	}
	c.r.Ways = append(c.r.Ways, w)
	return c.step()
}

func (c *comparison) leaveOut(name, why string) {
	c.r.LeftOut = append(c.r.LeftOut, LeftOut{name, why})
}

// pair adds the two ways that the question is about.
func (c *comparison) pair() error {
	if err := c.add(WithoutHydro, c.asItIs(), true, "what stands today, the valve shut"); err != nil {
		return err
	}
	return c.add(WithHydro, c.withHydro(), true, "as the site describes it")
}

// alternatives adds what panels and bank can do instead.
func (c *comparison) alternatives() error {
	now, target := c.r.Way(WithoutHydro), c.r.Way(WithHydro).UnmetMean
	panels, bank := c.PanelW > 0, c.Bus.Bank.CapacityWh > 0
	const none = "no %s up to ten times today's does it"
	for _, try := range []struct {
		name string
		ok   bool
		why  string
		find func() (setup, bool)
		none string
	}{
		{MorePanels, panels, "the site describes no [[array]] that could grow",
			func() (setup, bool) { return c.panelsFor(c.asItIs(), target) }, fmt.Sprintf(none, "number of panels")},
		{BiggerBank, bank, "the site describes no bank that could grow",
			func() (setup, bool) { return c.bankFor(c.asItIs(), target) }, fmt.Sprintf(none, "bank")},
		{PanelsAndBank, panels && bank, "it takes an [[array]] and a [bank] that could grow",
			func() (setup, bool) { return c.bothBelow(target, c.sizeCost(now.BankLifeY)) }, "no panels and bank up to ten times today's do it"},
	} {
		switch {
		case now.UnmetMean <= target:
			c.leaveOut(try.name, "what stands today leaves no more unmet hours than hydro would: nothing has to grow")
			continue
		case !try.ok:
			c.leaveOut(try.name, try.why)
			continue
		}
		s, found := try.find()
		note := "the least that gives hydro's unmet hours"
		if !found {
			note = try.none
			if try.name == PanelsAndBank {
				s = c.asItIs()
				s.panelW, s.bankWh = mostTimes*s.panelW, mostTimes*s.bankWh
			}
		}
		if err := c.add(try.name, s, found, note); err != nil {
			return err
		}
	}
	c.settle()
	return nil
}

// bothBelow is [Plan.bothFor] that begins with what panels alone would cost.
func (c *comparison) bothBelow(target float64, cost func(setup) float64) (setup, bool) {
	panels := c.r.Way(MorePanels)
	if panels == nil || !panels.Found {
		return c.bothFor(c.asItIs(), target, math.Inf(1), false, cost)
	}
	if s, ok := c.bothFor(c.asItIs(), target, cost(panels.setup), false, cost); ok {
		return s, true
	}
	return panels.setup, true
}

// settle makes sure that panels and bank together are never dearer than one of
// them alone: the search reckons with the bank's life of today, and where the
// years wear a bank out, a bigger one lasts longer.
func (c *comparison) settle() {
	both := c.r.Way(PanelsAndBank)
	if both == nil || both.CostAYear == nil {
		return
	}
	for _, name := range []string{MorePanels, BiggerBank} {
		if w := c.r.Way(name); w != nil && w.Found && (!both.Found || *w.CostAYear < *both.CostAYear) {
			*both = *w
			both.Name = PanelsAndBank
		}
	}
}

// generators adds the ways with a generator, where none stands already.
func (c *comparison) generators() error {
	if g := c.Bus.Generator; g != nil {
		c.r.Generator, c.r.Stands = g, true
		const why = "the generator that the site describes is part of every way"
		c.leaveOut(GeneratorInstead, why)
		c.leaveOut(HydroAndGenerator, why)
	} else {
		c.r.Generator = &c.Generator
		s := c.asItIs()
		s.generator = true
		if err := c.add(GeneratorInstead, s, true, fmt.Sprintf("a set of %.1f kW", c.Generator.RatedW/1000)); err != nil {
			return err
		}
		s.hydro = true
		if err := c.add(HydroAndGenerator, s, true, fmt.Sprintf("as described, and a set of %.1f kW", c.Generator.RatedW/1000)); err != nil {
			return err
		}
	}
	c.r.Missing = missing(c.r.Ways)
	return nil
}

// missing lists every price that a way wanted and did not find.
func missing(ways []Way) []string {
	names := []string{}
	seen := map[string]bool{}
	for _, w := range ways {
		for _, m := range w.Missing {
			if !seen[m] {
				seen[m] = true
				names = append(names, m)
			}
		}
	}
	return names
}
