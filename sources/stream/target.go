package stream

import (
	"math"
	"slices"
)

const (
	modelShare = 0.3 // error of a right model with the best parameters, as a share of the middle flow; a judgement
	denseShare = 8   // with more than a reading in so many days all days are worked out
)

// target is the misfit of a model to readings. It holds scratch memory: each
// worker has its own copy.
type target struct {
	space      *space
	rain, pet  []float64
	warmed     bool  // the days before the first reading serve as warm-up
	day        []int // of each reading, in rain
	week       []int // running number of the calendar week of each reading
	root       []float64
	sigma      []float64 // standard error of root
	weight     []float64
	priorShift []float64
	flow       []float64 // simulated, of each reading
	all        []float64 // simulated, of each day, where most days were read; else nil
	scratch    []float64 // of the residuals
}

func newTarget(s *space, d Data, gs []Gauging) *target {
	first := dayNumber(d.Start)
	from, to := dayNumber(gs[0].Date)-first-warmUpYears*yearDays, dayNumber(gs[len(gs)-1].Date)-first+1
	t := &target{space: s, warmed: from >= 0}
	from = max(0, from)
	t.rain, t.pet = d.RainMM[from:], d.PETMM[from:]
	if t.warmed || to-from >= yearDays { // a warm-up needs the whole first year
		t.rain, t.pet = d.RainMM[from:to], d.PETMM[from:to]
	}
	sorted := make([]float64, len(gs))
	for i, g := range gs {
		sorted[i] = g.FlowM3S
	}
	slices.Sort(sorted)
	model := modelShare / 2 * math.Sqrt(quantile(sorted, 0.5))
	for _, g := range gs {
		day := dayNumber(g.Date)
		t.day = append(t.day, day-first-from)
		t.week = append(t.week, day/7)
		root := math.Sqrt(g.FlowM3S)
		t.root = append(t.root, root)
		t.sigma = append(t.sigma, math.Hypot(math.Sqrt(g.FlowM3S+g.StandardError())-root, model))
		t.weight = append(t.weight, 1)
	}
	t.priorShift = make([]float64, len(s.dims))
	t.flow = make([]float64, len(t.day))
	t.scratch = make([]float64, len(t.day)+len(s.dims))
	if len(t.day)*denseShare > len(t.rain) {
		t.all = make([]float64, len(t.rain))
	}
	return t
}

// clone returns a target with scratch memory of its own.
func (t *target) clone() *target {
	c := *t
	c.weight = slices.Clone(t.weight)
	c.priorShift = slices.Clone(t.priorShift)
	c.flow = make([]float64, len(t.flow))
	c.scratch = make([]float64, len(t.scratch))
	if t.all != nil {
		c.all = make([]float64, len(t.all))
	}
	return &c
}

// simulate fills t.flow by the model. Where readings are few, the model works
// out its flow on their days only.
func (t *target) simulate(m Model) {
	s := m.Empty()
	if !t.warmed {
		s = WarmUp(m, t.rain, t.pet)
	}
	if t.all != nil {
		m.Run(t.all, s, t.rain, t.pet)
		for i, day := range t.day {
			t.flow[i] = t.all[day]
		}
		return
	}
	done := 0
	for i, day := range t.day {
		if day < done { // a second reading of one day
			t.flow[i] = t.flow[i-1]
			continue
		}
		s = m.Run(nil, s, t.rain[done:day], t.pet[done:day])
		s = m.Run(t.flow[i:i+1], s, t.rain[day:day+1], t.pet[day:day+1])
		done = day + 1
	}
}

// misfit is what a fit makes least.
func (t *target) misfit(z []float64) float64 { return t.residuals(t.scratch, z) }

// scores compares a model with the readings of t.
func scores(t *target, m Model) Scores {
	t.simulate(m)
	var o, s []float64
	miss := 0.0
	for i := range t.day {
		o = append(o, t.root[i]*t.root[i])
		s = append(s, t.flow[i])
		miss += (o[i] - s[i]) * (o[i] - s[i])
	}
	return Scores{N: len(o), NSE: NSE(o, s), KGE: KGE(o, s), NSELog: NSELog(o, s), ErrorM3S: math.Sqrt(miss / float64(len(o)))}
}
