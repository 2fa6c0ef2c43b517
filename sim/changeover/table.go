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

	moves []moves // of each pair in within: what the turbine and its keeper do
	runs  []bool  // of each day: the creek runs the turbine on it
	full  bits    // o·Days + d: opened on day o, the bank is full at noon of day d
}

// half holds what the bank does for two switches of the valve, first before
// second: a value for each first day and, for each of those, each second.
type half struct {
	unmet, low []uint16
	fuelL      []float32
	unmetWh    []float64 // nil after slim, which leaves slimWh
	slimWh     []float32
}

// moves counts what happens at an open valve.
type moves struct{ stops, run, visits uint16 }

func (m moves) plus(o moves) moves {
	return moves{m.stops + o.stops, m.run + o.run, m.visits + o.visits}
}

// pairs returns the number of pairs of days in a year, Never aside.
func pairs(days int) int { return days * (days + 1) / 2 }

// place is where the pair of switches stands in a half.
func place(days, first, second int) int {
	return first*(2*days-first+1)/2 + second - first - 1
}

func (t *Table) place(first, second int) int { return place(t.Days, first, second) }

// moved returns what happens at the valve of a pair, which is not [Never].
func (t *Table) moved(p Pair) moves {
	if p.around() {
		return t.moves[t.place(0, p.Close)].plus(t.moves[t.place(p.Open, t.Days)])
	}
	return t.moves[t.place(p.Open, p.Close)]
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
	m := t.moved(p)
	o := Outcome{
		UnmetHours:   float64(h.unmet[i]),
		LowHours:     float64(h.low[i]),
		FuelL:        float64(h.fuelL[i]),
		DryPipeStops: float64(m.stops),
		HydroDays:    float64(m.run),
		Visits:       float64(m.visits),
		OpenDays:     float64(second - first),
	}
	if p.around() {
		o.OpenDays = float64(t.Days) - o.OpenDays
	}
	if h.unmetWh != nil {
		o.UnmetWh = h.unmetWh[i]
	} else {
		o.UnmetWh = float64(h.slimWh[i])
	}
	return o
}

// unmet returns the unmet hours of a pair.
func (t *Table) unmet(p Pair) float64 {
	switch {
	case p.Open == p.Close:
		return t.never.UnmetHours
	case p.around():
		return float64(t.around.unmet[t.place(p.Close, p.Open)])
	}
	return float64(t.within.unmet[t.place(p.Open, p.Close)])
}

// Around reports whether the table holds the pairs whose valve is open at both
// ends of the year.
func (t *Table) Around() bool { return t.around.unmet != nil }

// slim keeps seven digits of the energies, which is all that is told of them once
// means and single years are found.
func (t *Table) slim() {
	for _, h := range []*half{&t.within, &t.around} {
		h.slimWh = make([]float32, len(h.unmetWh))
		for i, wh := range h.unmetWh {
			h.slimWh[i] = float32(wh)
		}
		h.unmetWh = nil
	}
}

// Search finds tables; it keeps its memory from one year to the next. It is
// not for use by several goroutines at once.
type Search struct {
	bus           sim.Bus
	between, tail *side // after the first switch, after the second

	node    []int32 // the branch between the switches of each first day
	base    []count // what came before that branch
	before  []count // of each pair: what came before the second switch
	ends    []int32 // and the branch after it
	becomes []int32 // scratch: the branch of the tail that one between becomes
	live    []live
	states  []sim.State
	closed  sim.Input
	nothing []float64
}

// NewSearch prepares a search on a bus.
func NewSearch(bus sim.Bus) *Search {
	return &Search{bus: bus, between: &side{bus: bus}, tail: &side{bus: bus}}
}

// Pairs returns the outcome of every pair of the water year that in covers,
// each the same as that of [sim.Run] with the valve opened and closed on those
// days. The creek's series is that of a valve that is open all year, in.Openings
// what becomes of one that is opened on a later day; without them the turbine
// does the same whenever it was opened. The valve's own hours in in do not
// matter.
//
// The year until the opening day is common to all pairs that open then or
// later; from there one run with the valve open serves all closing days; and
// the runs from the closing days on are shared as soon as two states meet.
func (s *Search) Pairs(in *sim.Input) *Table {
	days := in.Hours() / 24
	if days*24 != in.Hours() || days == 0 || days > 366 || len(in.W(sim.Creek)) != in.Hours() {
		panic(fmt.Sprintf("changeover: %d hours are not a year of whole days", in.Hours()))
	}
	t := &Table{Start: in.Start, Days: days, leap: leapDay(in.Start, days)}
	t.count(in)
	t.full = newBits(t.Days * t.Days)
	s.between.reset(in, in.Openings)
	s.tail.reset(s.shut(in), nil)
	shut := s.switches(t, &t.within, s.shut(in))
	t.never = Outcome{UnmetHours: float64(shut.unmet), UnmetWh: shut.unmetWh, LowHours: float64(shut.low), FuelL: s.fuelL(shut)}
	return t
}

// Around adds to the table of in the pairs whose valve is open at both ends of
// the year: the same search with open and closed exchanged.
func (s *Search) Around(t *Table, in *sim.Input) {
	s.between.reset(s.shut(in), nil)
	s.tail.reset(in, in.Openings)
	s.switches(t, &t.around, in)
}

// fuelL returns the fuel in L that a count's generator burns.
func (s *Search) fuelL(c count) float64 {
	if s.bus.Generator == nil {
		return 0
	}
	return s.bus.Generator.FuelIdleLH*float64(c.gen) + s.bus.Generator.FuelLPerKWh*c.genWh/1000
}

// shut returns the year with the valve closed.
func (s *Search) shut(in *sim.Input) *sim.Input {
	if len(s.nothing) != in.Hours() {
		s.nothing = make([]float64, in.Hours())
	}
	s.closed = *in
	s.closed.Set(sim.Creek, s.nothing)
	return &s.closed
}

// switches fills h with what comes of going over from the year outer to the
// side between on one midnight and to the side tail on a later one, and returns
// the count of outer alone.
func (s *Search) switches(t *Table, h *half, outer *sim.Input) count {
	n := pairs(t.Days)
	h.unmet, h.low, h.fuelL, h.unmetWh = make([]uint16, n), make([]uint16, n), make([]float32, n), make([]float64, n)
	s.ends, s.before = slices.Grow(s.ends[:0], n)[:n], slices.Grow(s.before[:0], n)[:n]
	s.node, s.base, s.becomes = s.node[:0], s.base[:0], s.becomes[:0]

	trunk := s.bus.Start() // before any switch
	var sofar count
	for d := range t.Days {
		s.back(t, d)
		trunk.FlexibleWh, trunk.WeeklyWh = 0, 0
		s.states = append(s.states[:0], trunk)
		s.node = append(s.node, s.between.add(d, s.states))
		s.base = append(s.base, sofar)

		s.between.day(d)
		if h == &t.within {
			for o, b := range s.node {
				if s.between.arena.branches[b].full {
					t.full.set(o*t.Days + d)
				}
			}
		}
		s.follow()
		s.tail.day(d)
		var tally sim.Tally
		trunk = s.bus.Span(outer, trunk, 24*d, 24*d+24, &tally)
		sofar.add(counted(&tally))
	}
	s.back(t, t.Days)

	s.tail.arena.totals()
	for o, i := 0, 0; o < t.Days; o++ {
		for d := o + 1; d <= t.Days; d++ {
			c := s.before[i]
			if b := s.ends[i]; b >= 0 {
				c.add(s.tail.arena.branches[b].count)
			}
			h.unmet[i], h.low[i], h.unmetWh[i], h.fuelL[i] = uint16(c.unmet), uint16(c.low), c.unmetWh, float32(s.fuelL(c))
			i++
		}
	}
	return sofar
}

// back makes the second switch on the midnight of day d, for every day on
// which the first may have been made.
func (s *Search) back(t *Table, d int) {
	last := d == t.Days
	if !last {
		s.live = s.between.states(s.live[:0])
		s.states = s.states[:0]
		for _, l := range s.live {
			s.states = append(s.states, l.State)
		}
		first := s.tail.add(d, s.states)
		for len(s.becomes) < len(s.between.arena.branches) {
			s.becomes = append(s.becomes, -1)
		}
		for i, l := range s.live {
			s.becomes[l.id] = first + int32(i)
		}
	}
	for o := range d {
		i := t.place(o, d)
		s.before[i] = s.base[o]
		s.before[i].add(s.between.arena.branches[s.node[o]].count)
		s.ends[i] = -1
		if !last {
			s.ends[i] = s.becomes[s.node[o]]
		}
	}
}

// follow takes the opening days whose branches have met over to the joint one.
func (s *Search) follow() {
	for o, b := range s.node {
		for next := s.between.arena.branches[b].next; next >= 0; next = s.between.arena.branches[b].next {
			s.base[o].add(s.between.arena.branches[b].count)
			s.node[o], b = next, next
		}
	}
}

// count fills in what happens at the valve of each pair.
func (t *Table) count(in *sim.Input) {
	t.moves, t.runs = make([]moves, pairs(t.Days)), make([]bool, t.Days)
	whole := sim.Opening{Until: t.Days, As: -1, PowerW: in.W(sim.Creek), DryStopHour: in.DryStopHour, VisitDay: in.VisitDay}
	openings := in.Openings
	if openings == nil {
		openings = []sim.Opening{whole}
	}
	daily := make([]moves, t.Days+1)
	for o := range t.Days {
		at := &openings[0]
		if in.Openings != nil {
			at = &openings[o]
		}
		clear(daily)
		for d := o; d < t.Days; {
			for ; at.Until <= d; at = &openings[at.As] {
			}
			for _, h := range at.DryStopHour {
				if h/24 >= d {
					daily[h/24].stops++
				}
			}
			for _, v := range at.VisitDay {
				if v >= d {
					daily[v].visits = 1
				}
			}
			for ; d < at.Until; d++ {
				for _, w := range at.PowerW[24*(d-at.Day) : 24*(d-at.Day)+24] {
					if w > 0 {
						daily[d].run = 1
						break
					}
				}
			}
		}
		daily[o].visits = 1 // to open it
		t.runs[o] = daily[o].run > 0
		var sum moves
		for c := o + 1; c <= t.Days; c++ {
			sum = sum.plus(daily[c-1])
			m := sum
			if c < t.Days {
				m.visits++ // to close it
			}
			t.moves[t.place(o, c)] = m
		}
	}
	if in.Openings == nil {
		return
	}
	for o := range t.Days {
		t.runs[o] = in.Openings[o].Runs
	}
}
