package changeover

import (
	"cmp"
	"slices"
	"time"

	"sunrill/sim"
)

// Result is the answer.
type Result struct {
	Years        []int   // by the calendar year in which they start
	Best         Choice  // on average
	Never        Outcome // if the valve stays closed
	Window       *Window // nil where no dates matter
	Costs        []Cost  // of changing over on other days
	Steady       Steady
	Rule         *Rule         // nil where hydro never helps or the stream is not known
	Alternatives []Alternative // to work the valve, side by side
	Each         []YearBest

	Sure *Sure // nil without draws

	all outcomes
}

// Valve is how a valve is worked through a year.
type Valve int

// The ways to work a valve.
const (
	Turned  Valve = iota // opened and closed on the dates of a pair
	Shut                 // closed all year
	Running              // open all year
	Varying              // opened and closed on dates that differ from year to year
)

// Choice is a way to work the valve, with a pair of dates if it is turned, and
// what it comes to.
type Choice struct {
	Valve Valve
	Pair  Pair
	Outcome
}

// Dated reports whether the choice has dates.
func (c Choice) Dated() bool { return c.Valve == Turned }

// Window holds the first and the last dates that cost at most one unmet hour
// more than the best, if the other date is kept.
type Window struct{ Open, Close Span }

// Steady is the pair for the careful: the one with the fewest unmet hours in
// the worst year of the best four in five.
type Steady struct {
	Choice
	HoldsHours float64   // not exceeded in four years of five
	HoldsYears int       // in how many years
	HoldsRange sim.Range // where HoldsHours comes out in as many years drawn again from these
}

// YearBest is the best pair of one water year.
type YearBest struct {
	Choice
	Never  float64 // unmet hours with the valve closed
	Window *Window
	RainMM float64

	Start time.Time
	Days  int
}

// Days returns the number of dates that the years of the study share.
func (r *Result) Days() int { return r.all.days }

// Start returns the first of those dates, in a year that has them all.
func (r *Result) Start() time.Time { return r.all.start }

// Date returns a day as a date of that year; the day after the last is the date
// on which the next begins.
func (r *Result) Date(day int) time.Time { return r.all.time(day) }

// Of returns the outcome of a pair, as the mean of the years.
func (r *Result) Of(p Pair) Outcome { return r.all.of(p) }

// MiddleYear returns which of the years is the middle one by the unmet hours
// of its best dates.
func (r *Result) MiddleYear() int {
	order := make([]int, len(r.Years))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(r.Each[a].UnmetHours, r.Each[b].UnmetHours) })
	return order[(len(order)-1)/2]
}

// InYear takes a pair of the dates that the years share to one of the years:
// after a 29 February its days are one later.
func (r *Result) InYear(p Pair, start time.Time, days int) Pair {
	return r.all.inYear(p, &Table{Days: days, leap: leapDay(start, days)})
}

// Date is a day of any year.
type Date struct {
	Month time.Month
	Day   int
}

// Find returns the pair of two dates; no opening is the year's start, no closing
// its end. It reports false where the study knows no such pair.
func (r *Result) Find(open, close *Date) (Pair, bool) {
	p := Pair{-1, -1}
	if open == nil {
		p.Open = 0
	}
	if close == nil {
		p.Close = r.all.days
	}
	is := func(day int, date *Date) bool {
		t := r.all.time(day)
		return date != nil && *date == Date{t.Month(), t.Day()}
	}
	for d := range r.all.days {
		if is(d, open) {
			p.Open = d
		}
		if is(d+1, close) { // closing on the first day is closing at the end
			p.Close = d + 1
		}
	}
	return p, p.Open >= 0 && p.Close >= 0 && p.Open != p.Close && (r.all.around || !p.around())
}

// Around reports whether the study looked at valves that are open at both ends
// of the year.
func (r *Result) Around() bool { return r.all.around }

// Pairs calls yield with every pair, the valve that stays closed first, and its
// outcome.
func (r *Result) Pairs(yield func(Pair, Outcome) bool) {
	going := true
	r.all.each(func(p Pair) {
		if going {
			going = yield(p, r.all.of(p))
		}
	})
}
