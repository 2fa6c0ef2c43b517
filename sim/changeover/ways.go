package changeover

import "slices"

// Way is one way to work the valve, over all years: means, and the unmet hours
// that one year in five exceeds.
type Way struct {
	Name      string  `json:"name"`
	Open      string  `json:"open"`  // month-day, "never", "always" or, where it differs from year to year, "varies"
	Close     string  `json:"close"` // likewise
	OneInFive float64 `json:"one_in_five_unmet_hours"`
	Moves     float64 `json:"valve_moves"` // openings and closings
	Outcome
}

// The names of the ways.
const (
	Today     = "what you do today"
	OpenAll   = "open all year"
	ClosedAll = "closed all year"
	BestFixed = "best fixed dates"
	ByRule    = "the rule"
)

const varies = "varies"

// ways lays side by side what the household does today, a valve that is open
// all year, one that is closed all year, the best fixed dates and the rule.
func (r *Result) ways(today [2]string, tables []*Table) {
	all := Pair{0, r.all.days}
	fixed := func(name string, p Pair) {
		pairs := make([]Pair, len(tables))
		for y, t := range tables {
			pairs[y] = r.all.inYear(p, t)
			if p == all {
				pairs[y] = Pair{0, t.Days}
			}
		}
		w := wayOf(name, pairs, tables)
		c := r.all.choice(p)
		w.Open, w.Close = c.Open, c.Close
		r.Ways = append(r.Ways, w)
	}
	own, ok := all, true
	if today != [2]string{} {
		own, ok = r.Find(today[0], today[1])
	}
	if ok {
		fixed(Today, own)
	}
	fixed(OpenAll, all)
	fixed(ClosedAll, Never)
	fixed(BestFixed, r.Best.Pair)
	if r.Rule != nil {
		w := wayOf(ByRule, r.Rule.pairs, tables)
		w.Open, w.Close = varies, varies
		if r.Rule.AllYear {
			w.Open, w.Close = always, always
		}
		r.Ways = append(r.Ways, w)
	}
}

// wayOf sums up a pair a year.
func wayOf(name string, pairs []Pair, tables []*Table) Way {
	w := Way{Name: name}
	n := float64(len(tables))
	var unmet []float64
	for y, t := range tables {
		p := pairs[y]
		o := t.Of(p)
		unmet = append(unmet, o.UnmetHours)
		w.UnmetHours += o.UnmetHours / n
		w.LowHours += o.LowHours / n
		w.FuelL += o.FuelL / n
		w.DryPipeStops += o.DryPipeStops / n
		w.Visits += o.Visits / n
		w.HydroDays += o.HydroDays / n
		w.OpenDays += o.OpenDays / n
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
	return w
}
