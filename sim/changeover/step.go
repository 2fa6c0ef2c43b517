package changeover

import (
	"math"
	"slices"
	"time"

	"sunrill/sim"
)

// slope is how a day moves differences between two states when nothing is
// clamped: the whole charge by stored, the available well by what both wells
// held.
type slope struct {
	stored                float64
	fromStored, fromAvail float64
}

// slopeOf measures the slope on the bank by itself, with nothing connected.
func slopeOf(bus sim.Bus) slope {
	bank := bus.Bank
	if bank.CapacityWh <= 0 {
		return slope{stored: 1}
	}
	bank.ReconnectSoC, bank.CapacityByTemp = 0, nil
	alone := sim.Bus{Bank: bank}
	nothing := make([]float64, 24)
	in := &sim.Input{Start: time.Unix(0, 0).UTC(), Sources: sim.PanelsAndCreek(nothing, nothing), DemandW: nothing}
	var t sim.Tally
	day := func(storedFraction, availFraction float64) sim.State {
		s := sim.State{StoredWh: storedFraction * bank.CapacityWh, AvailableWh: availFraction * bank.CapacityWh}
		return alone.Span(in, s, 0, 24, &t)
	}
	mid := bank.WellFraction / 2
	o, more, pumped := day(0.5, mid), day(0.75, mid), day(0.5, 1.25*mid)
	return slope{
		stored:     (more.StoredWh - o.StoredWh) / (0.25 * bank.CapacityWh),
		fromStored: (more.AvailableWh - o.AvailableWh) / (0.25 * bank.CapacityWh),
		fromAvail:  (pumped.AvailableWh - o.AvailableWh) / (0.25 * mid * bank.CapacityWh),
	}
}

// tested is one state that was run through the day hour by hour.
type tested struct {
	from, to sim.State
	count
	full         bool   // at noon
	shed, genset uint32 // a bit an hour
}

// test runs state s through the day that begins in hour h.
func (f *stateSet) test(s sim.State, h int) tested {
	d := tested{from: s}
	var t sim.Tally
	if f.bus.Generator == nil && f.bus.Bank.ReconnectSoC <= 0 {
		s = f.bus.Span(f.in, s, h, h+noon, &t)
		d.full = f.full(s)
		s = f.bus.Span(f.in, s, h+noon, h+24, &t)
	} else {
		for k := range 24 {
			s = f.bus.Span(f.in, s, h+k, h+k+1, &t)
			if k == noon-1 {
				d.full = f.full(s)
			}
			if s.Off {
				d.shed |= 1 << k
			}
			if s.GeneratorH > 0 {
				d.genset |= 1 << k
			}
		}
	}
	s.FlexibleWh, s.WeeklyWh = 0, 0
	d.to = s
	d.count = counted(&t)
	return d
}

// noon is the hour of the day at which somebody looks at the bank's meter.
const noon = 12

// full reports whether a bank counts as full.
func (f *stateSet) full(s sim.State) bool {
	c := f.bus.Bank.CapacityWh
	return c > 0 && s.StoredWh >= sim.FullSoC*c
}

// alike reports whether two states were switched the same way all day and
// have the same hours unmet and low, the same energy unmet and the same of the
// generator.
func (a *tested) alike(b *tested) bool {
	return a.unmet == b.unmet && a.low == b.low && a.gen == b.gen && a.full == b.full &&
		math.Abs(a.unmetWh-b.unmetWh) <= 1e-12*(a.unmetWh+b.unmetWh) &&
		math.Abs(a.genWh-b.genWh) <= 1e-12*(a.genWh+b.genWh) &&
		a.shed == b.shed && a.genset == b.genset &&
		a.from.Off == b.from.Off && a.from.GeneratorH == b.from.GeneratorH
}

// day moves every live branch from the midnight of hour h to the next.
func (f *stateSet) day(h int) {
	for i := 0; i < len(f.id); {
		// A run of branches that are switched alike.
		j := len(f.id) - 1
		if !f.plain {
			for j = i; j+1 < len(f.id) && f.rest[j+1].Off == f.rest[i].Off && f.rest[j+1].GeneratorH == f.rest[i].GeneratorH; {
				j++
			}
		}
		if f.wells {
			f.dayOfWells(h, i, j)
		} else {
			first := f.dayOfOne(h, i)
			if j > i {
				last := f.dayOfOne(h, j)
				f.dayBetween(h, i, j, &first, &last)
			}
		}
		i = j + 1
	}
	f.sortAgain()
	f.meet()
}

// dayOfOne steps branch i alone.
func (f *stateSet) dayOfOne(h, i int) tested {
	d := f.test(f.state(i), h)
	f.set(i, d.to)
	f.branches[f.id[i]].add(d.count)
	f.branches[f.id[i]].full = d.full
	return d
}

// dayBetween steps the branches between i and j, which have been stepped.
func (f *stateSet) dayBetween(h, i, j int, a, b *tested) {
	if j-i <= 1 {
		return
	}
	tol := tolerance * f.bus.Bank.CapacityWh
	if a.alike(b) {
		before, after := b.from.StoredWh-a.from.StoredWh, b.to.StoredWh-a.to.StoredWh
		straight := math.Abs(after-f.slope.stored*before) <= tol
		if straight || math.Abs(after) <= tol {
			rise := 0.0
			if straight && before > 0 {
				rise = after / before
			}
			f.fill(i+1, j, a, rise)
			return
		}
	}
	m := (i + j) / 2
	mid := f.dayOfOne(h, m)
	f.dayBetween(h, i, m, a, &mid)
	f.dayBetween(h, m, j, &mid, b)
}

// fill moves branches i to j (excluded) along the straight line through a.
func (f *stateSet) fill(i, j int, a *tested, rise float64) {
	from, to := a.from.StoredWh, a.to.StoredWh
	part := f.stored[i:j]
	for k, s := range part {
		part[k] = to + rise*(s-from)
	}
	if !f.plain {
		for k := i; k < j; k++ {
			f.rest[k] = a.to
			f.rest[k].StoredWh, f.rest[k].AvailableWh = f.stored[k], f.stored[k]
		}
	}
	f.credit(i, j, a)
}

// credit takes what a counts to branches i to j (excluded).
func (f *stateSet) credit(i, j int, a *tested) {
	none := a.count == (count{})
	for _, b := range f.id[i:j] {
		f.branches[b].full = a.full
		if !none {
			f.branches[b].add(a.count)
		}
	}
}

// dayOfWells steps branches i to j (included) of a two-well bank. Their states
// are points of a plane. The states in which nothing is clamped all day fill a
// convex part of it, in which the day is a linear map: if the four corners of
// a box around the points lie in that part, so do all.
func (f *stateSet) dayOfWells(h, i, j int) {
	const few = 8 // below it corners cost more than they save
	if j-i < few {
		for k := i; k <= j; k++ {
			f.dayOfOne(h, k)
		}
		return
	}
	// The box is narrow in how far the available well is from level.
	c := f.bus.Bank.WellFraction
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range f.rest[i : j+1] {
		tilt := s.AvailableWh - c*s.StoredWh
		low, high = min(low, tilt), max(high, tilt)
	}
	corner := func(of int, tilt float64) tested {
		s := f.rest[of]
		s.AvailableWh = c*s.StoredWh + tilt
		return f.test(s, h)
	}
	a := corner(i, low)
	b, d, e := corner(i, high), corner(j, low), corner(j, high)
	if b.follows(&a, f) && d.follows(&a, f) && e.follows(&a, f) {
		for k := i; k <= j; k++ {
			from, to := f.rest[k], a.to
			ds, da := from.StoredWh-a.from.StoredWh, from.AvailableWh-a.from.AvailableWh
			to.StoredWh += f.slope.stored * ds
			to.AvailableWh += f.slope.fromStored*ds + f.slope.fromAvail*da
			f.set(k, to)
		}
		f.credit(i, j+1, &a)
		return
	}
	m := (i + j) / 2
	f.dayOfWells(h, i, m)
	f.dayOfWells(h, m+1, j)
}

// follows reports whether d went the same way as a, with nothing clamped.
func (d *tested) follows(a *tested, f *stateSet) bool {
	tol := tolerance * f.bus.Bank.CapacityWh
	ds, da := d.from.StoredWh-a.from.StoredWh, d.from.AvailableWh-a.from.AvailableWh
	return d.alike(a) &&
		math.Abs(d.to.StoredWh-a.to.StoredWh-f.slope.stored*ds) <= tol &&
		math.Abs(d.to.AvailableWh-a.to.AvailableWh-f.slope.fromStored*ds-f.slope.fromAvail*da) <= tol
}

// sortAgain puts the live branches in order again, where switching or the
// wells have upset it.
func (f *stateSet) sortAgain() {
	if f.plain || slices.IsSortedFunc(f.rest, compare) {
		return
	}
	all := make([]live, len(f.id))
	for i := range all {
		all[i] = live{f.rest[i], f.id[i]}
	}
	slices.SortStableFunc(all, func(a, b live) int { return compare(a.State, b.State) })
	for i, l := range all {
		f.set(i, l.State)
		f.id[i] = l.id
	}
}
