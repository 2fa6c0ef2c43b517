package changeover

// outcomes gives the outcome of every pair of some days, of one year or of
// several.
type outcomes struct {
	calendar
	of     func(Pair) Outcome
	around bool // also pairs open at both ends of the year
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

// openFor returns for how many days a pair has the valve open.
func (o outcomes) openFor(p Pair) int {
	if p.around() {
		return o.days - p.Open + p.Close
	}
	return p.Close - p.Open
}

// restDays is the shortest time that a valve is closed for: nobody walks up the
// hill twice for less.
const restDays = 7

// best returns the pair of the best outcome; of several that are equal the one
// with the valve open for the shortest time, and of those the earliest. Where
// that would close the valve for less than [restDays], and a valve open all
// year is in the best pair's window, it is the latter.
func (o outcomes) best() Pair {
	best, bestOf := Never, o.of(Never)
	o.each(func(p Pair) {
		q := o.of(p)
		if d := q.Better(bestOf); d < 0 || d == 0 && o.openFor(p) < o.openFor(best) {
			best, bestOf = p, q
		}
	})
	if all := (Pair{0, o.days}); o.hardlyCloses(best) && o.of(all).UnmetHours <= bestOf.UnmetHours+windowHours {
		return all
	}
	return best
}

func (o outcomes) hardlyCloses(p Pair) bool {
	return p.Open != p.Close && o.days-o.openFor(p) < restDays && o.days > 4*restDays
}

// span is a run of days, both ends included.
type span struct{ From, To int }

// windowHours is how many unmet hours more than the best a date in its window
// may cost.
const windowHours = 1

// window returns the opening days within one unmet hour of the best if the
// closing day is kept, and the closing days likewise.
func (o outcomes) window(best Pair) (open, close span) {
	most := o.of(best).UnmetHours + windowHours
	within := func(p Pair) bool {
		return (o.around || !p.around()) && p.Open != p.Close && o.of(p).UnmetHours <= most
	}
	stretch := func(day, last int, ok func(int) bool) span {
		s := span{day, day}
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
	Date       string  `json:"date"`  // "open" or "close"
	Weeks      int     `json:"weeks"` // late; early if negative
	UnmetHours float64 `json:"unmet_hours"`
	UnmetKWh   float64 `json:"unmet_kwh"`
	LowHours   float64 `json:"low_hours"`
}

// costs returns what one, two and four weeks early or late cost. Days beyond
// the year's ends are left out.
func (o outcomes) costs(best Pair) []Cost {
	at := o.of(best)
	var cs []Cost
	add := func(date string, weeks int, p Pair) {
		beyond := p.Open < 0 || p.Close < 0 || p.Open >= o.days || p.Close > o.days
		if beyond || p.around() != best.around() {
			return
		}
		q := o.of(p)
		cs = append(cs, Cost{date, weeks, q.UnmetHours - at.UnmetHours, q.UnmetKWh - at.UnmetKWh, q.LowHours - at.LowHours})
	}
	for _, w := range []int{-4, -2, -1, 1, 2, 4} {
		add("open", w, Pair{best.Open + 7*w, best.Close})
	}
	for _, w := range []int{-4, -2, -1, 1, 2, 4} {
		add("close", w, Pair{best.Open, best.Close + 7*w})
	}
	return cs
}
