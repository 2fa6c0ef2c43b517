package changeover

import (
	"fmt"
	"slices"
	"time"

	"sunrill/sim"
)

// Pair is a pair of dates as days of the water year: the valve is opened at
// 00:00 of day Open and closed at 00:00 of day Close. Day 0 is the year's
// first; closing on the day after the last means that it stays open to the
// year's end. If Close comes before Open, the valve is open at both ends of
// the year and closed between. Open = Close is [Never].
type Pair struct{ Open, Close int }

// Never is the valve that stays closed all year.
var Never = Pair{0, 0}

// around reports whether the valve is open at both ends of the year.
func (p Pair) around() bool { return p.Close < p.Open }

// Table holds the outcome of every pair of a water year.
type Table struct {
	Start time.Time
	Days  int
	leap  int // the day that is a 29 February; beyond the year: none

	within half // opened, then closed
	around half // closed, then opened again; empty without [Search.Around]
	never  Outcome

	// Sums over the days before each day, for an open valve.
	stops, runDays []uint16
}

// half holds what the bank does for two switches of the valve, first before
// second: a value for each first day and, for each of those, each second.
type half struct {
	unmet, low []uint16
	unmetWh    []float64 // nil after slim
}

// pairs returns the number of pairs of days in a year, Never aside.
func pairs(days int) int { return days * (days + 1) / 2 }

// place is where the pair of switches stands in a half.
func (t *Table) place(first, second int) int {
	return first*(2*t.Days-first+1)/2 + second - first - 1
}

// Of returns the outcome of a pair.
func (t *Table) Of(p Pair) Outcome {
	h, first, second := &t.within, p.Open, p.Close
	switch {
	case p.Open == p.Close:
		return t.never
	case p.around():
		h, first, second = &t.around, p.Close, p.Open
	}
	i := t.place(first, second)
	o := Outcome{
		UnmetHours:   float64(h.unmet[i]),
		LowHours:     float64(h.low[i]),
		DryPipeStops: float64(t.stops[second] - t.stops[first]),
		HydroDays:    float64(t.runDays[second] - t.runDays[first]),
	}
	if p.around() {
		o.DryPipeStops = float64(t.stops[t.Days]) - o.DryPipeStops
		o.HydroDays = float64(t.runDays[t.Days]) - o.HydroDays
	}
	if h.unmetWh != nil {
		o.UnmetKWh = h.unmetWh[i] / 1000
	}
	return o
}

// Around reports whether the table holds the pairs whose valve is open at both
// ends of the year.
func (t *Table) Around() bool { return t.around.unmet != nil }

// slim lets go of the energies, which only means and single years need.
func (t *Table) slim() { t.within.unmetWh, t.around.unmetWh = nil, nil }

// Search finds tables; it keeps its memory from one year to the next. It is
// not for use by several goroutines at once.
type Search struct {
	bus           sim.Bus
	between, tail *fan // after the first switch, after the second

	node    []int32 // the branch between the switches of each first day
	base    []count // what came before that branch
	ends    []int32 // the branch after the second switch of each pair
	becomes []int32 // scratch: the branch of the tail that one between becomes
	states  []sim.State
	closed  sim.Input
	nothing []float64
}

// NewSearch prepares a search on a bus.
func NewSearch(bus sim.Bus) *Search {
	return &Search{bus: bus, between: newFan(bus), tail: newFan(bus)}
}

// Pairs returns the outcome of every pair of the water year that in covers,
// each the same as that of [sim.Run] with the hydro series gated to the pair.
// in.HydroW is the series of a valve that is open all year; in.DryStopHour
// holds its dry-pipe stops. The valve's own hours in in do not matter.
//
// The year until the opening day is common to all pairs that open then or
// later; from there one run with the valve open serves all closing days; and
// the runs from the closing days on are shared as soon as two states meet.
func (s *Search) Pairs(in *sim.Input) *Table {
	days := in.Hours() / 24
	if days*24 != in.Hours() || days == 0 || days > 366 || len(in.HydroW) != in.Hours() {
		panic(fmt.Sprintf("changeover: %d hours are not a year of whole days", in.Hours()))
	}
	t := &Table{Start: in.Start, Days: days, leap: leapDay(in.Start, days)}
	t.sumDays(in)
	shut := s.switches(t, &t.within, s.shut(in), in)
	t.never = Outcome{UnmetHours: float64(shut.unmet), UnmetKWh: shut.unmetWh / 1000, LowHours: float64(shut.low)}
	return t
}

// Around adds to the table of in the pairs whose valve is open at both ends of
// the year: the same search with open and closed exchanged.
func (s *Search) Around(t *Table, in *sim.Input) {
	s.switches(t, &t.around, in, s.shut(in))
}

// shut returns the year with the valve closed.
func (s *Search) shut(in *sim.Input) *sim.Input {
	if len(s.nothing) != in.Hours() {
		s.nothing = make([]float64, in.Hours())
	}
	s.closed = *in
	s.closed.HydroW = s.nothing
	return &s.closed
}

// switches fills h with what comes of going over from the year outer to the
// year inner on one midnight and back on a later one, and returns the count of
// outer alone.
func (s *Search) switches(t *Table, h *half, outer, inner *sim.Input) count {
	n := pairs(t.Days)
	h.unmet, h.low, h.unmetWh = make([]uint16, n), make([]uint16, n), make([]float64, n)
	s.ends = slices.Grow(s.ends[:0], n)[:n]
	s.node, s.base = s.node[:0], s.base[:0]
	s.between.reset(inner)
	s.tail.reset(outer)

	trunk := s.bus.Start() // before any switch
	var sofar count
	for d := range t.Days {
		s.back(t, h, d)
		trunk.FlexibleWh, trunk.WeeklyWh = 0, 0
		s.states = append(s.states[:0], trunk)
		s.node = append(s.node, s.between.add(s.states))
		s.base = append(s.base, sofar)

		s.between.day(24 * d)
		s.follow()
		s.tail.day(24 * d)
		var tally sim.Tally
		trunk = s.bus.Span(outer, trunk, 24*d, 24*d+24, &tally)
		sofar.add(count{tally.UnmetWh, int32(tally.UnmetHours), int32(tally.LowHours)})
	}
	s.back(t, h, t.Days)

	s.tail.totals()
	for i, b := range s.ends {
		if b >= 0 {
			c := &s.tail.branches[b]
			h.unmet[i] += uint16(c.unmet)
			h.low[i] += uint16(c.low)
			h.unmetWh[i] += c.unmetWh
		}
	}
	return sofar
}

// back makes the second switch on the midnight of day d, for every day on
// which the first may have been made.
func (s *Search) back(t *Table, h *half, d int) {
	last := d == t.Days
	if !last {
		s.states = s.states[:0]
		for i := range s.between.id {
			s.states = append(s.states, s.between.state(i))
		}
		first := s.tail.add(s.states)
		for len(s.becomes) < len(s.between.branches) {
			s.becomes = append(s.becomes, -1)
		}
		for i, b := range s.between.id {
			s.becomes[b] = first + int32(i)
		}
	}
	for o := range d {
		i := t.place(o, d)
		c := s.base[o]
		c.add(s.between.branches[s.node[o]].count)
		h.unmet[i], h.low[i], h.unmetWh[i] = uint16(c.unmet), uint16(c.low), c.unmetWh
		s.ends[i] = -1
		if !last {
			s.ends[i] = s.becomes[s.node[o]]
		}
	}
}

// follow takes the opening days whose branches have met over to the joint one.
func (s *Search) follow() {
	for o, b := range s.node {
		if next := s.between.branches[b].next; next >= 0 {
			s.base[o].add(s.between.branches[b].count)
			s.node[o] = next
		}
	}
}

// sumDays counts the days of power and the stops of a valve open all year.
func (t *Table) sumDays(in *sim.Input) {
	t.stops, t.runDays = make([]uint16, t.Days+1), make([]uint16, t.Days+1)
	for _, h := range in.DryStopHour {
		t.stops[h/24+1]++
	}
	for d := range t.Days {
		t.stops[d+1] += t.stops[d]
		t.runDays[d+1] = t.runDays[d]
		for _, w := range in.HydroW[24*d : 24*d+24] {
			if w > 0 {
				t.runDays[d+1]++
				break
			}
		}
	}
}
