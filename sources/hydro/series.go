package hydro

import "sort"

// Flow is the turbine's year.
type Flow struct {
	PowerW     []float64 // at the bus, mean of each hour
	TurbineM3S []float64 // mean of each hour

	DryStopHour []int // hours in which a dry-pipe stop began, rising
	NozzleSet   []int // of each day: index into Machine.Sets, −1: the valve is shut; empty with a spear valve

	// With a forebay only, else empty: a value an hour.
	StoredM3    []float64 // at the end of the hour
	OverflowM3S []float64 // back to the creek
	HouseM3S    []float64 // drawn by the house from the forebay
}

// Season is when the valve is open: from 00:00 of day Open to 00:00 of day Close,
// counted from the year's first day. Where Close comes before Open it is open at
// both ends of the year; where they are equal, never, but the zero value is a
// valve that is open all year.
type Season struct{ Open, Close int }

// has reports whether the valve is open on a day.
func (s Season) has(day int) bool {
	switch {
	case s == Season{}:
		return true
	case s.Open <= s.Close:
		return s.Open <= day && day < s.Close
	}
	return day < s.Close || s.Open <= day
}

// opens reports whether somebody is at the valve on a day to open it.
func (s Season) opens(day int) bool { return s.has(day) && (day == 0 || !s.has(day-1)) }

// Series returns the always-open series of one water year from the stream's
// flow, a value a day. It prepares the machine anew each time: keep
// [Plant.Prepare]'s result where many years are run.
func (p Plant) Series(dst *Flow, flowM3S []float64) *Flow {
	return p.Prepare().Series(dst, flowM3S, Season{})
}

// Series returns the year of a turbine whose valve is, within the season, never
// shut but for want of water. The day on which it is opened is a visit. The
// slices of dst are used again where they are large enough; dst may be nil.
func (m *Machine) Series(dst *Flow, flowM3S []float64, season Season) *Flow {
	if dst == nil {
		dst = &Flow{}
	}
	days := len(flowM3S)
	dst.PowerW = resize(dst.PowerW, 24*days)
	dst.TurbineM3S = resize(dst.TurbineM3S, 24*days)
	dst.DryStopHour = dst.DryStopHour[:0]
	dst.NozzleSet = dst.NozzleSet[:0]
	dst.StoredM3, dst.OverflowM3S, dst.HouseM3S = dst.StoredM3[:0], dst.OverflowM3S[:0], dst.HouseM3S[:0]
	if m.Plant.Forebay.VolumeM3 > 0 {
		m.pondDays(dst, flowM3S, season)
	} else {
		m.plainDays(dst, flowM3S, season)
	}
	return dst
}

// crew is who works the valve: which set is fitted and why.
type crew struct {
	set     int // index into Sets; −1: shut
	drawM3S float64
	powerW  float64
	partDay bool // fitted to run a part of the day on stored water
}

// visit returns what the crew does on a day with this much water left.
func (m *Machine) visit(day int, c crew, leftM3S float64, s Season) crew {
	t := &m.Plant.Turbine
	switch {
	case !s.has(day) || m.overLimit():
		return crew{set: -1}
	case m.Sets == nil:
		return m.spear(leftM3S)
	}
	every := 0
	switch t.Adjust {
	case Weekly:
		every = 7
	case Daily:
		every = 1
	}
	switch {
	case every == 0 && s.opens(day):
		return m.fit(len(m.Sets)-1, false)
	case every == 0 || day%every != 0 && !s.opens(day):
		return c
	}
	set := m.Sustained(leftM3S)
	if set < 0 && m.carries(m.Sets[0].FlowM3S, leftM3S) {
		return m.fit(0, true)
	}
	return m.fit(set, false)
}

// Sustained returns the largest set that a flow sustains, −1 if none or if it
// is below the cut-off.
func (m *Machine) Sustained(leftM3S float64) int {
	if leftM3S < m.Plant.Turbine.CutoffM3S {
		return -1
	}
	return sort.Search(len(m.Sets), func(i int) bool { return !sustains(leftM3S, m.Sets[i].FlowM3S) }) - 1
}

// sustains forgives the last digits, so that a flow printed and read again
// sustains its own nozzle.
func sustains(leftM3S, drawM3S float64) bool { return leftM3S >= drawM3S*(1-1e-9) }

// carries reports whether a part of the day is worth running: the draw reaches
// the cut-off and a full forebay carries it for an hour.
func (m *Machine) carries(drawM3S, leftM3S float64) bool {
	return leftM3S > 0 && drawM3S >= m.Plant.Turbine.CutoffM3S &&
		m.Plant.Forebay.VolumeM3 >= (drawM3S-leftM3S)*hourS
}

func (m *Machine) fit(set int, partDay bool) crew {
	if set < 0 {
		return crew{set: -1}
	}
	s := &m.Sets[set]
	return crew{set: set, drawM3S: s.FlowM3S, powerW: s.PowerW, partDay: partDay}
}

// spear returns how far the spear valve opens: as far as the water goes, or, if
// that is below the cut-off, to the cut-off for a part of the day.
func (m *Machine) spear(leftM3S float64) crew {
	t := &m.Plant.Turbine
	draw := min(leftM3S, m.spearMost)
	if leftM3S >= t.CutoffM3S {
		return crew{drawM3S: draw, powerW: m.spearPower(draw)}
	}
	if t.CutoffM3S <= m.spearMost && m.carries(t.CutoffM3S, leftM3S) {
		return crew{drawM3S: t.CutoffM3S, powerW: m.spearPower(t.CutoffM3S), partDay: true}
	}
	return crew{set: -1}
}

// plainDays fills the year without a forebay: each day runs or stands.
func (m *Machine) plainDays(dst *Flow, flowM3S []float64, season Season) {
	var c crew
	running := false
	for day, stream := range flowM3S {
		left := m.Plant.Intake.Left(stream)
		c = m.visit(day, c, left, season)
		runs := c.drawM3S > 0 && sustains(left, c.drawM3S) && left >= m.Plant.Turbine.CutoffM3S
		// Where the set is −1, somebody was there and shut the valve in time.
		if running && !runs && c.set >= 0 && m.Sets != nil {
			dst.DryStopHour = append(dst.DryStopHour, 24*day)
		}
		running = runs
		power, draw := 0.0, 0.0
		if runs {
			power, draw = c.powerW, c.drawM3S
		}
		p, q := dst.PowerW[24*day:24*day+24], dst.TurbineM3S[24*day:24*day+24]
		for h := range p {
			p[h], q[h] = power, draw
		}
		if m.Sets != nil {
			dst.NozzleSet = append(dst.NozzleSet, c.set)
		}
	}
}

// pondDays fills the year hour by hour through the forebay, which is full at
// its start.
func (m *Machine) pondDays(dst *Flow, flowM3S []float64, season Season) {
	f := m.Plant.Forebay
	hours := 24 * len(flowM3S)
	dst.StoredM3 = resize(dst.StoredM3, hours)
	dst.OverflowM3S = resize(dst.OverflowM3S, hours)
	dst.HouseM3S = resize(dst.HouseM3S, hours)
	var c crew
	pond := Pond{StoredM3: f.VolumeM3}
	ranH := 0.0 // hours since the turbine last started
	for day, stream := range flowM3S {
		left, house := m.Plant.Intake.Left(stream), m.Plant.Intake.HouseShort(stream)
		c = m.visit(day, c, left, season)
		draw := c.drawM3S
		if max(left, draw) < m.Plant.Turbine.CutoffM3S {
			draw = 0
		}
		if draw == 0 {
			pond.Running = false
		}
		for h := 24 * day; h < 24*day+24; h++ {
			before := pond
			var did PondHour
			pond, did = f.Hour(pond, left, house, draw)
			dst.StoredM3[h] = pond.StoredM3
			dst.OverflowM3S[h] = did.OverflowM3 / hourS
			dst.HouseM3S[h] = did.HouseM3 / hourS
			dst.TurbineM3S[h] = did.TurbineM3 / hourS
			dst.PowerW[h] = c.powerW * did.RanS / hourS
			if did.FirstStopS >= 0 && before.Running {
				if ranH+did.FirstStopS/hourS >= 24 && !c.partDay {
					dst.DryStopHour = append(dst.DryStopHour, h)
				}
			}
			switch {
			case !pond.Running:
				ranH = 0
			case did.FirstStopS >= 0 || did.Restarted:
				ranH = did.RanS / hourS // started within this hour
			default:
				ranH++
			}
			if pond == before && did.FirstStopS < 0 {
				// Full or empty and staying so: the day's other hours are alike.
				for k := h + 1; k < 24*day+24; k++ {
					dst.StoredM3[k] = dst.StoredM3[h]
					dst.OverflowM3S[k] = dst.OverflowM3S[h]
					dst.HouseM3S[k] = dst.HouseM3S[h]
					dst.TurbineM3S[k] = dst.TurbineM3S[h]
					dst.PowerW[k] = dst.PowerW[h]
					if pond.Running {
						ranH++
					}
				}
				break
			}
		}
		if m.Sets != nil {
			dst.NozzleSet = append(dst.NozzleSet, c.set)
		}
	}
}

// resize returns s with n values, in its own memory where that suffices.
func resize(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}
