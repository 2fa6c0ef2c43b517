package worth

import (
	"context"
	"errors"
	"fmt"
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
	Creek         Creek          `json:"creek"`
	MadeUp        *Spread        `json:"made_up,omitempty"`
	Missing       []string       `json:"missing_prices"`
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
	r := &Result{TurningPoints: []TurningPoint{}, Missing: []string{}, Uncertainty: []string{}}
	for _, in := range p.Years {
		r.Years = append(r.Years, in.Start.Year())
	}
	if p.Prices != nil {
		r.Currency = p.Prices.Currency
	}
	const steps = 10
	done := 0
	step := func() error {
		done++
		if p.Progress != nil {
			p.Progress(done, steps)
		}
		return ctx.Err()
	}
	dark := p.darkMonth()
	add := func(name string, s setup, found bool, note string) error {
		w, err := p.evaluate(name, s, dark)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		w.Found, w.Note = found, note
		r.Ways = append(r.Ways, w)
		return step()
	}
	if err := add(WithoutHydro, p.asItIs(), true, "what stands today, the valve shut"); err != nil {
		return nil, err
	}
	if err := add(WithHydro, p.withHydro(), true, "as the site describes it"); err != nil {
		return nil, err
	}
	target := r.Way(WithHydro).UnmetMean
	for _, search := range []struct {
		name string
		find func(setup, float64) (setup, bool)
		none string
	}{
		{MorePanels, p.panelsFor, "no number of panels up to ten times today's does it"},
		{BiggerBank, p.bankFor, "no bank up to ten times today's does it"},
		{PanelsAndBank, p.bothFor, "no panels and bank up to ten times today's do it"},
	} {
		s, ok := search.find(p.asItIs(), target)
		note := "the least that gives hydro's unmet hours"
		if !ok {
			note = search.none
		}
		if err := add(search.name, s, ok, note); err != nil {
			return nil, err
		}
	}
	if p.Bus.Generator == nil {
		s := p.asItIs()
		s.generator = true
		if err := add(GeneratorInstead, s, true, fmt.Sprintf("a set of %.1f kW", p.Generator.RatedW/1000)); err != nil {
			return nil, err
		}
		s.hydro = true
		if err := add(HydroAndGenerator, s, true, fmt.Sprintf("as described, and a set of %.1f kW", p.Generator.RatedW/1000)); err != nil {
			return nil, err
		}
	}
	r.Missing = missing(r.Ways)
	if err := p.madeUp(r, dark); err != nil {
		return nil, err
	}
	if err := step(); err != nil {
		return nil, err
	}
	p.turn(r)
	if err := p.creek(ctx, r); err != nil {
		return nil, err
	}
	if err := step(); err != nil {
		return nil, err
	}
	p.judge(r)
	return r, nil
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
