package stream

import (
	"math"
	"slices"
)

const (
	modelSD   = 0.3  // of the logarithm: a model with the best parameters against one day; a judgement, near what is found in rivers
	tailsNu   = 4    // degrees of freedom of the misses: Student's tails let a few of them be wide
	nothingOf = 0.02 // of the middle reading: flows far below that count as none
	clumping  = 0.9  // what a reading shares with one of the day before
	denseDays = 8    // with more than a reading in so many days all days are worked out
)

// target is the misfit of a model to readings. It holds scratch memory: each
// worker has its own copy.
type target struct {
	space      *space
	rain, pet  []float64
	firstDay   int       // of the whole record
	warmed     bool      // the days before the first reading serve as warm-up
	day        []int     // of each reading, in rain
	week       []int     // running number of the calendar week of each reading
	addM3S     float64   // what is added to a flow before its logarithm is taken, since creeks fall dry
	observed   []float64 // m³/s
	read       []float64 // logarithm of each reading
	sigma      []float64 // standard error of read, the model's included
	own        []float64 // of each reading alone: its share among its neighbours in time
	weight     []float64
	readingVar []float64 // of read, the reading's own
	shift      []float64 // of a draw, in standard errors of the readings
	priorShift []float64
	flow       []float64 // simulated, of each reading
	all        []float64 // simulated, of each day, where most days were read; else nil
	scratch    []float64 // of the residuals
}

func newTarget(s *space, d Data, gs []Gauging) *target { return newTargetSD(s, d, gs, modelSD) }

// newTargetSD is newTarget where the model's own error is known.
func newTargetSD(s *space, d Data, gs []Gauging, modelSD float64) *target {
	first := dayNumber(d.Start)
	from, to := dayNumber(gs[0].Date)-first-warmUpYears*yearDays, dayNumber(gs[len(gs)-1].Date)-first+1
	t := &target{space: s, firstDay: first, warmed: from >= 0}
	from = max(0, from)
	t.rain, t.pet = d.RainMM[from:], d.PETMM[from:]
	if t.warmed || to-from >= yearDays { // a warm-up needs the whole first year
		t.rain, t.pet = d.RainMM[from:to], d.PETMM[from:to]
	}
	t.addM3S = nothingM3S(gs)
	for _, g := range gs {
		day := dayNumber(g.Date)
		t.day = append(t.day, day-first-from)
		t.week = append(t.week, day/7)
		t.observed = append(t.observed, g.FlowM3S)
		t.read = append(t.read, math.Log(g.FlowM3S+t.addM3S))
		own := g.StandardError() / (g.FlowM3S + t.addM3S)
		t.readingVar = append(t.readingVar, own*own)
		t.sigma = append(t.sigma, math.Hypot(own, modelSD))
	}
	t.own = apart(t.day)
	t.weight = slices.Clone(t.own)
	t.shift = make([]float64, len(t.day))
	t.priorShift = make([]float64, len(s.dims))
	t.flow = make([]float64, len(t.day))
	t.scratch = make([]float64, len(t.day)+len(s.dims))
	if len(t.day)*denseDays > len(t.rain) {
		t.all = make([]float64, len(t.rain))
	}
	return t
}

// nothingM3S returns the flow that is added before logarithms are taken: a
// small share of the middle reading, or of the mean where most are zero.
func nothingM3S(gs []Gauging) float64 {
	if middle := quantile(sortedFlows(gs), 0.5); middle > 0 {
		return nothingOf * middle
	}
	return nothingOf * meanFlow(gs)
}

// apart returns the weight of each reading: 1 for one that stands alone, and
// for one of many together 1/Σ 0.9^|days between|, since they tell nearly the
// same. The days rise.
func apart(day []int) []float64 {
	sum := make([]float64, len(day))
	before, after := 0.0, 0.0
	for i := range day {
		if i > 0 {
			before = (before + 1) * math.Pow(clumping, float64(day[i]-day[i-1]))
		}
		sum[i] += 1 + before
	}
	for i := len(day) - 1; i >= 0; i-- {
		if i < len(day)-1 {
			after = (after + 1) * math.Pow(clumping, float64(day[i+1]-day[i]))
		}
		sum[i] = 1 / (sum[i] + after)
	}
	return sum
}

// clone returns a target with scratch memory of its own.
func (t *target) clone() *target {
	c := *t
	c.weight = slices.Clone(t.weight)
	c.shift = make([]float64, len(t.day))
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

// scoresOf compares a model's flows with what was read.
func scoresOf(observed, simulated []float64) Scores {
	miss := 0.0
	for i, o := range observed {
		miss += (o - simulated[i]) * (o - simulated[i])
	}
	return Scores{N: len(observed), NSE: NSE(observed, simulated), KGE: KGE(observed, simulated),
		NSELog: NSELog(observed, simulated), ErrorM3S: math.Sqrt(miss / float64(len(observed)))}
}
