package changeover

import (
	"slices"

	"sunrill/sim"
)

// Practice names what is laid side by side.
type Practice int

// What a household may do with its valve.
const (
	Today     Practice = iota // what it does now
	OpenAll                   // open all year
	ClosedAll                 // closed all year
	BestFixed                 // the best dates, the same every year
	ByRule                    // what the rule says
)

// Alternative is one way to work the valve, over all years: means, and the unmet hours
// that one year in five exceeds.
type Alternative struct {
	Practice Practice
	Choice
	OneInFive float64
	FiveRange sim.Range // where that comes out in as many years drawn again from these
	Moves     float64   // openings and closings
}

// ways lays side by side what the household does today, a valve that is open
// all year, one that is closed all year, the best fixed dates and the rule.
func (r *Result) alternatives(today [2]*Date, tables []*Table) {
	all := Pair{0, r.all.days}
	fixed := func(practice Practice, p Pair) {
		pairs := make([]Pair, len(tables))
		for y, t := range tables {
			pairs[y] = r.all.inYear(p, t)
			if p == all {
				pairs[y] = Pair{0, t.Days}
			}
		}
		w := alternativeOf(practice, pairs, tables)
		w.Valve, w.Pair = r.all.choice(p).Valve, p
		r.Alternatives = append(r.Alternatives, w)
	}
	own, ok := all, true
	if today != [2]*Date{} {
		own, ok = r.Find(today[0], today[1])
	}
	if ok {
		fixed(Today, own)
	}
	fixed(OpenAll, all)
	fixed(ClosedAll, Never)
	fixed(BestFixed, r.Best.Pair)
	if r.Rule != nil {
		pairs := make([]Pair, len(tables))
		for y, p := range r.Rule.Played {
			pairs[y] = p.Pair
		}
		w := alternativeOf(ByRule, pairs, tables)
		w.Valve = Varying
		if r.Rule.AllYear {
			w.Valve, w.Pair = Running, all
		}
		r.Alternatives = append(r.Alternatives, w)
	}
}

// alternativeOf sums up a pair a year.
func alternativeOf(practice Practice, pairs []Pair, tables []*Table) Alternative {
	w := Alternative{Practice: practice, Choice: Choice{Outcome: meanOf(tables, pairs)}}
	n := float64(len(tables))
	var unmet []float64
	for y, t := range tables {
		p := pairs[y]
		unmet = append(unmet, t.Of(p).UnmetHours)
		if p.Open != p.Close {
			if p.Open > 0 {
				w.Moves += 1 / n
			}
			if p.Close < t.Days {
				w.Moves += 1 / n
			}
		}
	}
	slices.Sort(unmet)
	w.OneInFive = unmet[holdYears(len(unmet))-1]
	w.FiveRange = sim.NewSpread(unmet).AtRange(0.8, len(unmet), sim.Middle)
	return w
}
