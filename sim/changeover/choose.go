package changeover

import "math"

// outcomes gives the outcome of every pair of some days, of one year or of
// several.
type outcomes struct {
	calendar
	of     func(Pair) Outcome
	runs   func(day int) bool // the creek runs the turbine on it, in one year of five at least
	around bool               // also pairs open at both ends of the year
}

// each calls f for Never and for every pair.
func (o outcomes) each(f func(Pair)) {
	f(Never)
	for open := range o.days {
		for close := open + 1; close <= o.days; close++ {
			f(Pair{open, close})
		}
	}
	if !o.around {
		return
	}
	for close := 1; close < o.days; close++ {
		for open := close + 1; open < o.days; open++ {
			f(Pair{open, close})
		}
	}
}

// dated reports whether a person would choose a pair: no valve is opened to a
// creek that cannot run the turbine. A valve that is open all year is not
// opened.
func (o outcomes) dated(p Pair) bool {
	return p.Open == p.Close || p == Pair{0, o.days} || o.runs(p.Open)
}

// restDays is the shortest time that a valve is closed for: nobody walks up the
// hill twice for less.
const restDays = 7

// best returns the pair of the least unmet hours and, among those that are as
// good in that to a household, of the least fuel; of those equally good in both
// the easiest. Of several that are the same, the earliest. Where that would
// close the valve for less than [restDays], and a valve open all year is as
// good in hours and fuel, it is the latter.
func (o outcomes) best() Pair {
	minH, minL := o.minimum()
	good := func(q Outcome) bool {
		return q.UnmetHours <= minH+sameHours && q.FuelL <= noMoreFuel(minL)
	}
	best, bestOf, found := Never, Outcome{}, false
	o.each(func(p Pair) {
		if !o.dated(p) {
			return
		}
		if q := o.of(p); good(q) && (!found || q.Easier(bestOf) < 0) {
			best, bestOf, found = p, q, true
		}
	})
	if all := (Pair{0, o.days}); o.hardlyCloses(best) && good(o.of(all)) {
		return all
	}
	return best
}

// least returns the least unmet hours of all pairs, and the least fuel of those
// that are as good.
func (o outcomes) minimum() (hours, fuelL float64) {
	hours, fuelL = math.Inf(1), math.Inf(1)
	o.each(func(p Pair) {
		if o.dated(p) {
			hours = min(hours, o.of(p).UnmetHours)
		}
	})
	o.each(func(p Pair) {
		if q := o.of(p); q.UnmetHours <= hours+sameHours && o.dated(p) {
			fuelL = min(fuelL, q.FuelL)
		}
	})
	return hours, fuelL
}

func (o outcomes) hardlyCloses(p Pair) bool {
	return p.Open != p.Close && float64(o.days)-o.of(p).OpenDays < restDays && o.days > 4*restDays
}

// Span is a run of days, both ends included.
type Span struct{ From, To int }

// window returns the opening days that are as good as the best in hours and fuel
// if the closing day is kept, and the closing days likewise.
func (o outcomes) window(best Pair) (open, close Span) {
	at := o.of(best)
	within := func(p Pair) bool {
		q := o.of(p)
		return (o.around || !p.around()) && p.Open != p.Close && o.dated(p) &&
			q.UnmetHours <= at.UnmetHours+sameHours && q.FuelL <= noMoreFuel(at.FuelL)
	}
	stretch := func(day, last int, ok func(int) bool) Span {
		s := Span{day, day}
		for s.From > 0 && ok(s.From-1) {
			s.From--
		}
		for s.To < last && ok(s.To+1) {
			s.To++
		}
		return s
	}
	open = stretch(best.Open, o.days-1, func(d int) bool { return within(Pair{d, best.Close}) })
	close = stretch(best.Close, o.days, func(d int) bool { return within(Pair{best.Open, d}) })
	return open, close
}

// Cost is what it costs, against the best pair, to change over on another day
// and keep to the best pair otherwise.
type Cost struct {
	Closing    bool // on another day; else opening
	Weeks      int  // late; early if negative
	UnmetHours float64
	UnmetWh    float64
	LowHours   float64
	FuelL      float64
	Stops      float64
}

// costs returns what one, two and four weeks early or late cost. Days beyond
// the year's ends are left out.
func (o outcomes) costs(best Pair) []Cost {
	at := o.of(best)
	var cs []Cost
	add := func(closing bool, weeks int, p Pair) {
		beyond := p.Open < 0 || p.Close < 0 || p.Open >= o.days || p.Close > o.days
		if beyond || p.around() != best.around() {
			return
		}
		q := o.of(p)
		cs = append(cs, Cost{closing, weeks, q.UnmetHours - at.UnmetHours, q.UnmetWh - at.UnmetWh, q.LowHours - at.LowHours,
			q.FuelL - at.FuelL, q.DryPipeStops - at.DryPipeStops})
	}
	for _, w := range []int{-4, -2, -1, 1, 2, 4} {
		add(false, w, Pair{best.Open + 7*w, best.Close})
	}
	for _, w := range []int{-4, -2, -1, 1, 2, 4} {
		add(true, w, Pair{best.Open, best.Close + 7*w})
	}
	return cs
}
