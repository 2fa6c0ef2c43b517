package sizing

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
	"sync/atomic"

	"sunrill/sim"
	"sunrill/storage"
)

// Options change what [Study] looks for. The zero value is ready to use.
type Options struct {
	TargetHours *float64  // unmet hours a year in four years of five; nil: 10
	Sizes       int       // points of the curve; 0: 60
	Draws       sim.Years // the same years under draws; N = 0: none
	Progress    sim.Progress
}

// defaultTargetHours is a choice: a bad winter with the lights out for most of
// a day, all hours taken together.
const defaultTargetHours = 10

// ErrTarget is the error of a target that no year can meet.
var ErrTarget = errors.New("the target must be 0 unmet hours a year or more")

// Study finds out how big a bank the years need. bus.Bank is the present bank.
func Study(ctx context.Context, ys sim.Years, bus sim.Bus, o Options) (*Result, error) {
	target := float64(defaultTargetHours)
	if o.TargetHours != nil {
		target = *o.TargetHours
	}
	if !(target >= 0) || math.IsInf(target, 1) {
		return nil, ErrTarget
	}
	if o.Sizes == 0 {
		o.Sizes = 60
	}
	if ys.N == 0 {
		return nil, errors.New("no whole water year to run")
	}
	presentWh := bus.Bank.CapacityWh
	if presentWh <= 0 { // to scale from: a bank of the same chemistry
		bus.Bank = usualBank(bus.Bank)
	}
	step := o.Progress.Steps(passes*ys.N + surePasses*o.Draws.Runs())

	r := &Result{Years: ys.N, PresentWh: presentWh, TargetHours: target, AgeYears: bus.Bank.CalendarYears, Generator: bus.Generator != nil}
	if err := r.readYears(ctx, ys, &bus.Bank, step); err != nil {
		return nil, err
	}
	usable := 1 - bus.Bank.FloorAt(bus.Bank.IndoorC)
	r.UsableFraction = usable
	ratedWh := r.SequentPeakWh / usable

	// Where is nothing gained any more? The mass curve bounds it; limits of
	// power and self-discharge ask for a little more.
	maxWh := 1.25 * ratedWh
	if maxWh == 0 {
		maxWh = 0.2 * bus.Bank.CapacityWh
	}
	probes := []float64{0}
	for wh := maxWh; len(probes) < 12; wh /= 1.6 {
		probes = append(probes, wh)
	}
	slices.Sort(probes)
	probed, err := curve(ctx, ys, bus, probes, step)
	if err != nil {
		return nil, err
	}
	minimum := probed[len(probed)-1]
	endWh := maxWh
	for k := len(probed) - 1; k > 0 && probed[k].UnmetMean <= minimum.UnmetMean+max(0.1, 0.001*probed[0].UnmetMean) && probed[k].UnmetWorst <= minimum.UnmetWorst+1; k-- {
		endWh = probes[k]
	}
	r.MinHours, r.NothingGainedWh = minimum.UnmetP80, endWh

	curveWh := spread(endWh, presentWh, o.Sizes)
	if r.Curve, err = curve(ctx, ys, bus, curveWh, step); err != nil {
		return nil, err
	}
	all := slices.Concat(probed, r.Curve)
	slices.SortFunc(all, func(a, b Point) int { return cmp.Compare(a.CapacityWh, b.CapacityWh) })
	if err := r.findSize(ctx, ys, bus, all, step); err != nil {
		return nil, err
	}
	if err := r.wear(ctx, ys, bus, step); err != nil {
		return nil, err
	}
	if err := r.noUnmet(ctx, ys, bus, ratedWh, step); err != nil {
		return nil, err
	}
	if r.SizeWh == nil {
		big := bus
		big.Bank = bus.Bank.Scaled(r.NothingGainedWh)
		if r.Why, err = sim.Diagnose(ctx, ys, big, false); err != nil {
			return nil, err
		}
	}
	if o.Draws.N > 0 {
		if r.Sure, err = r.sure(ctx, o.Draws, bus, all, step); err != nil {
			return nil, err
		}
	}
	r.takeFractions()
	r.autonomy(bus.Bank)
	return r, nil
}

// passes is the number of times that a study goes over the years: the mass
// curve, the probes, the curve, two for the size, one for wear and one for the
// bank without unmet hours.
const passes = 7

// usualBank is a bank to scale from where the site has none.
func usualBank(b storage.Bank) storage.Bank {
	if p, ok := storage.Preset(b.Chemistry, 10_000, b.VoltageV); ok {
		return p
	}
	b.CapacityWh = 10_000
	b.ChargeEfficiency, b.DischargeEfficiency = cmp.Or(b.ChargeEfficiency, 1), cmp.Or(b.DischargeEfficiency, 1)
	b.MaxChargeW, b.MaxDischargeW = cmp.Or(b.MaxChargeW, 5000), cmp.Or(b.MaxDischargeW, 5000)
	return b
}

// spread returns n capacities from 0 to endWh, close together where they are
// small, with presentWh among them, and half, twice and four times as much
// where the curve reaches so far.
func spread(endWh, presentWh float64, n int) []float64 {
	endWh = max(endWh, presentWh)
	var named []float64
	for _, times := range []float64{0.5, 1, 2, 4} {
		if wh := times * presentWh; wh > 0 && wh < endWh {
			named = append(named, wh)
		}
	}
	n -= len(named)
	sizes := named
	for k := range n {
		x := float64(k) / float64(n-1)
		sizes = append(sizes, endWh*x*x)
	}
	slices.Sort(sizes)
	return slices.Compact(sizes)
}

// readYears takes from each year what does not depend on the bank's size.
func (r *Result) readYears(ctx context.Context, ys sim.Years, bank *storage.Bank, step func()) error {
	type found struct {
		spells   []Spell
		peakWh   float64
		number   int
		demandWh [12]float64
		hours    [12]float64
	}
	years := make([]found, ys.N)
	err := ys.Visit(ctx, step, func(c sim.Case) error {
		f, in := &years[c.Year], c.In
		if c.Place == 0 {
			r.Sources = in.Kinds()
		}
		f.number = in.Start.Year()
		f.peakWh = sim.Deficits(in, bank, func(d sim.Spell) {
			f.spells = append(f.spells, newSpell(in, d))
		})
		for d := range in.Hours() / 24 {
			m := in.Start.AddDate(0, 0, d).Month() - 1
			for _, w := range in.DemandW[24*d : 24*d+24] {
				f.demandWh[m] += w
			}
			f.hours[m] += 24
		}
		return nil
	})
	if err != nil {
		return err
	}
	var demand, hours [12]float64
	var left []float64 // of each year, what the bank lacks at its end
	for i := range years {
		f := &years[i]
		if i == 0 {
			r.FirstYear = f.number
		}
		r.LastYear = f.number
		r.Spells = append(r.Spells, f.spells...)
		open := 0.0
		if n := len(f.spells); n > 0 {
			open = f.spells[n-1].leftWh
		}
		left = append(left, open)
		if f.peakWh > r.SequentPeakWh {
			r.SequentPeakWh, r.SequentPeakYear = f.peakWh, f.number
		}
		for m := range demand {
			demand[m] += f.demandWh[m]
			hours[m] += f.hours[m]
		}
	}
	for m := range demand {
		if hours[m] > 0 {
			r.DailyWh = max(r.DailyWh, demand[m]/hours[m]*24)
		}
	}
	for _, wh := range left {
		if wh > r.DailyWh {
			r.OpenYears++
		}
	}
	return nil
}

// noUnmet finds the smallest bank, from the mass curve's on, that leaves nothing
// unmet that a bank can serve, and from which on all do.
func (r *Result) noUnmet(ctx context.Context, ys sim.Years, bus sim.Bus, fromWh float64, step func()) error {
	if fromWh <= 0 {
		return nil // the sources never fall short
	}
	const steps = 24
	bus.Generator = nil
	buses := make([]sim.Bus, steps+1)
	for k := range buses {
		buses[k] = bus
		buses[k].Bank = bus.Bank.Scaled(fromWh * math.Pow(2, float64(k)/steps))
	}
	short := make([]atomic.Bool, len(buses))
	err := ys.Visit(ctx, step, func(c sim.Case) error {
		hours, over := sim.UnmetHours(c.In, buses)
		for k, n := range hours {
			if n > over {
				short[k].Store(true)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	for k := steps; k >= 0 && !short[k].Load(); k-- {
		wh := buses[k].Bank.CapacityWh
		r.NoUnmetWh = &wh
	}
	return nil
}

// keepsFrom returns the first of the points from which on all keep to the
// target; their number if none does.
func (r *Result) keepsFrom(ps []Point) int {
	k := len(ps)
	for k > 0 && ps[k-1].UnmetP80 <= r.TargetHours {
		k--
	}
	return k
}

// refinements is how often the span that the size lies in is narrowed down.
const refinements = 2

// between returns the capacities that a span is narrowed down by.
func between(lowWh, highWh float64) []float64 {
	const parts = 24
	var sizes []float64
	for j := range parts + 1 {
		sizes = append(sizes, lowWh+(highWh-lowWh)*float64(j)/parts)
	}
	return sizes
}

// findSize narrows down the smallest bank from which on all keep to the
// target, between two of the points that are known. With a generator or a
// disconnect a bank may do worse than a smaller one: one that keeps to the
// target by luck, between others that do not, is no advice.
func (r *Result) findSize(ctx context.Context, ys sim.Years, bus sim.Bus, known []Point, step func()) error {
	for range refinements {
		k := r.keepsFrom(known)
		if k == len(known) {
			return nil // no bank does
		}
		if k == 0 {
			break
		}
		var err error
		if known, err = curve(ctx, ys, bus, between(known[k-1].CapacityWh, known[k].CapacityWh), step); err != nil {
			return err
		}
	}
	p := known[r.keepsFrom(known)]
	r.SizeWh, r.Size = &p.CapacityWh, &p
	return nil
}

// wear sets the years of life along the curve. Wear changes little from one
// size to the next: every fourth is run, and straight lines join them.
func (r *Result) wear(ctx context.Context, ys sim.Years, bus sim.Bus, step func()) error {
	var knots []Point
	var at []int
	for k, p := range r.Curve {
		if p.CapacityWh > 0 && (k%4 == 1 || k == len(r.Curve)-1 || p.CapacityWh == r.PresentWh) {
			knots, at = append(knots, p), append(at, k)
		}
	}
	if err := life(ctx, ys, bus, knots, step); err != nil {
		return err
	}
	for i, k := range at {
		r.Curve[k].wearPerYear, r.Curve[k].LifeYears, r.Curve[k].UseYears = knots[i].wearPerYear, knots[i].LifeYears, knots[i].UseYears
		if i == 0 {
			continue
		}
		a, b := r.Curve[at[i-1]], r.Curve[k]
		for j := at[i-1] + 1; j < k; j++ {
			p := &r.Curve[j]
			fraction := (p.CapacityWh - a.CapacityWh) / (b.CapacityWh - a.CapacityWh)
			p.wearPerYear = a.wearPerYear + fraction*(b.wearPerYear-a.wearPerYear)
			p.setLife(&bus.Bank)
		}
	}
	for k, p := range r.Curve {
		if p.CapacityWh == r.PresentWh {
			r.Present = p
		}
		if r.Size != nil && p.CapacityWh >= r.Size.CapacityWh && r.Size.wearPerYear == 0 {
			r.Size.wearPerYear = p.wearPerYear
			if k > 0 && r.Curve[k-1].wearPerYear > 0 {
				a := r.Curve[k-1]
				fraction := (r.Size.CapacityWh - a.CapacityWh) / (p.CapacityWh - a.CapacityWh)
				r.Size.wearPerYear = a.wearPerYear + fraction*(p.wearPerYear-a.wearPerYear)
			}
			if r.Size.CapacityWh > 0 {
				r.Size.setLife(&bus.Bank)
			}
		}
	}
	return nil
}
