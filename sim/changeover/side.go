package changeover

import (
	"slices"

	"sunrill/sim"
)

// side is one position of the valve, open or shut: the state sets of all bank states
// that come onto it. Behind a shut valve, and where the turbine does not depend
// on the day of opening, all meet the same weather and water and form one state set.
// An open valve has a state set for each way that the turbine goes: that of an opening
// day until it goes as an earlier one does, when its state set joins the earlier's.
type side struct {
	bus          sim.Bus
	in           *sim.Input
	openings     []sim.Opening // nil: one state set for all
	arena        arena
	alternatives []way // live
	spare        []way
}

// way is one way of the turbine with the states that follow it.
type way struct {
	opening  int
	stateSet *stateSet
	in       sim.Input
	hydroW   []float64
}

// reset empties the side for a run over in. openings is nil where the turbine
// does not depend on them.
func (s *side) reset(in *sim.Input, openings []sim.Opening) {
	s.in, s.openings = in, openings
	s.arena.branches = s.arena.branches[:0]
	s.spare = append(s.spare, s.alternatives...)
	s.alternatives = s.alternatives[:0]
	if openings == nil {
		s.begin(0)
	}
}

// begin adds a way for an opening day and returns its state set.
func (s *side) begin(opening int) *stateSet {
	var w way
	if n := len(s.spare); n > 0 {
		w, s.spare = s.spare[n-1], s.spare[:n-1]
	} else {
		w.stateSet = newStateSet(s.bus, &s.arena)
	}
	w.opening = opening
	in := s.in
	if s.openings != nil {
		o := &s.openings[opening]
		if len(w.hydroW) != s.in.Hours() {
			w.hydroW = make([]float64, s.in.Hours())
		}
		copy(w.hydroW[24*o.Day:24*o.Until], o.PowerW)
		w.in = *s.in
		w.in.Set(sim.Creek, w.hydroW)
	}
	s.alternatives = append(s.alternatives, w)
	if s.openings != nil {
		in = &s.alternatives[len(s.alternatives)-1].in
	}
	w.stateSet.reset(in)
	return w.stateSet
}

// add brings states, which must be in order, onto the side on the midnight of a
// day, and returns the number of the first one's branch; the others follow.
func (s *side) add(day int, states []sim.State) int32 {
	if s.openings != nil {
		return s.begin(day).add(states)
	}
	return s.alternatives[0].stateSet.add(states)
}

// day moves all states through a day, and joins ways that go the same from
// there.
func (s *side) day(day int) {
	for i := range s.alternatives {
		w := &s.alternatives[i]
		if s.openings != nil {
			w.stateSet.in = &w.in // the slice may have moved
		}
		w.stateSet.day(24 * day)
	}
	if s.openings == nil {
		return
	}
	kept := s.alternatives[:0]
	for _, w := range s.alternatives {
		o := &s.openings[w.opening]
		if o.As < 0 || o.Until > day+1 {
			kept = append(kept, w)
			continue
		}
		s.spare = append(s.spare, w)
		i := slices.IndexFunc(kept, func(k way) bool { return k.opening == o.As })
		if i < 0 {
			panic("changeover: an opening goes on as one that is no more")
		}
		s.join(w.stateSet, kept[i].stateSet)
	}
	s.alternatives = kept
}

// join takes all states of a state set over to another.
func (s *side) join(from, to *stateSet) {
	states := make([]sim.State, len(from.id))
	for i := range states {
		states[i] = from.state(i)
	}
	first := to.add(states)
	for i, id := range from.id {
		s.arena.branches[id].next = first + int32(i)
	}
	to.meet()
}

// live is a state of a side and its branch.
type live struct {
	sim.State
	id int32
}

// states appends all states of the side to dst in order.
func (s *side) states(dst []live) []live {
	for _, w := range s.alternatives {
		for i, id := range w.stateSet.id {
			dst = append(dst, live{w.stateSet.state(i), id})
		}
	}
	if len(s.alternatives) > 1 {
		slices.SortStableFunc(dst, func(a, b live) int { return compare(a.State, b.State) })
	}
	return dst
}
