package changeover

import (
	"context"
	"math"
	"slices"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"sunrill/sim/measure"
)

// rulebook is what a search for a rule looks at: the record as a person on the
// spot sees it, and the tables that tell at once what any dates come to.
type rulebook struct {
	days   []*daily
	tables []*Table
	around bool
}

// score sums outcomes over years: what counts first, and then what makes a rule
// easy to live with, as [Outcome.Easier] orders it.
type score struct{ unmet, fuelDL, stops, visits, open, low int32 }

func (s score) plus(o score) score {
	return score{s.unmet + o.unmet, s.fuelDL + o.fuelDL, s.stops + o.stops, s.visits + o.visits, s.open + o.open, s.low + o.low}
}

func (s score) minus(o score) score {
	return score{s.unmet - o.unmet, s.fuelDL - o.fuelDL, s.stops - o.stops, s.visits - o.visits, s.open - o.open, s.low - o.low}
}

func (s score) less(o score) bool {
	for _, d := range [...]int32{s.unmet - o.unmet, s.fuelDL - o.fuelDL, s.stops - o.stops, s.visits - o.visits, s.open - o.open} {
		if d != 0 {
			return d < 0
		}
	}
	return s.low < o.low
}

// score is the outcome of a pair in whole numbers, as [Table.Of] gives it.
func (t *Table) score(p Pair) score {
	h, first, second := &t.within, p.Open, p.Close
	switch {
	case p.Open == p.Close:
		return score{unmet: int32(t.never.UnmetHours), low: int32(t.never.LowHours), fuelDL: int32(10*t.never.FuelL + 0.5)}
	case p.around():
		h, first, second = &t.around, p.Close, p.Open
	}
	i, m := t.place(first, second), t.moved(p)
	s := score{
		unmet: int32(h.unmet[i]), low: int32(h.low[i]), fuelDL: int32(10*h.fuelL[i] + 0.5),
		stops: int32(m.stops), visits: int32(m.visits), open: int32(second - first),
	}
	if p.around() {
		s.open = int32(t.Days) - s.open
	}
	return s
}

// candidates are the halves of rules that are tried. The numbers are round in
// the units that the household reads, and the simplest come first: of rules
// equally good the first is kept.
func (b *rulebook) candidates(u measure.System) (open []opening, flows, suns []closing) {
	var q, totals []float64
	leastSun, mostSun := math.Inf(1), 0.0
	for _, d := range b.days {
		q = append(q, d.flow...)
		totals = append(totals, d.totalMM)
		for i := sunDays; i < len(d.sun); i++ {
			if d.lengthens[i] {
				leastSun, mostSun = min(leastSun, d.sun[i]), max(mostSun, d.sun[i])
			}
		}
	}
	open = append(open, opening{})
	flows = append(flows, closing{})
	suns = append(suns, closing{})
	steps := flowSteps(q, u)
	for _, n := range []int{3, 2, 5, 1, 7} {
		for _, f := range steps {
			open = append(open, opening{flowM3S: f, days: n})
			flows = append(flows, closing{flowM3S: f, days: n})
		}
	}
	inch := u.RainAxis().Factor
	step := 25.0
	if u == measure.US {
		step = 1 / inch
	}
	if most := slices.Max(totals); most > 0 {
		for step*24 < most {
			step *= 2
		}
		for r := step; r < most; r += step {
			open = append(open, opening{rainMM: r})
		}
	}
	for s := math.Ceil(2*leastSun) / 2; s < mostSun && s > 0; s += 0.5 {
		suns = append(suns, closing{sunHours: s})
	}
	return open, flows, suns
}

// flowSteps spreads some twenty flows over those of the record, each of two
// digits in the household's unit.
func flowSteps(m3s []float64, u measure.System) []float64 {
	q := slices.Clone(m3s)
	q = slices.DeleteFunc(q, func(v float64) bool { return !(v > 0) })
	if len(q) == 0 {
		return nil
	}
	slices.Sort(q)
	low, high := q[len(q)/20], q[len(q)*98/100]
	factor := u.FlowAxis().Factor
	const most = 20
	var steps []float64
	for i := range most + 1 {
		v := low * math.Pow(high/low, float64(i)/most) * factor
		digit := math.Pow(10, math.Floor(math.Log10(v))-1)
		v = math.Round(v/digit) * digit / factor
		if len(steps) == 0 || v > steps[len(steps)-1]*1.001 {
			steps = append(steps, v)
		}
	}
	return steps
}

// rule is an opening with up to two reasons to close.
type rule struct {
	opening
	flow, sun closing // the first to come closes
}

// found is the best rule so far. Its place in the order of trying settles ties.
type found struct {
	score
	place int
}

func (f *found) take(s score, place int) {
	if f.place < 0 || s.less(f.score) || s == f.score && place < f.place {
		*f = found{s, place}
	}
}

// readings are the errors with which a rule is tried: a bucket, a float or a
// rain gauge may show too much or too little by a sixth. A rule that hangs on
// its last digit fails one of them, and on the next winter too.
var readings = [...]float64{1, 1 / 1.2, 1.2}

func (o opening) read(by float64) opening {
	o.flowM3S *= by
	o.rainMM *= by
	return o
}

func (c closing) read(by float64) closing {
	c.flowM3S *= by
	return c
}

// search tries every rule on every year, with every reading. It returns the
// best over all years, and for each group of years the best that the other
// years alone would have given. Year y is of group y % groups.
func (b *rulebook) search(ctx context.Context, u measure.System, groups, workers int) (best rule, without []rule, err error) {
	opens, flows, suns := b.candidates(u)
	years := len(b.days)
	tries := years * len(readings)
	byFlow, bySun := make([][][]int16, len(flows)), make([][][]int16, len(suns))
	for i, c := range flows {
		byFlow[i] = make([][]int16, tries)
		for n := range byFlow[i] {
			byFlow[i][n] = orNone(c.read(readings[n/years]), b.days[n%years], closing.byFlow)
		}
	}
	for i, c := range suns {
		bySun[i] = make([][]int16, years)
		for y, d := range b.days {
			bySun[i][y] = orNone(c, d, closing.bySun)
		}
	}

	at := func(place int) rule {
		i, rest := place/(len(flows)*len(suns)), place%(len(flows)*len(suns))
		return rule{opens[i], flows[rest/len(suns)], suns[rest%len(suns)]}
	}
	var turn atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	results := make([][]found, workers) // of each worker: over all years, then without each group
	for w := range workers {
		group.Go(func() error {
			bests := make([]found, groups+1)
			for i := range bests {
				bests[i].place = -1
			}
			next := make([][]int16, tries)
			of := make([]score, groups)
			for ctx.Err() == nil {
				i := int(turn.Add(1)) - 1
				if i >= len(opens) {
					break
				}
				for n := range next {
					next[n] = opens[i].read(readings[n/years]).next(next[n], b.days[n%years])
				}
				for j := range flows {
					for k := range suns {
						// A valve that is carried over from year to year knows no start
						// and no end but never being closed.
						if b.around && (i == 0) != (j == 0 && k == 0) {
							continue
						}
						clear(of)
						var all score
						open := b.around
						for n := range tries {
							y := n % years
							if y == 0 {
								open = b.around
							}
							var p Pair
							p, open = b.dates(y, opens[i].days, next[n], byFlow[j][n], bySun[k][y], open)
							s := b.tables[y].score(p)
							of[y%groups] = of[y%groups].plus(s)
							all = all.plus(s)
						}
						place := (i*len(flows)+j)*len(suns) + k
						bests[0].take(all, place)
						for g, s := range of {
							bests[g+1].take(all.minus(s), place)
						}
					}
				}
			}
			results[w] = bests
			return ctx.Err()
		})
	}
	if err := group.Wait(); err != nil {
		return rule{}, nil, err
	}
	bests := results[0]
	for _, other := range results[1:] {
		for i, f := range other {
			if f.place >= 0 {
				bests[i].take(f.score, f.place)
			}
		}
	}
	for _, f := range bests[1:] {
		without = append(without, at(f.place))
	}
	return at(bests[0].place), without, nil
}

// orNone is what closes by c, or nothing where c is zero.
func orNone(c closing, d *daily, next func(closing, []int16, *daily) []int16) []int16 {
	if c == (closing{}) {
		none := make([]int16, d.days()+1)
		for i := range none {
			none[i] = int16(d.days() + 1)
		}
		return none
	}
	return next(c, nil, d)
}

// dates returns the days on which a rule opens and closes the valve in year y,
// and whether it leaves it open at the year's end. The valve is closed when
// the year begins, unless the year begins in the wet season: then open tells
// how the year before left it, and a valve that has been closed is opened
// again after midsummer only.
func (b *rulebook) dates(y, openDays int, next, byFlow, bySun []int16, open bool) (Pair, bool) {
	d := b.days[y]
	days := d.days()
	closes := func(from int) int {
		return min(int(byFlow[from]), int(bySun[from]), days)
	}
	if !b.around || !open {
		o := int(next[0])
		if o >= days {
			return Never, false
		}
		c := closes(o)
		return Pair{o, c}, c == days
	}
	c := closes(0)
	if c == days {
		return Pair{0, days}, true
	}
	from := c + max(1, openDays)
	for from < days && d.lengthens[from] {
		from++
	}
	if from >= days || int(next[from]) >= days {
		return Pair{0, c}, false
	}
	return Pair{int(next[from]), c}, true
}

// play returns the dates of a rule in every year.
func (b *rulebook) play(r rule) []Pair {
	ps := make([]Pair, len(b.days))
	open := b.around
	for y, d := range b.days {
		ps[y], open = b.dates(y, r.days, r.next(nil, d), orNone(r.flow, d, closing.byFlow), orNone(r.sun, d, closing.bySun), open)
	}
	return ps
}
