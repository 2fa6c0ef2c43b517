package hydro

// Opening is what becomes of a valve that is opened on a day and stays open, up
// to the midnight from which on all goes as if it had been opened on an earlier
// day.
type Opening struct {
	Day    int       // on which it is opened
	Until  int       // the day from whose 00:00 on it goes as opening As does
	As     int       // an earlier day; −1: it goes its own way to the year's end, Until
	Runs   bool      // it gives power on the day of opening
	PowerW []float64 // at the bus, an hour each, from Day to Until

	DryStopHour []int // from Day to Until, hours of the year
	VisitDay    []int // likewise, the day of opening first
}

// Openings returns what becomes of a valve that is opened on each day of a
// year. Two openings whose turbines are in the same state at midnight go the
// same way from there, which on the calendar of rounds is mostly the first
// round after both. Joined along Until and As they give, hour by hour, what
// [Machine.Series] gives of a season that begins on that day.
func (m *Machine) Openings(c Creek) []Opening {
	days := len(c.FlowM3S)
	all := make([]Opening, days)
	type way struct {
		state
		opening int
	}
	var live []way // by day of opening
	turbine := make([]float64, 24)
	for day := range days {
		live = append(live, way{m.start(), day})
		all[day] = Opening{Day: day, As: -1}
		for i := range live {
			w := &live[i]
			o := &all[w.opening]
			from := len(o.PowerW)
			for range 24 {
				o.PowerW = append(o.PowerW, 0)
			}
			opens := w.opening == day
			visited, stop := m.day(&w.state, day, opens, c, hours{power: o.PowerW[from:], turbine: turbine})
			if visited {
				o.VisitDay = append(o.VisitDay, day)
			}
			if stop >= 0 {
				o.DryStopHour = append(o.DryStopHour, 24*day+stop)
			}
			if opens {
				for _, w := range o.PowerW[from:] {
					o.Runs = o.Runs || w > 0
				}
			}
			o.Until = day + 1
		}
		kept := live[:0]
	next:
		for _, w := range live {
			for _, earlier := range kept {
				if w.state == earlier.state {
					all[w.opening].As = earlier.opening
					continue next
				}
			}
			kept = append(kept, w)
		}
		live = kept
	}
	return all
}
