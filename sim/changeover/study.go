package changeover

import (
	"context"
	"errors"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"sunrill/sim"
)

// Study is a question: which dates, over these water years, on this bus?
type Study struct {
	Bus   sim.Bus
	Years sim.Years // with the hydro series of a valve that is open all year

	DatesOnly bool // do without a rule

	// Today is what the household does now: the dates of opening and closing, or
	// none for a valve that is open all year.
	Today [2]*Date
	// MinFlowM3S is the stream's flow with which the smallest set of nozzles
	// runs, house and creek having theirs: no rule opens for less.
	MinFlowM3S float64

	Draws sim.Years // the same years under draws; N = 0: none

	South    bool         // south of the equator: midwinter is in June
	Measures Measures     // that the rule's numbers are round in
	Progress sim.Progress // called after each year
}

// ErrNoYears is the error of a study without a water year.
var ErrNoYears = errors.New("changeover: no water years to study")

// Run answers the study.
func (s Study) Run(ctx context.Context) (*Result, error) {
	if s.Years.N == 0 {
		return nil, ErrNoYears
	}
	total := s.Years.N
	drawn := s.Draws.Runs()
	done := func(n int) {
		if s.Progress != nil {
			s.Progress(min(n, total+drawn), total+drawn)
		}
	}
	g, err := s.tables(ctx, false, done)
	if err != nil {
		return nil, err
	}
	if 2*g.wetEnds >= s.Years.N {
		// The wet season crosses the start of the water year in half the
		// years: look at valves that are open at both its ends, too.
		total *= 2
		g, err = s.tables(ctx, true, func(n int) { done(s.Years.N + n) })
		if err != nil {
			return nil, err
		}
	}
	r := &Result{Each: g.each, Never: g.mean.of(Never), all: g.mean.outcomes()}
	for _, t := range g.book.tables {
		r.Years = append(r.Years, t.Start.Year())
	}
	best := r.all.best()
	r.Best = r.all.choice(best)
	if r.Best.Dated() {
		r.Window = r.all.windowOf(best)
		r.Costs = r.all.costs(best)
	}
	r.Steady = g.steady(r.all)
	if g.stream && best != Never && !s.DatesOnly {
		b := g.book
		b.calendar, b.runs, b.minM3S, b.south = g.mean.calendar, r.all.runs, s.MinFlowM3S, s.South
		if r.Rule, err = g.book.rule(ctx, s.Measures.filled(), r.Each, sim.Workers()); err != nil {
			return nil, err
		}
	}
	r.alternatives(s.Today, g.book.tables)
	if s.Draws.N > 0 {
		var ran atomic.Int64
		r.Sure, err = s.sure(ctx, best, r.all.around, func() { done(total + int(ran.Add(1))) })
		if err != nil {
			return nil, err
		}
		r.Sure.Open.Middle, r.Sure.Close.Middle = float64(best.Open), float64(best.Close)
		r.Sure.AtBest.Middle, r.Sure.Closed.Middle = r.Best.UnmetHours, r.Never.UnmetHours
	}
	return r, nil
}

// gathered is what is kept of all years.
type gathered struct {
	mean    *mean
	book    *rulebook
	each    []YearBest
	wetEnds int  // years with power on the first and on the last day
	stream  bool // the flow is known in every year
}

// yearOf is what a worker finds of one year.
type yearOf struct {
	table  *Table
	days   *daily
	best   YearBest
	wet    bool
	stream bool
}

// tables goes over all years, a few at a time, so that only the slim tables
// of all of them are held: a third of a megabyte a year.
func (s Study) tables(ctx context.Context, around bool, done func(int)) (*gathered, error) {
	g := &gathered{book: &rulebook{around: around}, stream: true}
	searches := make([]*Search, sim.Workers())
	for w := range searches {
		searches[w] = NewSearch(s.Bus)
	}
	var mu sync.Mutex
	wait := map[int]*yearOf{} // found before an earlier year was
	err := s.Years.Visit(ctx, nil, func(c sim.Case) error {
		y := s.year(c.In, searches[c.Worker], around)
		mu.Lock()
		defer mu.Unlock()
		wait[c.Year] = y
		for n := len(g.each); wait[n] != nil; n++ {
			g.add(s, wait[n])
			delete(wait, n)
			done(n + 1)
		}
		return nil
	})
	return g, err
}

// add adds what was found of the next year.
func (g *gathered) add(s Study, y *yearOf) {
	if g.mean == nil {
		g.mean = newMean(s.calendar(y.table), g.book.around)
	}
	g.mean.add(y.table)
	y.table.slim()
	g.book.tables = append(g.book.tables, y.table)
	g.book.days = append(g.book.days, y.days)
	g.each = append(g.each, y.best)
	g.stream = g.stream && y.stream
	if y.wet {
		g.wetEnds++
	}
}

// calendar returns the dates that the years of the study share: those of the
// year itself if there is only one.
func (s Study) calendar(first *Table) calendar {
	c := calendar{first.Start, first.Days}
	for s.Years.N > 1 && c.days == 366 {
		c.start = c.start.AddDate(-1, 0, 0)
		c.days = yearDays(c.start)
	}
	return c
}

func (s Study) year(in *sim.Input, search *Search, around bool) *yearOf {
	t := search.Pairs(in)
	if around {
		search.Around(t, in)
	}
	o := t.outcomes()
	best := o.best()
	y := &yearOf{table: t, days: newDaily(in, s.South), stream: in.FlowM3S != nil}
	y.best = YearBest{
		Choice: o.choice(best), Never: t.never.UnmetHours,
		RainMM: y.days.totalMM, Start: in.Start, Days: t.Days,
	}
	if y.best.Dated() {
		y.best.Window = o.windowOf(best)
	}
	y.wet = t.runs[0] && t.moves[t.place(0, t.Days)].run > t.moves[t.place(0, t.Days-1)].run
	return y
}

func (t *Table) outcomes() outcomes {
	return outcomes{calendar{t.Start, t.Days}, t.Of, func(d int) bool { return t.runs[d] }, t.Around()}
}

func (m *mean) outcomes() outcomes {
	return outcomes{m.calendar, m.of, func(d int) bool { return 5*m.runs[d] >= m.years }, m.around.unmet != nil}
}

// choice is a pair with its outcome.
func (o outcomes) choice(p Pair) Choice {
	c := Choice{Outcome: o.of(p), Pair: p}
	switch {
	case p.Open == p.Close:
		c.Valve = Shut
	case p == Pair{0, o.days}:
		c.Valve = Running
	}
	return c
}

func (o outcomes) windowOf(best Pair) *Window {
	open, close := o.window(best)
	return &Window{open, close}
}

// steady finds the pair whose unmet hours, in the worst year of the best four
// in five, are fewest; of those as good the one of the least fuel in the mean,
// and of those again the easiest.
func (g *gathered) steady(all outcomes) Steady {
	hold := holdYears(len(g.book.tables))
	unmet := make([]float64, len(g.book.tables))
	levels := map[Pair]float64{}
	minH, minL := math.Inf(1), math.Inf(1)
	all.each(func(p Pair) {
		if !all.dated(p) {
			return
		}
		for y, t := range g.book.tables {
			unmet[y] = t.unmet(all.inYear(p, t))
		}
		slices.Sort(unmet)
		levels[p] = unmet[hold-1]
		minH = min(minH, levels[p])
	})
	for p, u := range levels {
		if u <= minH+sameHours {
			minL = min(minL, all.of(p).FuelL)
		} else {
			delete(levels, p)
		}
	}
	best, bestOf, found := Never, Outcome{}, false
	all.each(func(p Pair) {
		if _, ok := levels[p]; !ok {
			return
		}
		if o := all.of(p); o.FuelL <= noMoreFuel(minL) && (!found || o.Easier(bestOf) < 0) {
			best, bestOf, found = p, o, true
		}
	})
	if open := (Pair{0, all.days}); all.hardlyCloses(best) {
		if _, ok := levels[open]; ok && all.of(open).FuelL <= noMoreFuel(minL) {
			best = open
		}
	}
	for y, t := range g.book.tables {
		unmet[y] = t.unmet(all.inYear(best, t))
	}
	return Steady{Choice: all.choice(best), HoldsHours: levels[best], HoldsYears: hold,
		HoldsRange: sim.NewSpread(unmet).AtRange(0.8, len(unmet), sim.Middle)}
}

// holdYears is the smallest number of years that is four in five.
func holdYears(years int) int {
	return (4*years + 4) / 5
}
