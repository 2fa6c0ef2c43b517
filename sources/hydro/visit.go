package hydro

import (
	"math"
	"sort"
)

const (
	// minJet is the fraction of the speed of its jet under the whole head below
	// which a nozzle, held back by valve or pipe, is of no use: the alternator,
	// made for the whole speed, then no longer reaches the voltage of the bus.
	// (Judgement; the voltage of a permanent-magnet alternator goes with its
	// speed.)
	minJet = 0.5
	// halved is the fraction of today's water at which a visitor comes back before
	// the next round to step down (judgement).
	halved = 0.5
	// maxAhead is how many days ahead a visitor looks, also where there are no
	// rounds.
	maxAhead = 30
)

// operator is what the last visitor left behind.
type operator struct {
	set     int // index into Sets, 0 with a spear valve; −1: shut
	drawM3S float64
	powerW  float64
	partDay bool // fitted to run a part of the day on stored water
}

var shut = operator{set: -1}

// whOver returns the energy in Wh that an operator gives over days that leave this
// much water each.
func (c operator) whOver(leftM3S []float64) float64 {
	if !c.partDay {
		return 24 * c.powerW * float64(len(leftM3S)) // 0 where it is shut
	}
	sum := 0.0
	for _, left := range leftM3S {
		sum += math.Min(left/c.drawM3S, 1)
	}
	return 24 * c.powerW * sum
}

// best returns what gives the most energy over days that leave this much water
// each, the last the least: a set that the last day's water keeps open wide, the
// next larger held back by its valve to just that water, or, with a forebay,
// one that runs in turns. It is shut where nothing runs.
func (m *Machine) best(leftM3S []float64) operator {
	last := leftM3S[len(leftM3S)-1]
	if !(last > 0) {
		return shut
	}
	if m.Sets == nil {
		return m.bestSpear(leftM3S)
	}
	c := shut
	i := sort.Search(len(m.Sets), func(i int) bool { return !sustains(last, m.Sets[i].FlowM3S) }) - 1
	if last >= m.Plant.Turbine.CutoffM3S {
		if i >= 0 && m.runs(m.bestSet[i]) {
			c = m.fit(m.bestSet[i])
		}
		if i+1 < len(m.Sets) {
			// Of larger ones the smallest has the fastest jet.
			if s := &m.Sets[i+1]; last >= minJet*s.freeM3S {
				if w := m.held(s, last).PowerW; w > c.powerW {
					c = operator{set: i + 1, drawM3S: last, powerW: w}
				}
			}
		}
	}
	if v := m.Plant.Forebay.VolumeM3; v > 0 {
		wh := c.whOver(leftM3S) * (1 + 1e-9)
		for j := i + 1; j < len(m.Sets) && (m.Sets[j].freeM3S-last)*hourS <= v; j++ {
			turns := m.fit(j)
			turns.partDay = true
			if !m.runs(j) || turns.drawM3S < m.Plant.Turbine.CutoffM3S {
				continue
			}
			if o := turns.whOver(leftM3S); o > wh {
				c, wh = turns, o
			}
		}
	}
	if c.powerW <= 0 {
		return shut
	}
	return c
}

// bestSpear is best for a spear valve, which takes any flow from the cut-off on.
func (m *Machine) bestSpear(leftM3S []float64) operator {
	t := &m.Plant.Turbine
	last := leftM3S[len(leftM3S)-1]
	if m.spearStep <= 0 || m.spearMax < t.CutoffM3S {
		return shut
	}
	c := shut
	if draw := min(last, m.spearMax); draw >= t.CutoffM3S {
		c = operator{drawM3S: draw, powerW: m.spearPower(draw)}
		i := m.bestStep[min(int(draw/m.spearStep), spearPoints)]
		if at := float64(i) * m.spearStep; m.spearW[i] > c.powerW && at >= t.CutoffM3S {
			c = operator{drawM3S: at, powerW: m.spearW[i]}
		}
		if w := m.spearPower(t.CutoffM3S); w > c.powerW {
			c = operator{drawM3S: t.CutoffM3S, powerW: w}
		}
	}
	if v := m.Plant.Forebay.VolumeM3; v > 0 {
		// The openings tried are the same whatever the forebay.
		const every = 10
		maximum := min(last+v/hourS, m.spearMax)
		wh := c.whOver(leftM3S) * (1 + 1e-9)
		try := func(draw float64) {
			o := operator{drawM3S: draw, powerW: m.spearPower(draw), partDay: true}
			if got := o.whOver(leftM3S); got > wh {
				c, wh = o, got
			}
		}
		if t.CutoffM3S > last && t.CutoffM3S <= maximum {
			try(t.CutoffM3S)
		}
		for i := every; float64(i)*m.spearStep <= maximum; i += every {
			if draw := float64(i) * m.spearStep; draw > last && draw >= t.CutoffM3S {
				try(draw)
			}
		}
	}
	if c.powerW <= 0 {
		return shut
	}
	return c
}

// fit opens a set wide.
func (m *Machine) fit(set int) operator {
	s := &m.Sets[set]
	return operator{set: set, drawM3S: s.FlowM3S, powerW: s.PowerW}
}

// runs reports whether a set wide open reaches the speed that the alternator
// needs.
func (m *Machine) runs(set int) bool {
	s := &m.Sets[set]
	return s.FlowM3S >= minJet*s.freeM3S
}

// held returns what a set gives whose valve is closed so far that it takes only
// the given flow: the valve eats head until the jet's is (Q/CA)²/2g.
func (m *Machine) held(s *Set, flowM3S float64) Duty {
	jet := flowM3S / s.jetM2
	return m.dutyAt(flowM3S, jet*jet/(2*gravityMS2), 1)
}

// sustains forgives the last digits, so that a flow printed and read again
// sustains its own nozzle.
func sustains(leftM3S, drawM3S float64) bool { return leftM3S >= drawM3S*(1-1e-9) }

// plan is what a visitor does on a day. They expect the creek to recede and fit
// what gives the most energy until the next round, or until the water left is
// expected to have halved: then they come back. Where nothing runs for so long,
// they fit what gives the most before the pipe would run dry, and come back
// then. back is that day, 0 for none.
//
// That the day depends on the creek alone, as long as anything runs, is what
// lets a better plant never give less for having been visited less.
func (m *Machine) plan(day int, streamM3S float64, r Recession) (_ operator, back int) {
	v := &m.Plant.Visits
	if m.Sets != nil && len(m.Sets) == 0 {
		return shut, 0
	}
	if v.nobody() && m.Sets != nil {
		return m.fit(m.bestSet[len(m.bestSet)-1]), 0
	}
	days := maxAhead
	if v.EveryDays > 0 {
		days = v.EveryDays - day%v.EveryDays
	}
	var ahead [maxAhead]float64 // what is left on each day
	days = min(days, maxAhead)
	for k := range days {
		ahead[k] = m.Plant.Intake.Left(r.After(streamM3S, float64(k)))
	}
	for k := 1; k < days; k++ {
		if ahead[k] < halved*ahead[0] {
			days, back = k, day+k
			break
		}
	}
	c := m.best(ahead[:days])
	if c.set < 0 {
		// Nothing runs for so long: what gives the most before the pipe runs dry.
		bestWh := 0.0
		for k := 1; k < days; k++ {
			sooner := m.best(ahead[:k])
			if wh := sooner.whOver(ahead[:k]); wh > bestWh {
				c, back, bestWh = sooner, day+k, wh
			}
		}
	}
	if c.set >= 0 {
		return c, back
	}
	if v.EveryDays == 0 && v.AfterRainMM == 0 {
		// Nobody would come to open it: it is left as the water will need it.
		if m.Sets != nil {
			return m.fit(0), 0
		}
		draw := max(m.Plant.Turbine.CutoffM3S, m.spearMax/spearRows)
		return operator{drawM3S: draw, powerW: m.spearPower(draw)}, 0
	}
	return shut, 0
}

// comes reports whether somebody walks up on a day on which the valve is open
// and was the day before.
func (m *Machine) comes(day int, s *state, c Creek) bool {
	v := &m.Plant.Visits
	return v.EveryDays > 0 && day%v.EveryDays == 0 ||
		s.back == day && day > 0 ||
		v.AfterStop && s.stopped ||
		v.AfterRainMM > 0 && day > 0 && c.RainMM != nil && c.RainMM[day-1] >= v.AfterRainMM
}

// MeanPower returns the power in W at the bus, mean of a day with this much
// water left and nozzles set to suit it.
func (m *Machine) MeanPower(leftM3S float64) float64 {
	day := [1]float64{leftM3S}
	return m.best(day[:]).whOver(day[:]) / 24
}

// Sustained returns the set that gives the most of a flow, be it held back to
// it, −1 if none runs day in, day out.
func (m *Machine) Sustained(leftM3S float64) int {
	if c := m.best([]float64{leftM3S}); !c.partDay && m.Sets != nil {
		return c.set
	}
	return -1
}

// minHeld returns the least flow that a set of nozzles runs on.
func (s *Set) minHeld() float64 { return math.Min(minJet*s.freeM3S, s.FlowM3S) }
