package changeover

import (
	"fmt"
	"time"

	"sunrill/sim"
)

// Outcome is what a pair of dates comes to: of one year in whole numbers, of
// several as their mean.
type Outcome struct {
	UnmetHours   float64 `json:"unmet_hours"`
	UnmetKWh     float64 `json:"unmet_kwh"`
	LowHours     float64 `json:"low_hours"` // in which the bank is below its comfort charge
	DryPipeStops float64 `json:"dry_pipe_stops"`
	HydroDays    float64 `json:"hydro_days"` // on which the turbine gives power
}

// Better orders outcomes: fewest unmet hours, then fewest hours below the
// comfort charge, then fewest dry-pipe stops, then fewest days run. It returns
// a number below 0 if o is better than p, above 0 if it is worse, and 0 if the
// two are equal. Unmet energy does not enter.
func (o Outcome) Better(p Outcome) int {
	for _, d := range [...]float64{
		o.UnmetHours - p.UnmetHours,
		o.LowHours - p.LowHours,
		o.DryPipeStops - p.DryPipeStops,
		o.HydroDays - p.HydroDays,
	} {
		if d < 0 {
			return -1
		}
		if d > 0 {
			return 1
		}
	}
	return 0
}

// Pair is a pair of dates as days of the water year: the valve is opened at
// 00:00 of day Open and closed at 00:00 of day Close. Day 0 is the year's
// first; closing on the day after the last means that it stays open to the
// year's end. Open = Close is [Never].
type Pair struct{ Open, Close int }

// Never is the valve that stays closed all year.
var Never = Pair{0, 0}

// Table holds the outcome of every pair of a water year.
type Table struct {
	Start time.Time
	Days  int

	// A value for each pair, in the order of opening days and for each of
	// closing days.
	unmet, low []uint16
	unmetWh    []float64 // nil after Slim
	never      Outcome

	// Sums over the days before each day, for an open valve.
	stops, runDays []uint16
}

// pairs returns the number of pairs of days in a year, Never aside.
func pairs(days int) int { return days * (days + 1) / 2 }

// index is the place of a pair in the slices.
func (t *Table) index(open, close int) int {
	return open*(2*t.Days-open+1)/2 + close - open - 1
}

// Of returns the outcome of a pair.
func (t *Table) Of(p Pair) Outcome {
	if p.Open >= p.Close {
		return t.never
	}
	i := t.index(p.Open, p.Close)
	o := Outcome{
		UnmetHours:   float64(t.unmet[i]),
		LowHours:     float64(t.low[i]),
		DryPipeStops: float64(t.stops[p.Close] - t.stops[p.Open]),
		HydroDays:    float64(t.runDays[p.Close] - t.runDays[p.Open]),
	}
	if t.unmetWh != nil {
		o.UnmetKWh = t.unmetWh[i] / 1000
	}
	return o
}

// Search finds tables; it keeps its memory from one year to the next. It is
// not for use by several goroutines at once.
type Search struct {
	open, closed *fan

	node     []int32 // the open valve's branch of each opening day
	base     []count // what came before that branch
	tail     []int32 // a branch of the closed valve for each pair
	tailOf   []int32 // scratch: the closed branch that an open one becomes
	states   []sim.State
	closedIn sim.Input
	nothing  []float64
}

// NewSearch prepares a search on a bus.
func NewSearch(bus sim.Bus) *Search {
	return &Search{open: newFan(bus), closed: newFan(bus)}
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
	t := &Table{Start: in.Start, Days: days}
	t.sumDays(in)
	n := pairs(days)
	t.unmet, t.low, t.unmetWh = make([]uint16, n), make([]uint16, n), make([]float64, n)

	s.prepare(in, days)
	bus := s.open.bus
	shut := bus.Start() // the bank if the valve was never opened yet
	var sofar count
	for d := 0; ; d++ {
		s.close(t, d)
		if d == days {
			break
		}
		shut.FlexibleWh = 0
		s.states = append(s.states[:0], shut)
		s.node = append(s.node, s.open.add(s.states))
		s.base = append(s.base, sofar)

		s.open.day(24 * d)
		s.follow()
		s.closed.day(24 * d)
		var tally sim.Tally
		shut = bus.Span(&s.closedIn, shut, 24*d, 24*d+24, &tally)
		sofar.add(count{tally.UnmetWh, int32(tally.UnmetHours), int32(tally.LowHours)})
	}
	t.never = Outcome{UnmetHours: float64(sofar.unmet), UnmetKWh: sofar.unmetWh / 1000, LowHours: float64(sofar.low)}

	s.closed.totals()
	for i, b := range s.tail {
		if b >= 0 {
			c := &s.closed.branches[b]
			t.unmet[i] += uint16(c.unmet)
			t.low[i] += uint16(c.low)
			t.unmetWh[i] += c.unmetWh
		}
	}
	return t
}

func (s *Search) prepare(in *sim.Input, days int) {
	if len(s.nothing) != in.Hours() {
		s.nothing = make([]float64, in.Hours())
		s.tail = make([]int32, pairs(days))
	}
	s.closedIn = *in
	s.closedIn.HydroW = s.nothing
	s.open.reset(in)
	s.closed.reset(&s.closedIn)
	s.node, s.base = s.node[:0], s.base[:0]
}

// close closes the valve on the midnight of day d for every day on which it
// may have been opened before.
func (s *Search) close(t *Table, d int) {
	open := s.open
	last := d == t.Days
	if !last {
		s.states = s.states[:0]
		for i := range open.id {
			s.states = append(s.states, open.state(i))
		}
		first := s.closed.add(s.states)
		for len(s.tailOf) < len(open.branches) {
			s.tailOf = append(s.tailOf, -1)
		}
		for i, b := range open.id {
			s.tailOf[b] = first + int32(i)
		}
	}
	for o := range d {
		i := t.index(o, d)
		c := s.base[o]
		c.add(open.branches[s.node[o]].count)
		t.unmet[i], t.low[i], t.unmetWh[i] = uint16(c.unmet), uint16(c.low), c.unmetWh
		s.tail[i] = -1
		if !last {
			s.tail[i] = s.tailOf[s.node[o]]
		}
	}
}

// follow takes the opening days whose branches have met over to the joint one.
func (s *Search) follow() {
	for o, b := range s.node {
		if next := s.open.branches[b].next; next >= 0 {
			s.base[o].add(s.open.branches[b].count)
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
