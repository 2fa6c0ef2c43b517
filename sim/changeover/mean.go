package changeover

// mean adds up tables of several water years, pair by pair, on the dates that
// they share.
type mean struct {
	calendar
	years int

	within, around sums
	never          Outcome // summed

	// Sums over the days before each day, for an open valve.
	stops, runDays []float64
}

type sums struct {
	unmet, low []uint32
	unmetWh    []float64
}

func newMean(c calendar, around bool) *mean {
	m := &mean{calendar: c, stops: make([]float64, c.days+1), runDays: make([]float64, c.days+1)}
	m.within = newSums(c.days)
	if around {
		m.around = newSums(c.days)
	}
	return m
}

func newSums(days int) sums {
	n := pairs(days)
	return sums{make([]uint32, n), make([]uint32, n), make([]float64, n)}
}

// add adds the table of one year.
func (m *mean) add(t *Table) {
	m.years++
	m.addHalf(&m.within, &t.within, t)
	if m.around.unmet != nil {
		m.addHalf(&m.around, &t.around, t)
	}
	m.never.UnmetHours += t.never.UnmetHours
	m.never.UnmetKWh += t.never.UnmetKWh
	m.never.LowHours += t.never.LowHours
	for d := range m.stops {
		day := m.inYear(Pair{d, d}, t).Open
		m.stops[d] += float64(t.stops[day])
		m.runDays[d] += float64(t.runDays[day])
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
			s.unmetWh[i] += h.unmetWh[j]
			i++
		}
	}
}

// of returns a pair's mean outcome.
func (m *mean) of(p Pair) Outcome {
	n := float64(m.years)
	s, first, second := &m.within, p.Open, p.Close
	switch {
	case p.Open == p.Close:
		o := m.never
		return Outcome{UnmetHours: o.UnmetHours / n, UnmetKWh: o.UnmetKWh / n, LowHours: o.LowHours / n}
	case p.around():
		s, first, second = &m.around, p.Close, p.Open
	}
	i := first*(2*m.days-first+1)/2 + second - first - 1
	stops, run := m.stops[second]-m.stops[first], m.runDays[second]-m.runDays[first]
	if p.around() {
		stops, run = m.stops[m.days]-stops, m.runDays[m.days]-run
	}
	return Outcome{
		UnmetHours:   float64(s.unmet[i]) / n,
		UnmetKWh:     s.unmetWh[i] / 1000 / n,
		LowHours:     float64(s.low[i]) / n,
		DryPipeStops: stops / n,
		HydroDays:    run / n,
	}
}
