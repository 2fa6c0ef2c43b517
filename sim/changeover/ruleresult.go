package changeover

import (
	"context"
	"math"
	"time"
)

// Rule is a rule to live by: dates that follow from what a person has: a bucket
// and a watch, the rain gauge, the bank's meter and the calendar. It opens
// and closes the valve at 00:00, on what was seen up to the day before. What is
// not part of the rule is 0. Days are those of the dates that the years share.
type Rule struct {
	AllYear bool // leave the valve open all year

	OpenFlowM3S   float64 // open when the stream has run at this or more
	OpenRun       int     // for so many days running
	OpenRainMM    float64 // or: after so much rain since the water year's start
	OpenDay       int     // or: on this day; with nothing else 0, the year's first
	CloseFlowM3S  float64 // close when the stream has run at less
	CloseRun      int     // for so many days running since the opening
	CloseDay      int     // or: on this day
	CloseFull     int     // or: after so many days running on which the bank's meter shows full at noon
	CloseFullFrom int     // the day from which these are counted
	// Reopen is the month on whose 21st, midsummer, a valve that has been closed
	// may be opened again, where the wet season crosses the water year's start;
	// elsewhere 0: it stays closed until the year's end.
	Reopen time.Month

	Outcome               // means over the years
	Foresight     float64 // unmet hours with the best dates of each year
	Regret        float64 // the rule's unmet hours less those
	LeftOutUnmet  float64 // unmet hours on years that the rule was not chosen by
	LeftOutStops  float64
	LeftOutGroups int // into how many groups the years were split for that; 0: too few years

	Played []Played // of each year
}

// Played is what the rule does in one water year.
type Played struct {
	Choice
	Foresight float64 // unmet hours with the year's best dates
}

// maxGroups is the greatest number of groups that years are left out in.
const maxGroups = 12

// A rule that spares no more than this against a valve that is open all year,
// beside what makes no difference in hours and fuel, is not worth following.
const (
	spareStops  = 0.5 // a year
	spareVisits = 4
)

// rule finds the rule that does best over the whole record, and how rules
// found in the same way do on years that they were not found on.
func (b *rulebook) rule(ctx context.Context, m Measures, each []YearBest, workers int) (*Rule, error) {
	years := len(b.tables)
	groups := min(years, maxGroups)
	best, without, err := b.search(ctx, m, groups, workers)
	if err != nil {
		return nil, err
	}
	if b.hardlyDiffers(best) {
		best = rule{}
	}
	n := float64(years)
	r := b.facts(best)
	played := b.play(best)
	r.Outcome = meanOf(b.tables, played)
	for y, p := range played {
		r.Foresight += each[y].UnmetHours / n
		r.Played = append(r.Played, Played{b.tables[y].outcomes().choice(p), each[y].UnmetHours})
	}
	r.Regret = math.Max(0, r.UnmetHours-r.Foresight)
	if groups > 1 {
		r.LeftOutGroups = groups
		for g, other := range without {
			for y, p := range b.play(other) {
				if y%groups == g {
					o := b.tables[y].Of(p)
					r.LeftOutUnmet += o.UnmetHours / n
					r.LeftOutStops += o.DryPipeStops / n
				}
			}
		}
	}
	return r, nil
}

// hardlyDiffers reports whether a rule is as good as a valve that is open all
// year, and hardly easier.
func (b *rulebook) hardlyDiffers(r rule) bool {
	var is, open Outcome
	n := float64(len(b.tables))
	add := func(sum *Outcome, o Outcome) {
		sum.UnmetHours += o.UnmetHours / n
		sum.FuelL += o.FuelL / n
		sum.DryPipeStops += o.DryPipeStops / n
		sum.Visits += o.Visits / n
	}
	for y, p := range b.play(r) {
		t := b.tables[y]
		add(&is, t.Of(p))
		add(&open, t.Of(Pair{0, t.Days}))
	}
	return open.UnmetHours < is.UnmetHours+sameHours && open.FuelL < noMoreFuel(is.FuelL) &&
		open.DryPipeStops < is.DryPipeStops+spareStops && open.Visits < is.Visits+spareVisits
}

// facts is what a rule says.
func (b *rulebook) facts(r rule) *Rule {
	f := &Rule{
		AllYear: r == rule{}, OpenFlowM3S: r.flowM3S, OpenRun: r.opening.days, OpenRainMM: r.rainMM, OpenDay: r.date,
		CloseFlowM3S: r.ebb.flowM3S, CloseRun: r.ebb.days, CloseDay: r.spring.date, CloseFull: r.spring.full, CloseFullFrom: r.spring.since,
	}
	if b.around {
		f.Reopen = map[bool]time.Month{false: time.June, true: time.December}[b.south]
	}
	return f
}
