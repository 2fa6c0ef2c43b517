package plans

import (
	"context"
	"errors"
	"math"
	"slices"
	"sort"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/series"
	"sunrill/sim/worth"
	"sunrill/weather"
)

// Result is what trying single changes tells.
type Result struct {
	Years     int
	Draws     int    // under which each year was run; 1: the middle values alone
	Currency  string // "" without prices
	Generator bool   // the site has one: fuel counts beside dark hours
	Now       Figures
	Again     Again  // of now
	Better    []Gain // by what they save, the most first; what does nothing is at the end
	Without   []Gain // what each use costs: its dark hours saved were it not there
	Less      []Gain // what could be saved on
	Engine    []Gain // a generator where there is none
	Steps     []Step // the next steps in order
	Refused   []Change
}

// Figures are the outcome in a few numbers.
type Figures struct {
	UnmetMean, UnmetMiddle, UnmetP80, UnmetWorst float64 // hours of a mean, a middling, the one-in-five and the worst year
	DarkYears                                    int     // years with an unmet hour
	FuelL, Stops, Walks, Low                     float64 // of a mean year; Low are hours below the comfort charge
	Hazard                                       int     // hours of all years in which the turbine runs without load
}

// Again is where the hours of the one-in-five and of the worst year come out in
// sets of as many years as were run, drawn again from all that was run.
type Again struct{ P80, Worst sim.Range }

// again finds it of an outcome of so many years, each under every draw.
func again(o Outcome, years int) Again {
	u := o.UnmetHours()
	return Again{u.AtRange(0.8, years, sim.Middle), u.AtRange(1, years, sim.Middle)}
}

// Gain is a change that was tried.
type Gain struct {
	Change
	place int // in the catalogue: of like things the smaller stands first
	Figures
	SavedH, WorstSavedH, FuelSavedL, StopsSaved, LowSaved float64
	SavedLow, SavedHigh                                   float64  // of the mean year: 8 in 10 draws lie between
	HelpsIn                                               int      // draws in which it saves something
	CostAYear                                             *float64 // what is bought, over its life, and fuel; nil: not priced
	CostAnHour                                            *float64 // for a dark hour saved; nil also where none is
}

// Step is one of the next steps.
type Step struct {
	Gain // against the step before
}

// figures of an outcome.
func figures(o Outcome) Figures {
	u := o.UnmetHours()
	f := Figures{UnmetMean: u.Mean(), UnmetMiddle: u.At(0.5), UnmetP80: u.At(0.8), UnmetWorst: u.At(1), FuelL: meanOf(o.FuelL), Stops: mean(o.Stops), Walks: mean(o.Walks), Low: mean(o.Low)}
	for i, n := range o.Unmet {
		if n > 0 {
			f.DarkYears++
		}
		f.Hazard += o.Hazard[i]
	}
	return f
}

// The least that counts as something, in a mean year.
const (
	minHours = 0.5
	minFuelL = 1.0
	minStops = 0.2
	minLow   = 10.0
)

// Does tells whether the change does anything worth a word.
func (g *Gain) Does() bool {
	return math.Abs(g.SavedH) >= minHours || math.Abs(g.FuelSavedL) >= minFuelL || math.Abs(g.StopsSaved) >= minStops || math.Abs(g.LowSaved) >= minLow
}

// Helps tells whether it makes things better: dark hours first, then fuel, then
// stops of the turbine and hours of low charge.
func (g *Gain) Helps() bool {
	for _, v := range []struct{ saved, minimum float64 }{{g.SavedH, minHours}, {g.FuelSavedL, minFuelL}, {g.StopsSaved, minStops}, {g.LowSaved, minLow}} {
		if math.Abs(v.saved) >= v.minimum {
			return v.saved > 0
		}
	}
	return false
}

// less orders gains: what saves most first, in steps of what counts as
// something, so that nearly equal ones are ordered by the next thing.
func less(a, b *Gain) bool {
	for _, v := range []struct{ a, b, minimum float64 }{
		{a.SavedH, b.SavedH, minHours}, {a.FuelSavedL, b.FuelSavedL, minFuelL}, {a.StopsSaved, b.StopsSaved, minStops}, {a.LowSaved, b.LowSaved, minLow},
	} {
		if x, y := math.Round(v.a/v.minimum), math.Round(v.b/v.minimum); x != y {
			return x > y
		}
	}
	return a.Effort < b.Effort
}

// Steps is how many next steps are taken.
const Steps = 3

// The least that a step has to save in a mean year.
const (
	stepHours = 1.0
	stepFuelL = 2.0
)

// nearly is the share of the best step's saving that is as good as the best,
// if it asks for less.
const nearly = 0.85

// Improve tries every change of the catalogue over all of the base's years, and
// takes the next steps one after the other. It ends with ctx's error.
func (b *Base) Improve(ctx context.Context, progress sim.Progress) (*Result, error) {
	now, err := run(ctx, b.Years, b.under(b.Home))
	if err != nil {
		return nil, err
	}
	r := &Result{Years: len(b.Years), Draws: max(len(b.draws), 1), Now: figures(now), Again: again(now, len(b.Years)), Generator: b.Home.Site.Generator != nil}
	if p := b.Home.Site.Prices; p != nil {
		r.Currency = p.Currency
	}
	all := Catalogue(b.Home.Site, b.peak())
	// The steps try again what may help; how many that is, the first round tells.
	step := progress.Steps(len(all) * (1 + Steps))
	gains, refused, err := b.each(ctx, all, now, step)
	if err != nil {
		return nil, err
	}
	r.Refused = refused
	for _, g := range gains {
		switch g.Kind {
		case Better:
			r.Better = append(r.Better, g)
		case Without:
			r.Without = append(r.Without, g)
		case Less:
			r.Less = append(r.Less, g)
		case Engine:
			r.Engine = append(r.Engine, g)
		}
	}
	for _, gs := range [][]Gain{r.Better, r.Without, r.Less} {
		sort.SliceStable(gs, func(i, j int) bool { return less(&gs[i], &gs[j]) })
	}
	return r, b.steps(ctx, r, step)
}

// steps takes the next steps: the change that helps most, then the one that
// helps most with the first made, and so on.
func (b *Base) steps(ctx context.Context, r *Result, step func()) error {
	gains := r.Better
	for {
		best := choose(gains)
		if best == nil {
			return nil
		}
		r.Steps = append(r.Steps, Step{*best})
		if len(r.Steps) == Steps {
			return nil
		}
		done, err := b.After(best.Set)
		if err != nil {
			return err
		}
		b = done
		at, err := run(ctx, b.Years, b.under(b.Home))
		if err != nil {
			return err
		}
		var next []Change
		for _, c := range Catalogue(b.Home.Site, b.peak()) {
			if c.Kind == Better {
				next = append(next, c)
			}
		}
		if gains, _, err = b.each(ctx, next, at, step); err != nil {
			return err
		}
		sort.SliceStable(gains, func(i, j int) bool { return less(&gains[i], &gains[j]) })
	}
}

// choose returns the gain to take next: the first, or one that is nearly as
// good and asks for less effort, or for as little effort and less money; of two
// that are as good and not priced the one that is listed first, which is the
// smaller. Nil where nothing saves enough to be a step.
func choose(gains []Gain) *Gain {
	if len(gains) == 0 || gains[0].SavedH < stepHours && gains[0].FuelSavedL < stepFuelL {
		return nil
	}
	best := &gains[0]
	for i := range gains[1:] {
		g := &gains[1+i]
		switch {
		case g.SavedH < minHours || g.SavedH < nearly*gains[0].SavedH || g.Effort > best.Effort:
		case g.Effort < best.Effort,
			g.Capital != nil && best.Capital != nil && *g.Capital < *best.Capital,
			g.Capital == nil && best.Capital == nil && g.place < best.place && g.SavedH > 0.97*best.SavedH:
			best = g
		}
	}
	return best
}

// each tries changes, each by itself. What
// the site's checks refuse is given back.
func (b *Base) each(ctx context.Context, changes []Change, now Outcome, step func()) (gains []Gain, refused []Change, err error) {
	for i, c := range changes {
		t, err := b.Try(ctx, c.Set)
		step()
		var ps files.Problems
		if errors.As(err, &ps) {
			refused = append(refused, c)
			continue
		}
		if err != nil {
			return nil, nil, err
		}
		g := b.gain(c, t, now)
		g.place = i
		gains = append(gains, g)
	}
	return gains, refused, nil
}

// gain sets a change against how things are.
func (b *Base) gain(c Change, t *Tried, before Outcome) Gain {
	f, now := figures(t.Outcome), figures(before)
	g := Gain{Change: c, Figures: f, SavedH: now.UnmetMean - f.UnmetMean, WorstSavedH: now.UnmetWorst - f.UnmetWorst,
		FuelSavedL: now.FuelL - f.FuelL, StopsSaved: now.Stops - f.Stops, LowSaved: now.Low - f.Low}
	draws := max(len(b.draws), 1)
	was, is := before.byDraw(draws), t.byDraw(draws)
	saved := make([]float64, draws)
	for d := range saved {
		if saved[d] = was[d] - is[d]; saved[d] >= minHours {
			g.HelpsIn++
		}
	}
	spread := sim.NewSpread(saved)
	g.SavedLow, g.SavedHigh = spread.At(0.1), spread.At(0.9)
	p := b.Home.Site.Prices
	if c.Capital == nil || p == nil {
		return g
	}
	lifeY := c.LifeY
	if lifeY == 0 {
		lifeY = t.bankLife(b)
	}
	if lifeY <= 0 {
		return g
	}
	cost := *c.Capital * worth.CapitalRecovery(p.DiscountRate, lifeY)
	if burnt := -g.FuelSavedL; burnt != 0 {
		if p.FuelPerL == nil && burnt > 0 {
			return g
		}
		if p.FuelPerL != nil {
			cost += burnt * *p.FuelPerL
		}
	}
	g.CostAYear = &cost
	if g.SavedH >= minHours {
		hour := cost / g.SavedH
		g.CostAnHour = &hour
	}
	return g
}

// bankLife is how long the bank lasts, see [life].
func (t *Tried) bankLife(b *Base) float64 {
	var numbers []int
	for _, y := range b.Years {
		numbers = append(numbers, y.Number())
	}
	return life(t.Home, numbers)
}

// life is how long a homestead's bank lasts through these years, midway between
// the maker's curve and half of it, as the comparison of ways to live takes it;
// 0 where there is none or nothing wears it.
func life(h *series.Homestead, numbers []int) float64 {
	var years []weather.Year
	for _, y := range h.Years() {
		if slices.Contains(numbers, y.Number()) {
			years = append(years, y)
		}
	}
	if h.Site.Bank.CapacityWh <= 0 || len(years) == 0 {
		return 0
	}
	used := make([]float64, len(years))
	err := series.Over(years, h).Visit(context.Background(), nil, func(c sim.Case) error {
		y, err := c.Run(c.In, h.Bus())
		if err == nil {
			used[c.Place] = sim.Summarize(y).Wear.UsedAYear
		}
		return err
	})
	lasts := 0.75 * h.Site.Bank.LifeYears(meanOf(used))
	if err != nil || math.IsInf(lasts, 1) {
		return 0
	}
	return lasts
}
