package changeover

import (
	"math"

	"sunrill/sim"
	"sunrill/storage"
)

// count is what a pair of dates is judged by, as far as the bank decides it.
type count struct {
	unmetWh         float64
	genWh           float64 // of the generator
	unmet, low, gen int32   // hours
}

func (c *count) add(o count) {
	c.unmetWh += o.unmetWh
	c.genWh += o.genWh
	c.unmet += o.unmet
	c.low += o.low
	c.gen += o.gen
}

func counted(t *sim.Tally) count {
	return count{t.UnmetWh, t.GeneratorWh, int32(t.UnmetHours), int32(t.LowHours), int32(t.GeneratorHours)}
}

// branch is the way of one state through the days.
type branch struct {
	count
	full bool  // at noon of its last day
	next int32 // the branch that goes on where this one met others; -1: none
}

// stateSet is a set of bank states on the same midnight that meet the same weather
// from there on. Each runs on as a branch. Branches whose states meet go on as
// one new branch, and a day that treats neighbours alike is stepped for the
// two outermost only:
//
// As long as nothing is clamped (the bank neither full nor empty, no limit in
// force), the charge at the end of a day is that at its start times a constant
// plus another. The day of a state set of charges is therefore found from its ends:
// if they come out apart by exactly that constant, nothing between them was
// clamped either, since a clamp can only draw charges together; and if they
// have the same hours unmet and low, so has everything between, since more
// charge never means less. Then what lies between is filled in along the
// straight line. If not, the state set is halved and both halves are asked.
//
// With a disconnect or a generator more charge can mean less: there the two
// ends must also agree, hour by hour, on whether load is shed and the
// generator runs. Given that, every hour again keeps the order.
type stateSet struct {
	bus   sim.Bus
	in    *sim.Input
	plain bool // the state is its charge alone
	wells bool
	slope slope

	// The live branches in order: of charge, after that of what is switched.
	stored []float64
	rest   []sim.State // beside it, unless plain
	id     []int32

	*arena
}

// arena holds every branch ever of some state sets, live or met.
type arena struct{ branches []branch }

// slack is the share of the capacity within which two charges are the same.
// It is finer than [sim.State.Meets] asks, so that the difference cannot add up.
const tolerance = 1e-12

func newStateSet(bus sim.Bus, a *arena) *stateSet {
	f := &stateSet{bus: bus, arena: a}
	f.wells = bus.Bank.Model == storage.TwoWell && bus.Bank.CapacityWh > 0
	f.plain = !f.wells && bus.Generator == nil && bus.Bank.ReconnectSoC <= 0
	f.slope = slopeOf(bus)
	return f
}

// reset empties the state set for another run over in.
func (f *stateSet) reset(in *sim.Input) {
	f.in = in
	f.stored, f.rest, f.id = f.stored[:0], f.rest[:0], f.id[:0]
}

func (f *stateSet) state(i int) sim.State {
	if f.plain {
		return sim.State{StoredWh: f.stored[i], AvailableWh: f.stored[i]}
	}
	return f.rest[i]
}

func (f *stateSet) set(i int, s sim.State) {
	f.stored[i] = s.StoredWh
	if !f.plain {
		f.rest[i] = s
	}
}

// compare orders states: shed or not, hours of the generator, charge.
func compare(a, b sim.State) int {
	switch {
	case a.Off != b.Off:
		if b.Off {
			return -1
		}
		return 1
	case a.GeneratorH != b.GeneratorH:
		return a.GeneratorH - b.GeneratorH
	case a.StoredWh < b.StoredWh:
		return -1
	case a.StoredWh > b.StoredWh:
		return 1
	case a.AvailableWh < b.AvailableWh:
		return -1
	case a.AvailableWh > b.AvailableWh:
		return 1
	}
	return 0
}

// add puts states, which must be in order, into the state set as new branches and
// returns the first one's number; the others follow.
func (f *stateSet) add(states []sim.State) int32 {
	first := int32(len(f.branches))
	n, m := len(f.id), len(states)
	for k := range states {
		f.branches = append(f.branches, branch{next: -1})
		f.stored = append(f.stored, 0)
		f.id = append(f.id, 0)
		if !f.plain {
			f.rest = append(f.rest, sim.State{})
		}
		states[k].FlexibleWh, states[k].WeeklyWh = 0, 0 // flexible loads do not touch the bank
	}
	// Merge from the back: everything above the highest new state moves up by
	// m places, and so on down.
	end := n
	for k := m - 1; k >= 0; k-- {
		at := f.position(end, states[k])
		copy(f.stored[at+k+1:end+k+1], f.stored[at:end])
		copy(f.id[at+k+1:end+k+1], f.id[at:end])
		if !f.plain {
			copy(f.rest[at+k+1:end+k+1], f.rest[at:end])
		}
		f.set(at+k, states[k])
		f.id[at+k] = first + int32(k)
		end = at
	}
	return first
}

// position finds the place of a state among the first end live branches.
func (f *stateSet) position(end int, s sim.State) int {
	lo, hi := 0, end
	for lo < hi {
		m := (lo + hi) / 2
		if compare(f.state(m), s) < 0 {
			lo = m + 1
		} else {
			hi = m
		}
	}
	return lo
}

// meet joins branches whose states are equal into new ones.
func (f *stateSet) meet() {
	tol := tolerance * f.bus.Bank.CapacityWh
	w := f.firstNear(tol)
	for i := w; i < len(f.id); {
		j := i + 1
		for j < len(f.id) && f.stored[j]-f.stored[i] <= tol && f.stored[j]-f.stored[i] >= -tol && f.sameRest(i, j, tol) {
			j++
		}
		f.stored[w] = f.stored[i]
		if !f.plain {
			f.rest[w] = f.rest[i]
		}
		if j == i+1 {
			f.id[w] = f.id[i]
		} else {
			joint := int32(len(f.branches))
			f.branches = append(f.branches, branch{next: -1})
			for _, b := range f.id[i:j] {
				f.branches[b].next = joint
			}
			f.id[w] = joint
		}
		w++
		i = j
	}
	f.stored, f.id = f.stored[:w], f.id[:w]
	if !f.plain {
		f.rest = f.rest[:w]
	}
}

// firstNear returns the first live branch with as much charge as the next, or
// their number. On most days none meet, and this is all there is to do.
func (f *stateSet) firstNear(tol float64) int {
	if len(f.stored) == 0 {
		return 0
	}
	before := f.stored[0]
	for i, s := range f.stored[1:] {
		if d := s - before; d <= tol && d >= -tol {
			return i
		}
		before = s
	}
	return len(f.stored)
}

func (f *stateSet) sameRest(i, j int, tol float64) bool {
	if f.plain {
		return true
	}
	a, b := &f.rest[i], &f.rest[j]
	return a.Off == b.Off && a.GeneratorH == b.GeneratorH && math.Abs(a.AvailableWh-b.AvailableWh) <= tol
}

// totals adds to every branch what came after it was joined with others: then
// each holds its count from its beginning to the end of the run.
func (a *arena) totals() {
	for b := len(a.branches) - 1; b >= 0; b-- {
		if next := a.branches[b].next; next >= 0 {
			a.branches[b].add(a.branches[next].count)
		}
	}
}
