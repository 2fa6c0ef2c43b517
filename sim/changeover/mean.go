package changeover

// mean adds up tables of several water years, pair by pair, on the dates that
// they share.
type mean struct {
	calendar
	years int

	within, around sums
	never          Outcome // summed
	runs           []int   // of each day: years in which the creek runs the turbine on it

	stops, run, visits []uint32 // of each pair in within, summed
}

type sums struct {
	unmet, low     []uint32
	unmetWh, fuelL []float64
}

func newMean(c calendar, around bool) *mean {
	n := pairs(c.days)
	m := &mean{calendar: c, runs: make([]int, c.days), stops: make([]uint32, n), run: make([]uint32, n), visits: make([]uint32, n)}
	m.within = newSums(n)
	if around {
		m.around = newSums(n)
	}
	return m
}

func newSums(n int) sums {
	return sums{make([]uint32, n), make([]uint32, n), make([]float64, n), make([]float64, n)}
}

// add adds the table of one year.
func (m *mean) add(t *Table) {
	m.years++
	m.addHalf(&m.within, &t.within, t)
	if m.around.unmet != nil {
		m.addHalf(&m.around, &t.around, t)
	}
	m.never.UnmetHours += t.never.UnmetHours
	m.never.UnmetWh += t.never.UnmetWh
	m.never.LowHours += t.never.LowHours
	m.never.FuelL += t.never.FuelL
	i := 0
	for first := range m.days {
		if t.runs[m.inYear(Pair{first, first}, t).Open] {
			m.runs[first]++
		}
		for second := first + 1; second <= m.days; second++ {
			p := m.inYear(Pair{first, second}, t)
			o := t.moves[t.place(p.Open, p.Close)]
			m.stops[i] += uint32(o.stops)
			m.run[i] += uint32(o.run)
			m.visits[i] += uint32(o.visits)
			i++
		}
	}
}

func (m *mean) addHalf(s *sums, h *half, t *Table) {
	i := 0
	for first := range m.days {
		for second := first + 1; second <= m.days; second++ {
			p := m.inYear(Pair{first, second}, t)
			j := t.place(p.Open, p.Close)
			s.unmet[i] += uint32(h.unmet[j])
			s.low[i] += uint32(h.low[j])
			s.fuelL[i] += float64(h.fuelL[j])
			s.unmetWh[i] += h.unmetWh[j]
			i++
		}
	}
}

// of returns a pair's mean outcome.
func (m *mean) of(p Pair) Outcome {
	n := float64(m.years)
	s, first, second := &m.within, p.Open, p.Close
	open := second - first
	switch {
	case p.Open == p.Close:
		o := m.never
		return Outcome{UnmetHours: o.UnmetHours / n, UnmetWh: o.UnmetWh / n, LowHours: o.LowHours / n, FuelL: o.FuelL / n}
	case p.around():
		s, first, second = &m.around, p.Close, p.Open
		open = m.days - second + first
	}
	i := place(m.days, first, second)
	moved := func(i int) (stops, run, visits uint32) { return m.stops[i], m.run[i], m.visits[i] }
	stops, run, visits := uint32(0), uint32(0), uint32(0)
	if p.around() {
		stops, run, visits = moved(place(m.days, 0, first))
		a, b, c := moved(place(m.days, second, m.days))
		stops, run, visits = stops+a, run+b, visits+c
	} else {
		stops, run, visits = moved(i)
	}
	return Outcome{
		UnmetHours:   float64(s.unmet[i]) / n,
		UnmetWh:      s.unmetWh[i] / n,
		LowHours:     float64(s.low[i]) / n,
		FuelL:        s.fuelL[i] / n,
		DryPipeStops: float64(stops) / n,
		Visits:       float64(visits) / n,
		HydroDays:    float64(run) / n,
		OpenDays:     float64(open),
	}
}
