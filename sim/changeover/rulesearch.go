package changeover

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"
	"time"
)

// rulebook is what a search for a rule looks at: the record as a person on the
// spot sees it, and the tables that tell at once what any dates come to.
type rulebook struct {
	days   []*daily
	tables []*Table
	around bool

	calendar calendar       // that the years share
	runs     func(int) bool // the creek runs the turbine on a day of it
	minM3S   float64        // of the stream, with which the smallest set runs
	south    bool
}

// in returns the function that takes a day of the shared calendar to year y.
func (b *rulebook) in(y int) func(day int) int {
	return func(day int) int { return b.calendar.inYear(Pair{day, day}, b.tables[y]).Open }
}

// goods are sums of what counts first, over years: hours and dL of fuel.
type goods struct{ unmet, fuelDL int32 }

// score sums all that a rule is judged by: what counts first, and then what makes
// it easy to live with, as [Outcome.Easier] orders it.
type score struct {
	goods
	stops, visits, open, low int32
}

func (s score) plus(o score) score {
	return score{goods{s.unmet + o.unmet, s.fuelDL + o.fuelDL}, s.stops + o.stops, s.visits + o.visits, s.open + o.open, s.low + o.low}
}

func (s score) minus(o score) score {
	return score{goods{s.unmet - o.unmet, s.fuelDL - o.fuelDL}, s.stops - o.stops, s.visits - o.visits, s.open - o.open, s.low - o.low}
}

func (s score) easier(o score) bool {
	for _, d := range [...]int32{s.stops - o.stops, s.visits - o.visits, s.open - o.open} {
		if d != 0 {
			return d < 0
		}
	}
	return s.low < o.low
}

// goods is what counts first of a pair's outcome.
func (t *Table) goods(p Pair) goods {
	h, first, second := &t.within, p.Open, p.Close
	switch {
	case p.Open == p.Close:
		return goods{int32(t.never.UnmetHours), int32(10*t.never.FuelL + 0.5)}
	case p.around():
		h, first, second = &t.around, p.Close, p.Open
	}
	i := t.place(first, second)
	return goods{int32(h.unmet[i]), int32(10*h.fuelL[i] + 0.5)}
}

// score is the outcome of a pair in whole numbers, as [Table.Of] gives it.
func (t *Table) score(p Pair) score {
	s := score{goods: t.goods(p)}
	if p.Open == p.Close {
		s.low = int32(t.never.LowHours)
		return s
	}
	h, first, second := &t.within, p.Open, p.Close
	if p.around() {
		h, first, second = &t.around, p.Close, p.Open
	}
	m := t.moved(p)
	s.low, s.stops, s.visits, s.open = int32(h.low[t.place(first, second)]), int32(m.stops), int32(m.visits), int32(second-first)
	if p.around() {
		s.open = int32(t.Days) - s.open
	}
	return s
}

// Measures are the household's own, in which the numbers of a rule are round. What
// is 0 is metric: a bucket of 20 L, L/s and 25 mm.
type Measures struct {
	BucketM3   float64 // what its bucket holds
	FlowPerM3S float64 // how many of its unit of flow make 1 m³/s
	RainMM     float64 // its step of rain
}

func (m Measures) filled() Measures {
	return Measures{cmp.Or(m.BucketM3, 0.02), cmp.Or(m.FlowPerM3S, 1000), cmp.Or(m.RainMM, 25)}
}

// candidates are the parts of rules that are tried. The numbers are round in
// the units that the household reads, bucket seconds above all, and the
// simplest come first: of rules equally good the first is kept.
func (b *rulebook) candidates(m Measures) (opens []opening, ebbs []ebb, springs []spring) {
	var q, totals []float64
	for _, d := range b.days {
		q = append(q, d.flow...)
		totals = append(totals, d.totalMM)
	}
	opens, ebbs, springs = append(opens, opening{}), append(ebbs, ebb{}), append(springs, spring{})
	steps := flowSteps(q, m)
	for _, n := range []int{1, 3, 5} {
		for _, f := range steps {
			if f >= b.minM3S {
				opens = append(opens, opening{flowM3S: f, days: n})
			}
			ebbs = append(ebbs, ebb{flowM3S: f, days: n})
		}
	}
	for day := range b.calendar.days {
		t := b.calendar.time(day)
		if day == 0 || t.Day() != 1 && t.Day() != 8 && t.Day() != 16 && t.Day() != 24 {
			continue
		}
		if b.runs(day) {
			opens = append(opens, opening{date: day})
		}
		if lengthens(t, b.south) {
			springs = append(springs, spring{date: day})
		}
		months := map[bool][]time.Month{false: {1, 2, 3, 4}, true: {7, 8, 9, 10}}[b.south]
		if t.Day() == 1 && slices.Contains(months, t.Month()) {
			for _, n := range []int{3, 5, 7} {
				springs = append(springs, spring{full: n, since: day})
			}
		}
	}
	step := m.RainMM
	if maximum := slices.Max(totals); maximum > 0 {
		for step*24 < maximum {
			step *= 2
		}
		for r := step; r < maximum; r += step {
			opens = append(opens, opening{rainMM: r})
		}
	}
	return opens, ebbs, springs
}

// bucketTimes are times in s that a person can tell from each other with a
// watch, and that a text can say in full.
var bucketTimes = []float64{1200, 900, 600, 480, 360, 300, 240, 180, 120, 100, 90, 80, 70, 60, 50, 45, 40, 35, 30, 25, 22, 20, 18, 16, 14, 12, 10, 9, 8, 7, 6, 5, 4, 3.5, 3, 2.5, 2}

// flowSteps spreads some twenty flows over those of the record: round seconds
// of the bucket, and where it fills too fast to be timed, flows of two digits.
func flowSteps(m3s []float64, m Measures) []float64 {
	q := slices.Clone(m3s)
	q = slices.DeleteFunc(q, func(v float64) bool { return !(v > 0) })
	if len(q) == 0 {
		return nil
	}
	slices.Sort(q)
	low, high := q[len(q)/20], q[len(q)*98/100]
	var all []float64
	for _, s := range bucketTimes {
		all = append(all, m.BucketM3/s)
	}
	factor := m.FlowPerM3S
	for v := all[len(all)-1]; v < high; {
		v *= 1.25
		digit := math.Pow(10, math.Floor(math.Log10(v*factor))-1)
		all = append(all, math.Round(v*factor/digit)*digit/factor)
	}
	all = slices.DeleteFunc(all, func(v float64) bool { return v < low*0.999 || v > high*1.001 })
	const maximum = 20
	var steps []float64
	for i := range min(maximum, len(all)) {
		steps = append(steps, all[i*len(all)/min(maximum, len(all))])
	}
	return steps
}

// rule is an opening with up to two reasons to close, of which the first to come
// closes.
type rule struct {
	opening
	ebb    ebb
	spring spring
}

// found is the best rule so far. Its place in the order of trying settles ties.
type found struct {
	score
	place int
}

func (f *found) take(s score, place int) {
	if f.place < 0 || s.easier(f.score) || !f.score.easier(s) && place < f.place {
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

func (c ebb) read(by float64) ebb {
	c.flowM3S *= by
	return c
}

// search tries every rule on every year, with every reading. Of those that
// leave, in the mean of these, no more hours and fuel than make no difference,
// it returns the easiest over all years, and for each group of years the
// one that the other years alone would have given. Year y is of group
// y % groups.
func (b *rulebook) search(ctx context.Context, m Measures, groups, workers int) (best rule, without []rule, err error) {
	t := b.trials(m, groups, workers)
	good, err := t.good(ctx)
	if err != nil {
		return rule{}, nil, err
	}
	bests, err := t.easiest(ctx, good)
	if err != nil {
		return rule{}, nil, err
	}
	for _, f := range bests[1:] {
		without = append(without, t.rule(f.place))
	}
	return t.rule(bests[0].place), without, nil
}

// trials are all rules, each of which has a place, on all years with all readings.
type trials struct {
	*rulebook
	opens           []opening
	ebbs            []ebb
	springs         []spring
	byEbb, bySpring [][][]int16 // closing days by the day it opened; by try, by year
	groups, workers int
	years, tries    int
	ofOpen, ofAll   int // rules of an opening, rules
}

func (b *rulebook) trials(m Measures, groups, workers int) *trials {
	t := &trials{rulebook: b, groups: groups, workers: workers, years: len(b.days)}
	t.opens, t.ebbs, t.springs = b.candidates(m)
	t.tries, t.ofOpen = t.years*len(readings), len(t.ebbs)*len(t.springs)
	t.ofAll = len(t.opens) * t.ofOpen
	t.byEbb, t.bySpring = make([][][]int16, len(t.ebbs)), make([][][]int16, len(t.springs))
	for i, c := range t.ebbs {
		t.byEbb[i] = make([][]int16, t.tries)
		for n := range t.byEbb[i] {
			t.byEbb[i][n] = c.read(readings[n/t.years]).closes(nil, b.days[n%t.years])
		}
	}
	for i, c := range t.springs {
		t.bySpring[i] = make([][]int16, t.years)
		for y, d := range b.days {
			t.bySpring[i][y] = c.closes(nil, d, b.tables[y], b.in(y))
		}
	}
	return t
}

// rule returns the rule of a place.
func (t *trials) rule(place int) rule {
	i, rest := place/t.ofOpen, place%t.ofOpen
	return rule{t.opens[i], t.ebbs[rest/len(t.springs)], t.springs[rest%len(t.springs)]}
}

// each plays the rules of all openings and calls use, on one of several
// goroutines, with what to add up over the tries of a rule.
func (t *trials) each(ctx context.Context, wanted func(place int) bool, use func(worker, place int, of func(f func(y int, p Pair)))) error {
	var turn atomic.Int64
	var wg sync.WaitGroup
	for w := range t.workers {
		wg.Go(func() {
			next := make([][]int16, t.tries)
			for ctx.Err() == nil {
				i := int(turn.Add(1)) - 1
				if i >= len(t.opens) {
					return
				}
				for n := range next {
					next[n] = t.opens[i].read(readings[n/t.years]).next(next[n], t.days[n%t.years], t.in(n%t.years))
				}
				for j := range t.ebbs {
					for k := range t.springs {
						place := i*t.ofOpen + j*len(t.springs) + k
						// A valve that is carried over from year to year knows no
						// start and no end but never being closed.
						if t.around && (i == 0) != (j == 0 && k == 0) || !wanted(place) {
							continue
						}
						use(w, place, func(f func(y int, p Pair)) {
							open := t.around
							for n := range t.tries {
								y := n % t.years
								if y == 0 {
									open = t.around
								}
								var p Pair
								p, open = t.dates(y, next[n], t.byEbb[j][n], t.bySpring[k][y], open)
								f(y, p)
							}
						})
					}
				}
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// good finds what counts first: it returns a function that tells of a place
// whether its hours and fuel are no more than make no difference, over all years
// (group 0) or without those of group g−1.
func (t *trials) good(ctx context.Context) (func(place, g int) bool, error) {
	groups := t.groups
	// sums[place*(groups+1)] is over all years, the others are without a group.
	sums := make([]goods, t.ofAll*(groups+1))
	tried := make([]bool, t.ofAll)
	err := t.each(ctx, func(int) bool { return true }, func(_, place int, of func(func(int, Pair))) {
		s := sums[place*(groups+1) : (place+1)*(groups+1)]
		of(func(y int, p Pair) {
			g := t.tables[y].goods(p)
			s[0].unmet += g.unmet
			s[0].fuelDL += g.fuelDL
			s[1+y%groups].unmet += g.unmet
			s[1+y%groups].fuelDL += g.fuelDL
		})
		for i := range s[1:] {
			s[1+i] = goods{s[0].unmet - s[1+i].unmet, s[0].fuelDL - s[1+i].fuelDL}
		}
		tried[place] = true
	})
	if err != nil {
		return nil, err
	}
	maximum := make([]goods, groups+1) // that make no difference
	for g := range maximum {
		n := t.tries
		if g > 0 && groups > 1 {
			for y := g - 1; y < t.years; y += groups {
				n -= len(readings)
			}
		}
		minimum := goods{math.MaxInt32, math.MaxInt32}
		for place, is := range tried {
			if is {
				minimum.unmet = min(minimum.unmet, sums[place*(groups+1)+g].unmet)
			}
		}
		maximum[g].unmet = minimum.unmet + int32(sameHours*n)
		for place, is := range tried {
			if s := sums[place*(groups+1)+g]; is && s.unmet <= maximum[g].unmet {
				minimum.fuelDL = min(minimum.fuelDL, s.fuelDL)
			}
		}
		maximum[g].fuelDL = int32(10 * float64(n) * noMoreFuel(float64(minimum.fuelDL)/10/float64(max(n, 1))))
	}
	return func(place, g int) bool {
		s := sums[place*(groups+1)+g]
		return tried[place] && s.unmet <= maximum[g].unmet && s.fuelDL <= maximum[g].fuelDL
	}, nil
}

// easiest returns, of the good rules, those that are easiest to live with: over all
// years, then without each group.
func (t *trials) easiest(ctx context.Context, good func(place, g int) bool) ([]found, error) {
	results := make([][]found, t.workers)
	for w := range results {
		results[w] = slices.Repeat([]found{{place: -1}}, t.groups+1)
	}
	err := t.each(ctx, func(place int) bool {
		for g := range t.groups + 1 {
			if good(place, g) {
				return true
			}
		}
		return false
	}, func(w, place int, of func(func(int, Pair))) {
		var all score
		group := make([]score, t.groups)
		of(func(y int, p Pair) {
			s := t.tables[y].score(p)
			all = all.plus(s)
			group[y%t.groups] = group[y%t.groups].plus(s)
		})
		if good(place, 0) {
			results[w][0].take(all, place)
		}
		for g := range group {
			if good(place, g+1) {
				results[w][g+1].take(all.minus(group[g]), place)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	bests := results[0]
	for _, other := range results[1:] {
		for i, f := range other {
			if f.place >= 0 {
				bests[i].take(f.score, f.place)
			}
		}
	}
	return bests, nil
}

// dates returns the days on which a rule opens and closes the valve in year y,
// and whether it leaves it open at the year's end. The valve is closed when
// the year begins, unless the year begins in the wet season: then open tells
// how the year before left it, and a valve that has been closed is opened
// again after midsummer only.
func (b *rulebook) dates(y int, next, byEbb, bySpring []int16, open bool) (Pair, bool) {
	d := b.days[y]
	days := d.days()
	closes := func(from int) int {
		return min(int(byEbb[from]), int(bySpring[from]), days)
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
	from := c + 1
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
		ps[y], open = b.dates(y, r.next(nil, d, b.in(y)), r.ebb.closes(nil, d), r.spring.closes(nil, d, b.tables[y], b.in(y)), open)
	}
	return ps
}
