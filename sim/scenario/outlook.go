package scenario

import (
	"cmp"
	"context"
	"math"
	"runtime"
	"slices"
	"sync/atomic"
	"time"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/stat"

	"sunrill/sim"
)

// Ahead is a homestead at one moment and the days ahead of it: what an
// outlook is made from.
type Ahead struct {
	Start   time.Time // full hour
	Hours   int
	Futures int     // number of courses
	Bus     sim.Bus // its bank starts as full as it is now
	Worker  func() func(i int) Course
	Plans   []ValvePlan // at least one; the first is what is done without a thought
	Uses    []string    // appliances that could be put off; nil: none to tell
	// Demand returns what the house asks without the uses of the given numbers,
	// course by course; it may be asked from several goroutines.
	Demand func(without []int) func(i int) sim.Input
	Sets   []SetNeed // of nozzles, by rising flow; nil without hydro
}

// Course is one way the days ahead may go; it is good until its worker makes
// the next.
type Course struct {
	In      *sim.Input // without hydro
	FlowM3S []float64  // a value a day; nil without a stream
	LeftM3S []float64  // of it for the turbine
	// Hydro returns watts and dry-pipe stops where the valve is open on the
	// days that open tells, counted from the first.
	Hydro func(dst []float64, open func(day int) bool) ([]float64, int)
}

// PlanKind names what may be done with the valve.
type PlanKind int

const (
	ByDates   PlanKind = iota // as the site's dates have it
	OpenNow                   // open from now on
	Wait                      // as it is now, opened after some days
	CloseNow                  // closed from now on
	WithoutIt                 // there is no hydro
)

// ValvePlan is what may be done with the valve.
type ValvePlan struct {
	Kind     PlanKind
	OpenNow  bool // it is open on the first day
	WaitDays int  // of Wait
	Open     func(day int) bool
	Walks    int // that it asks for now: 1 where the valve is moved
}

// SetNeed is the flow that a set of nozzles needs and the watts it then gives.
type SetNeed struct{ FlowM3S, PowerW float64 }

// Leads are the days within which the chance of dark hours is told.
var Leads = []int{7, 14, 30, 60}

// Outlook is what the days ahead may bring.
type Outlook struct {
	Start     time.Time
	Days      int
	Futures   int
	StartSoC  float64
	FloorSoC  float64
	Plans     []PlanOutlook
	Best      int // of Plans
	Sets      []SetOutlook
	Uses      []UseOutlook // the most helpful first, under the best plan
	PutOff    []UseOutlook // in the order to put them off, down to what is borne; each adds to those before
	Borne     float64      // the chance of dark that the owner bears
	Met       bool         // putting all PutOff off brings the chance down to it
	Flow      []Quantiles  // of each day; nil without a stream
	Generator bool
	Sources   []sim.Kind
}

// Quantiles of a day over the futures.
type Quantiles struct{ P10, P20, P50, P80, P90 float64 }

// PlanOutlook is what one plan for the valve leads to.
type PlanOutlook struct {
	Plan        ValvePlan
	UnmetHours  float64 // mean
	UnmetP80    float64
	UnmetP95    float64
	DryStops    float64     // mean
	FuelL       float64     // mean
	ChanceByDay []float64   // of a dark hour until the end of each day
	Chance      []float64   // the same within each of Leads that the outlook reaches
	Dark        WhenFirst   // the first dark hour
	Generator   WhenFirst   // the generator's first hour
	Charge      []Quantiles // the lowest of each day, 0 to 1
	End         Quantiles   // the charge at the end of the last hour
}

// WhenFirst is when something happens first: in a middling future, in the
// worse or earlier one of five and the one of twenty. Days count from the
// start; +Inf is not within the outlook.
type WhenFirst struct {
	Fraction                float64 // of futures in which it happens
	Median, OneIn5, OneIn20 float64
}

// SetOutlook is when the creek first carries a set of nozzles.
type SetOutlook struct {
	Need     SetNeed
	NowYes   bool    // the creek carries it on the first day in half of the futures or more
	Fraction float64 // of futures in which it does within the outlook
	// Days from the start, +Inf: not within the outlook: early in one of five,
	// in the middle, late in one of five.
	Early, Median, Late float64
}

// UseOutlook is what putting one use off does.
type UseOutlook struct {
	Use         int
	Chance      float64 // of dark within the outlook without it
	UnmetHours  float64 // mean
	ChanceSaved float64
}

// run is what one future came to under one plan.
type run struct {
	unmet       int
	dark        int // hour of the first; −1: none
	generator   int
	stops       int
	fuelL       float64
	chargeOnDay []float32
	end         float64
	flowOnDay   []float32
	setOnDay    []int16 // of each set: the first day that carries it; −1: none
}

// LookAhead runs every course under every plan, and the best plan without each
// of the uses. borne is the chance of a dark hour, 0 to 1, that the owner bears.
func LookAhead(ctx context.Context, a Ahead, borne float64, progress func(done, total int)) (*Outlook, error) {
	days := a.Hours / 24
	o := &Outlook{Start: a.Start, Days: days, Futures: a.Futures, StartSoC: a.Bus.Bank.StartSoC, FloorSoC: a.Bus.Bank.FloorAt(a.Bus.Bank.IndoorC), Borne: borne, Generator: a.Bus.Generator != nil}
	runs := make([][]run, len(a.Plans))
	for p := range runs {
		runs[p] = make([]run, a.Futures)
	}
	err := a.each(ctx, progress, func(w *aheadWorker, i int, c Course) error {
		if i == 0 {
			o.Sources = c.In.Kinds()
		}
		for p := range a.Plans {
			if err := w.run(&runs[p][i], c, a.Plans[p], a.Bus, days); err != nil {
				return err
			}
		}
		r := &runs[0][i]
		r.setOnDay = make([]int16, len(a.Sets))
		for s, need := range a.Sets {
			r.setOnDay[s] = firstDay(c.LeftM3S, need.FlowM3S)
		}
		for _, q := range c.FlowM3S {
			r.flowOnDay = append(r.flowOnDay, float32(q))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for p, plan := range a.Plans {
		o.Plans = append(o.Plans, outlookOf(plan, runs[p], days))
	}
	o.Best = best(o.Plans)
	if a.Futures > 0 && len(runs[0][0].flowOnDay) > 0 {
		o.Flow = make([]Quantiles, days)
		for d := range o.Flow {
			o.Flow[d] = quantiles(runs[0], func(r *run) float64 { return float64(r.flowOnDay[d]) })
		}
	}
	for s, need := range a.Sets {
		o.Sets = append(o.Sets, setOutlook(need, s, runs[0]))
	}
	if err := a.withoutUses(ctx, o, runs[o.Best], borne); err != nil {
		return nil, err
	}
	return o, nil
}

// aheadWorker is the memory of one goroutine.
type aheadWorker struct {
	course func(int) Course
	year   *sim.Year
	hydro  []float64
}

// each makes every course once, on all processors.
func (a *Ahead) each(ctx context.Context, progress func(done, total int), visit func(w *aheadWorker, i int, c Course) error) error {
	g, ctx := errgroup.WithContext(ctx)
	var next, done atomic.Int64
	for range min(runtime.GOMAXPROCS(0), max(a.Futures, 1)) {
		g.Go(func() error {
			w := &aheadWorker{course: a.Worker(), year: &sim.Year{}}
			for {
				i := int(next.Add(1)) - 1
				if i >= a.Futures {
					return nil
				}
				if err := ctx.Err(); err != nil {
					return err
				}
				if err := visit(w, i, w.course(i)); err != nil {
					return err
				}
				if n := done.Add(1); progress != nil {
					progress(int(n), a.Futures)
				}
			}
		})
	}
	return g.Wait()
}

// run runs a course under a plan.
func (w *aheadWorker) run(r *run, c Course, p ValvePlan, bus sim.Bus, days int) error {
	in := *c.In
	if p.Kind != WithoutIt {
		w.hydro, r.stops = c.Hydro(w.hydro, p.Open)
		in.Set(sim.Creek, w.hydro)
	}
	y, err := sim.Rerun(w.year, &in, bus)
	if err != nil {
		return err
	}
	r.unmet, r.fuelL = y.Tally.UnmetHours, y.Tally.FuelL
	r.dark, r.generator = -1, -1
	for h, u := range y.UnmetW {
		if u > sim.UnmetThresholdW {
			r.dark = h
			break
		}
	}
	for h, g := range y.GeneratorW {
		if g > 0 {
			r.generator = h
			break
		}
	}
	r.end = y.SoC[24*days-1]
	r.chargeOnDay = make([]float32, days)
	for d := range r.chargeOnDay {
		r.chargeOnDay[d] = float32(slices.Min(y.SoC[24*d : 24*d+24]))
	}
	return nil
}

func firstDay(left []float64, need float64) int16 {
	for d, q := range left {
		if q >= need*(1-1e-9) {
			return int16(d)
		}
	}
	return -1
}

func outlookOf(plan ValvePlan, runs []run, days int) PlanOutlook {
	o := PlanOutlook{Plan: plan, ChanceByDay: make([]float64, days), Charge: make([]Quantiles, days)}
	n := float64(len(runs))
	unmet := make([]float64, len(runs))
	for i := range runs {
		r := &runs[i]
		unmet[i] = float64(r.unmet)
		o.UnmetHours += float64(r.unmet)
		o.DryStops += float64(r.stops)
		o.FuelL += r.fuelL
		if r.dark >= 0 {
			for d := r.dark / 24; d < days; d++ {
				o.ChanceByDay[d]++
			}
		}
	}
	o.UnmetHours, o.DryStops, o.FuelL = o.UnmetHours/n, o.DryStops/n, o.FuelL/n
	for d := range o.ChanceByDay {
		o.ChanceByDay[d] /= n
	}
	slices.Sort(unmet)
	o.UnmetP80, o.UnmetP95 = stat.Quantile(0.8, stat.Empirical, unmet, nil), stat.Quantile(0.95, stat.Empirical, unmet, nil)
	for _, lead := range Leads {
		if lead <= days {
			o.Chance = append(o.Chance, o.ChanceByDay[lead-1])
		}
	}
	o.Dark = whenFirst(runs, func(r *run) int { return r.dark })
	o.Generator = whenFirst(runs, func(r *run) int { return r.generator })
	o.End = quantiles(runs, func(r *run) float64 { return r.end })
	for d := range o.Charge {
		o.Charge[d] = quantiles(runs, func(r *run) float64 { return float64(r.chargeOnDay[d]) })
	}
	return o
}

func quantiles(runs []run, of func(*run) float64) Quantiles {
	v := make([]float64, len(runs))
	for i := range runs {
		v[i] = of(&runs[i])
	}
	slices.Sort(v)
	at := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, v, nil) }
	return Quantiles{at(0.1), at(0.2), at(0.5), at(0.8), at(0.9)}
}

// whenFirst sorts first hours; those of bad futures are early.
func whenFirst(runs []run, of func(*run) int) WhenFirst {
	days := make([]float64, len(runs))
	w := WhenFirst{}
	for i := range runs {
		days[i] = math.Inf(1)
		if h := of(&runs[i]); h >= 0 {
			days[i] = float64(h) / 24
			w.Fraction++
		}
	}
	w.Fraction /= float64(len(runs))
	slices.Sort(days)
	at := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, days, nil) }
	w.Median, w.OneIn5, w.OneIn20 = at(0.5), at(0.2), at(0.05)
	return w
}

func setOutlook(need SetNeed, s int, runs []run) SetOutlook {
	o := SetOutlook{Need: need}
	days := make([]float64, len(runs))
	n := float64(len(runs))
	now := 0.0
	for i := range runs {
		days[i] = math.Inf(1)
		if d := runs[i].setOnDay[s]; d >= 0 {
			days[i] = float64(d)
			o.Fraction++
			if d == 0 {
				now++
			}
		}
	}
	slices.Sort(days)
	at := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, days, nil) }
	o.Fraction /= n
	o.NowYes = now >= 0.5*n
	o.Early, o.Median, o.Late = at(0.2), at(0.5), at(0.8)
	return o
}

// best picks the plan with the fewest dark hours and the least fuel; among
// those within half an hour and a litre of it the one with the fewest dry-pipe
// stops, and then the one that asks for no walk.
func best(ps []PlanOutlook) int {
	const sameHours, sameL, sameStops = 0.5, 1.0, 0.05
	minimum := 0
	for i := range ps {
		if d := ps[i].UnmetHours - ps[minimum].UnmetHours; d < -1e-9 || d < 1e-9 && ps[i].FuelL < ps[minimum].FuelL {
			minimum = i
		}
	}
	pick := minimum
	for i := range ps {
		p, b := &ps[i], &ps[pick]
		if p.UnmetHours > ps[minimum].UnmetHours+sameHours || p.FuelL > ps[minimum].FuelL+sameL {
			continue
		}
		switch d := p.DryStops - b.DryStops; {
		case d < -sameStops, d <= sameStops && p.Plan.Walks < b.Plan.Walks:
			pick = i
		}
	}
	return pick
}

// withoutUses tries to put uses off, one at a time and then one after the other.
// Less demand darkens no hour, so only the futures that have one are run.
func (a *Ahead) withoutUses(ctx context.Context, o *Outlook, runs []run, borne float64) error {
	var dark []int
	for i := range runs {
		if runs[i].dark >= 0 {
			dark = append(dark, i)
		}
	}
	chance := float64(len(dark)) / float64(max(a.Futures, 1))
	o.Met = chance <= borne
	if len(dark) == 0 || a.Demand == nil || len(a.Uses) == 0 {
		return nil
	}
	singles := make([][]int, len(a.Uses))
	for u := range singles {
		singles[u] = []int{u}
	}
	all, err := a.without(ctx, o, dark, singles)
	if err != nil {
		return err
	}
	for u := range all {
		all[u].Use, all[u].ChanceSaved = u, chance-all[u].Chance
	}
	slices.SortStableFunc(all, func(x, y UseOutlook) int {
		switch {
		case x.Chance != y.Chance && math.Abs(x.Chance-y.Chance) > 1e-12:
			return cmp.Compare(x.Chance, y.Chance)
		}
		return cmp.Compare(x.UnmetHours, y.UnmetHours)
	})
	o.Uses = all
	if o.Met {
		return nil
	}
	joint := make([][]int, len(all))
	for k := range joint {
		for _, u := range all[:k+1] {
			joint[k] = append(joint[k], u.Use)
		}
	}
	steps, err := a.without(ctx, o, dark, joint)
	if err != nil {
		return err
	}
	for k, s := range steps {
		s.Use, s.ChanceSaved = all[k].Use, chance-s.Chance
		o.PutOff = append(o.PutOff, s)
		if s.Chance <= borne+1e-12 {
			o.Met = true
			break
		}
	}
	return nil
}

// without runs the futures of the given numbers without sets of uses.
func (a *Ahead) without(ctx context.Context, o *Outlook, futures []int, sets [][]int) ([]UseOutlook, error) {
	demand := make([]func(int) sim.Input, len(sets))
	for k, uses := range sets {
		demand[k] = a.Demand(uses)
	}
	plan := o.Plans[o.Best].Plan
	days := o.Days
	type count struct{ dark, hours int }
	results := make([][]count, len(futures))
	some := *a
	some.Futures = len(futures)
	some.Worker = func() func(int) Course {
		make := a.Worker()
		return func(k int) Course { return make(futures[k]) }
	}
	err := some.each(ctx, nil, func(w *aheadWorker, k int, c Course) error {
		results[k] = make([]count, len(sets))
		if plan.Kind != WithoutIt {
			watts, _ := c.Hydro(w.hydro, plan.Open)
			w.hydro = watts
			in := *c.In
			in.Set(sim.Creek, watts)
			c.In = &in
		}
		for s := range sets {
			in := *c.In
			d := demand[s](futures[k])
			in.DemandW, in.OverW, in.FlexibleW, in.FlexibleWh = d.DemandW, d.OverW, d.FlexibleW, d.FlexibleWh
			in.WeeklyW, in.WeeklyWh, in.TogetherW = d.WeeklyW, d.WeeklyWh, d.TogetherW
			var t sim.Tally
			a.Bus.Span(&in, a.Bus.Start(), 0, 24*days, &t)
			if t.UnmetHours > 0 {
				results[k][s] = count{1, t.UnmetHours}
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	out := make([]UseOutlook, len(sets))
	for _, r := range results {
		for s, c := range r {
			out[s].Chance += float64(c.dark)
			out[s].UnmetHours += float64(c.hours)
		}
	}
	for s := range out {
		out[s].Chance /= float64(a.Futures)
		out[s].UnmetHours /= float64(a.Futures)
	}
	return out, nil
}
