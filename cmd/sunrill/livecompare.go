package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"slices"

	"sunrill/cmd/sunrill/live"
	"sunrill/plots/report"
	"sunrill/sim/files"
	"sunrill/sim/plans"
	"sunrill/sim/site"
)

// Compare implements [live.Homestead]: the first plan is the state on the page,
// which makes room where it is one of the others, or where there are too many.
func (p *livePage) Compare(ctx context.Context, kept []live.Plan, shown string) (*live.Answer, error) {
	now := kept[0]
	if slices.ContainsFunc(kept[1:], func(q live.Plan) bool { return slices.Equal(q.Settings, now.Settings) }) || len(kept) > plans.MaxSides {
		kept = kept[1:]
	}
	if len(kept) < 2 {
		said := report.Verdict{Sentences: []string{"Keep two states or more as plans, and they stand here side by side."}}
		return liveAnswer(said, nil, nil, "compare")
	}
	first, err := p.state(kept[0].Settings)
	if err != nil {
		return nil, err
	}
	h, _, err := p.home(kept[0].Settings, shown)
	if err != nil {
		return nil, err
	}
	c := &call{ctx: ctx, out: io.Discard, err: io.Discard, opts: options{seed: 1, quiet: true, draws: cmp.Or(p.draws, usualDraws), units: shown}}
	b := plans.NewBase(func(more []files.Setting) (*site.Site, error) {
		st := first
		st.set = slices.Concat(st.set, more)
		return p.read(st, shown)
	}, h, h.Years())
	if err := c.underDraws(b); err != nil {
		return nil, err
	}
	sides := []plans.Side{b.Side(kept[0].Name, b.Home)}
	for _, plan := range kept[1:] {
		s, _, err := p.load(plan.Settings, shown)
		if err != nil {
			return nil, err
		}
		h, err := b.Home.With(s)
		if err != nil {
			return nil, curable(err)
		}
		name := plan.Name
		for n := 2; slices.ContainsFunc(sides, func(s plans.Side) bool { return s.Name == name }); n++ {
			name = fmt.Sprintf("%s (%d)", plan.Name, n)
		}
		sides = append(sides, b.Side(name, h))
	}
	years, err := c.pickCommon(sides)
	if err != nil {
		return nil, curable(err)
	}
	r, err := plans.Compare(ctx, sides, years, quiet)
	if err != nil {
		return nil, curable(err)
	}
	v := report.Compare{Result: r, System: units(h.Site)}
	return liveAnswer(v.Verdict(), []report.Section{v.Section()}, nil, "compare")
}
