package changeover

import (
	"cmp"
	"slices"
	"time"
)

// Result is the answer.
type Result struct {
	Years   []int      `json:"years"`   // by the calendar year in which they start
	Verdict string     `json:"verdict"` // in a sentence or two
	Best    Choice     `json:"best"`    // on average
	Never   Outcome    `json:"never"`   // if the valve stays closed
	Window  *Window    `json:"window"`  // nil where no dates matter
	Costs   []Cost     `json:"costs"`   // of changing over on other days
	Steady  Steady     `json:"steady"`
	Rule    *Rule      `json:"rule"` // nil where hydro never helps or the stream is not known
	Ways    []Way      `json:"ways"` // to work the valve, side by side
	Each    []YearBest `json:"each_year"`

	Sure *Sure `json:"-"` // nil without draws

	all outcomes
}

// Choice is a pair of dates and what it comes to.
type Choice struct {
	Open  string `json:"open"`  // month-day; or "never" or "always"
	Close string `json:"close"` // likewise
	Outcome
	Pair Pair `json:"-"`
}

// Dated reports whether the choice has dates.
func (c Choice) Dated() bool { return c.Open != never && c.Open != always }

// What stands in place of dates.
const (
	never  = "never"
	always = "always"
)

// Window holds the first and the last dates that cost at most one unmet hour
// more than the best, if the other date is kept.
type Window struct {
	OpenFrom  string `json:"open_from"`
	OpenTo    string `json:"open_to"`
	CloseFrom string `json:"close_from"`
	CloseTo   string `json:"close_to"`

	OpenDays, CloseDays span `json:"-"`
}

// Steady is the pair for the careful: the one with the fewest unmet hours in
// the worst year of the best four in five.
type Steady struct {
	Choice
	HoldsHours float64 `json:"holds_unmet_hours"` // not exceeded in four years of five
	HoldsYears int     `json:"holds_years"`       // in how many years
}

// YearBest is the best pair of one water year.
type YearBest struct {
	Year int `json:"year"`
	Choice
	Never  float64 `json:"never_unmet_hours"`
	Window *Window `json:"window"`
	RainMM float64 `json:"rain_mm"`

	Start time.Time `json:"-"`
	Days  int       `json:"-"`
}

// Days returns the number of dates that the years of the study share.
func (r *Result) Days() int { return r.all.days }

// Start returns the first of those dates, in a year that has them all.
func (r *Result) Start() time.Time { return r.all.start }

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

// Find returns the pair of two dates, month and day as in [Choice]; an empty
// opening is the year's start, an empty closing its end. It reports false
// where the study knows no such pair.
func (r *Result) Find(open, close string) (Pair, bool) {
	p := Pair{-1, -1}
	if open == "" {
		p.Open = 0
	}
	if close == "" {
		p.Close = r.all.days
	}
	for d := range r.all.days {
		if date := r.all.date(d); date == open {
			p.Open = d
		}
		if r.all.date(d+1) == close { // closing on the first day is closing at the end
			p.Close = d + 1
		}
	}
	return p, p.Open >= 0 && p.Close >= 0 && p.Open != p.Close && (r.all.around || !p.around())
}

// Around reports whether the study looked at valves that are open at both ends
// of the year.
func (r *Result) Around() bool { return r.all.around }

// Pairs calls yield with every pair, the valve that stays closed first.
func (r *Result) Pairs(yield func(Choice) bool) {
	going := true
	r.all.each(func(p Pair) {
		if going {
			c := Choice{r.all.date(p.Open), r.all.date(p.Close), r.all.of(p), p}
			if p == Never {
				c.Open, c.Close = never, never
			}
			going = yield(c)
		}
	})
}
