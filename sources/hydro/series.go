package hydro

import "math"

// Creek is what the turbine's year depends on: a value a day, and how the
// visitor expects the stream to fall.
type Creek struct {
	FlowM3S   []float64 // of the stream
	RainMM    []float64 // nil: nobody looks at the rain
	Recession Recession
}

// Flow is the turbine's year.
type Flow struct {
	PowerW     []float64 // at the bus, mean of each hour
	TurbineM3S []float64 // mean of each hour

	DryStopHour []int // hours in which a dry-pipe stop began, rising
	VisitDay    []int // days on which somebody walks up, rising; on the day of closing too
	NozzleSet   []int // of each day: index into Machine.Sets, −1: the valve is shut; empty with a spear valve

	// With a forebay only, else empty: a value an hour.
	StoredM3    []float64 // at the end of the hour
	OverflowM3S []float64 // back to the creek
	HouseM3S    []float64 // drawn by the house from the forebay
}

// Season is when the valve is open: from 00:00 of day Open to 00:00 of day Close,
// counted from the year's first day. Where Close comes before Open it is open at
// both ends of the year; where they are equal, never.
type Season struct{ Open, Close int }

// AllYear is a valve that nobody opens or closes: it is open before the year
// begins and after it ends.
var AllYear = Season{Open: -1, Close: math.MaxInt}

// has reports whether the valve is open on a day.
func (s Season) has(day int) bool {
	if s.Open <= s.Close {
		return s.Open <= day && day < s.Close
	}
	return day < s.Close || s.Open <= day
}

// opens reports whether the valve is opened on a day.
func (s Season) opens(day int) bool { return s.has(day) && (day == 0 || !s.has(day-1)) }

// Series returns the always-open series of one water year from the stream's
// flow, a value a day, by somebody who does not look at rain and expects the
// creek to keep its flow. It prepares the machine anew each time: keep
// [Plant.Prepare]'s result where many years are run.
func (p Plant) Series(dst *Flow, flowM3S []float64) *Flow {
	return p.Prepare().Series(dst, Creek{FlowM3S: flowM3S}, AllYear)
}

// state is all that a day's turbine hands to the next: what was left behind by
// the last visitor and what the water did.
type state struct {
	operator
	back    int  // day on which the visitor comes back; 0: none
	stopped bool // the water forced a stop on the day before
	running bool // without a forebay: it ran on the day before
	pond    Pond
	ranH    float64 // hours since it last started; a day stands for more
}

// hours are the slices of one day to fill; those of the forebay may be nil.
type hours struct{ power, turbine, stored, overflow, house []float64 }

// Series returns the year of a turbine whose valve is, within the season, never
// shut but for want of water. The day on which it is opened is a visit, and
// the forebay is full then. The slices of dst are used again where they are
// large enough; dst may be nil.
func (m *Machine) Series(dst *Flow, c Creek, season Season) *Flow {
	if dst == nil {
		dst = &Flow{}
	}
	days := len(c.FlowM3S)
	pond := m.Plant.Forebay.VolumeM3 > 0
	dst.PowerW, dst.TurbineM3S = resize(dst.PowerW, 24*days), resize(dst.TurbineM3S, 24*days)
	dst.DryStopHour, dst.VisitDay, dst.NozzleSet = dst.DryStopHour[:0], dst.VisitDay[:0], dst.NozzleSet[:0]
	dst.StoredM3, dst.OverflowM3S, dst.HouseM3S = dst.StoredM3[:0], dst.OverflowM3S[:0], dst.HouseM3S[:0]
	if pond {
		dst.StoredM3, dst.OverflowM3S, dst.HouseM3S = resize(dst.StoredM3, 24*days), resize(dst.OverflowM3S, 24*days), resize(dst.HouseM3S, 24*days)
	}
	var s state
	for day := range days {
		at, to := 24*day, 24*day+24
		h := hours{power: dst.PowerW[at:to], turbine: dst.TurbineM3S[at:to]}
		if pond {
			h.stored, h.overflow, h.house = dst.StoredM3[at:to], dst.OverflowM3S[at:to], dst.HouseM3S[at:to]
		}
		if !season.has(day) {
			m.closed(h, c.FlowM3S[day])
			if day > 0 && season.has(day-1) {
				dst.VisitDay = append(dst.VisitDay, day)
			}
			s = state{operator: shut}
		} else {
			opens := season.opens(day)
			if opens {
				s = m.start()
			}
			visited, stop := m.day(&s, day, opens, c, h)
			if visited && !(opens && season == AllYear && m.Plant.Visits.EveryDays == 0) {
				dst.VisitDay = append(dst.VisitDay, day)
			}
			if stop >= 0 {
				dst.DryStopHour = append(dst.DryStopHour, at+stop)
			}
		}
		if m.Sets != nil {
			dst.NozzleSet = append(dst.NozzleSet, s.set)
		}
	}
	return dst
}

// start is the state of a valve that is about to be opened.
func (m *Machine) start() state {
	return state{operator: shut, pond: Pond{StoredM3: m.Plant.Forebay.VolumeM3}}
}

// closed fills a day behind a shut valve, above which the forebay stays full.
func (m *Machine) closed(h hours, streamM3S float64) {
	clear(h.power)
	clear(h.turbine)
	for i := range h.stored {
		h.stored[i], h.overflow[i], h.house[i] = m.Plant.Forebay.VolumeM3, m.Plant.Intake.Left(streamM3S), 0
	}
}

// day moves the turbine one day on. It reports whether somebody came and the
// hour in which a dry-pipe stop began, −1 for none.
func (m *Machine) day(s *state, day int, opens bool, c Creek, h hours) (visited bool, stop int) {
	if visited = opens || m.comes(day, s, c); visited {
		s.operator, s.back = m.plan(day, c.FlowM3S[day], c.Recession)
	}
	if m.Plant.Forebay.VolumeM3 > 0 {
		return visited, m.pondDay(s, c.FlowM3S[day], h)
	}
	return visited, m.plainDay(s, c.FlowM3S[day], h)
}

// plainDay is a day without a forebay: it runs or stands.
func (m *Machine) plainDay(s *state, streamM3S float64, h hours) (stop int) {
	left := m.Plant.Intake.Left(streamM3S)
	runs := s.drawM3S > 0 && sustains(left, s.drawM3S) && left >= m.Plant.Turbine.CutoffM3S
	// Where the valve is shut, somebody was there and shut it in time.
	s.stopped = s.running && !runs && s.set >= 0
	s.running = runs
	stop = -1
	if s.stopped {
		stop = 0
	}
	power, draw := 0.0, 0.0
	if runs {
		power, draw = s.powerW, s.drawM3S
	}
	for i := range h.power {
		h.power[i], h.turbine[i] = power, draw
	}
	return stop
}

// pondDay is a day hour by hour through the forebay.
func (m *Machine) pondDay(s *state, streamM3S float64, h hours) (stop int) {
	f := m.Plant.Forebay
	left, house := m.Plant.Intake.Left(streamM3S), m.Plant.Intake.HouseShort(streamM3S)
	stop = -1
	s.stopped = false
	draw := s.drawM3S
	if max(left, draw) < m.Plant.Turbine.CutoffM3S {
		draw = 0
	}
	if draw == 0 {
		s.pond.Running = false
	}
	for i := range h.power {
		before := s.pond
		var did PondHour
		s.pond, did = f.Hour(s.pond, left, house, draw)
		h.power[i], h.turbine[i] = s.powerW*did.RanS/hourS, did.TurbineM3/hourS
		if h.stored != nil {
			h.stored[i], h.overflow[i], h.house[i] = s.pond.StoredM3, did.OverflowM3/hourS, did.HouseM3/hourS
		}
		if did.FirstStopS >= 0 && before.Running && !s.partDay {
			s.stopped = true
			if s.ranH+did.FirstStopS/hourS >= 24 && stop < 0 {
				stop = i
			}
		}
		switch {
		case !s.pond.Running:
			s.ranH = 0
		case did.FirstStopS >= 0 || did.Restarted:
			s.ranH = did.RanS / hourS // started within this hour
		default:
			s.ranH = min(s.ranH+1, 24)
		}
		if s.pond == before && did.FirstStopS < 0 {
			// Full or empty and staying so: the day's other hours are alike.
			for k := i + 1; k < len(h.power); k++ {
				h.power[k], h.turbine[k] = h.power[i], h.turbine[i]
				if h.stored != nil {
					h.stored[k], h.overflow[k], h.house[k] = h.stored[i], h.overflow[i], h.house[i]
				}
				if s.pond.Running {
					s.ranH = min(s.ranH+1, 24)
				}
			}
			break
		}
	}
	return stop
}

// resize returns s with n values, in its own memory where that suffices.
func resize(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}
