package hydro

import (
	"cmp"
	"math"
	"slices"
)

// Duty is what one flow does on its way through pipe, machine and cable.
type Duty struct {
	FlowM3S      float64
	Pipe         Loss
	NetHeadM     float64
	LossFraction float64 // of the gross head
	WaterW       float64 // ρ g Q H behind the pipe
	ShaftW       float64 // 0 with an overall efficiency
	SentW        float64 // into the cable; 0 with an overall efficiency
	CableDrop    float64 // voltage lost in the cable as a fraction of the bus voltage
	PowerW       float64 // at the bus, within the limit: with a spear valve, throttled to it
	UnlimitedW   float64 // at the bus, were there no limit
}

// Set is nozzles open together.
type Set struct {
	BoresM []float64 // the largest first
	Duty

	jetM2   float64 // area of the orifices times their coefficient
	freeM3S float64 // flow under the whole head, were there no pipe
}

// Machine is a plant made ready: its nozzle sets solved, its spear valve
// tabled. It does not change and may be shared by goroutines.
type Machine struct {
	Plant Plant // with the usual values filled in
	Water Water

	Sets      []Set // that are fitted, by rising flow; nil with a spear valve
	TooStrong []Set // that would give more than the limit: jets have no governor, so nobody fits them
	GreatestW float64
	Greatest  Duty // where GreatestW is reached
	Might     Duty // the most it could give, were the limit not heeded: what a dump load must bear

	bestSet     []int   // for each set, the strongest up to it that runs
	ratedShaftW float64 // which the alternator is made for
	spearW      []float64
	bestStep    []int   // for each step, the strongest up to it
	spearStep   float64 // m³/s between its points
	spearMax    float64 // m³/s, to which it opens: the design flow or where the limit is met
}

// spearPoints is the number of steps of a spear valve's table; between them the
// power is taken as straight, which is good to 1e-4 of the greatest. The kinks
// of tables with points at every tenth fall on steps.
const spearPoints = 1000

// MaxNozzles is the number of nozzles that a plant can have.
const MaxNozzles = 12

// minRestart is the fraction of a forebay below which no valve is opened again:
// it would run dry at once.
const minRestart = 0.01

// Prepare solves what does not depend on the weather.
func (p Plant) Prepare() *Machine {
	t := &p.Turbine
	if t.NozzleCoefficient == 0 {
		t.NozzleCoefficient = DefaultNozzleCoefficient
	}
	if t.AlternatorEfficiency == 0 {
		t.AlternatorEfficiency = DefaultAlternatorEfficiency
	}
	if t.Efficiency == nil {
		k, ok := KindOf(t.Kind)
		if !ok {
			k = kinds[0]
		}
		t.Efficiency = k.Efficiency()
	} else {
		t.Efficiency = slices.Clone(t.Efficiency)
		slices.SortStableFunc(t.Efficiency, func(a, b Point) int { return cmp.Compare(a.Fraction, b.Fraction) })
	}
	p.Forebay.RestartFraction = max(p.Forebay.RestartFraction, minRestart)
	return p.prepareIn(WaterAt(p.Penstock.WaterC))
}

// prepareIn is Prepare in a given water, with the usual values filled in.
func (p Plant) prepareIn(w Water) *Machine {
	m := &Machine{Plant: p, Water: w}
	if len(p.Turbine.NozzlesM) > 0 {
		m.solveSets()
	} else {
		m.tableSpear()
	}
	return m
}

// solveSets finds the flow and power of every set of nozzles.
func (m *Machine) solveSets() {
	t, pen := &m.Plant.Turbine, m.Plant.Penstock
	if len(t.NozzlesM) > MaxNozzles {
		panic("hydro: too many nozzles")
	}
	bores := slices.Clone(t.NozzlesM)
	slices.SortFunc(bores, func(a, b float64) int { return cmp.Compare(b, a) })
pick:
	for pick := 1; pick < 1<<len(bores); pick++ {
		var s Set
		area := 0.0
		for i, d := range bores {
			if pick>>i&1 == 0 {
				continue
			}
			if i > 0 && d == bores[i-1] && pick>>(i-1)&1 == 0 {
				continue pick // of equal nozzles the first ones stand for all
			}
			s.BoresM = append(s.BoresM, d)
			area += circle(d)
		}
		s.jetM2 = t.NozzleCoefficient * area
		s.freeM3S = s.jetM2 * math.Sqrt(2*gravityMS2*pen.GrossHeadM)
		s.FlowM3S = pen.JetFlow(area, t.NozzleCoefficient, m.Water)
		m.Sets = append(m.Sets, s)
	}
	slices.SortStableFunc(m.Sets, func(a, b Set) int {
		if c := cmp.Compare(a.FlowM3S, b.FlowM3S); c != 0 {
			return c
		}
		return cmp.Compare(len(a.BoresM), len(b.BoresM))
	})
	free := 0.0
	for _, s := range m.Sets {
		free = max(free, s.freeM3S)
	}
	m.rate(free)
	all := m.Sets
	m.Sets = []Set{}
	for _, s := range all {
		s.Duty = m.duty(s.FlowM3S, 1)
		m.mind(s.Duty)
		if s.UnlimitedW > s.PowerW {
			m.TooStrong = append(m.TooStrong, s)
			continue
		}
		m.Sets = append(m.Sets, s)
		i := len(m.Sets) - 1
		best := i
		if i > 0 {
			if b := m.bestSet[i-1]; m.runs(b) && (!m.runs(i) || m.Sets[b].PowerW >= s.PowerW) {
				best = b
			}
		}
		m.bestSet = append(m.bestSet, best)
		m.remember(s.Duty)
	}
}

// rate settles what the alternator is made for, whatever the pipe: the power
// limit or, without one, what all water that the open jets can pass would give
// under the whole head.
func (m *Machine) rate(freeM3S float64) {
	p := &m.Plant
	m.ratedShaftW = m.Water.WaterPower(freeM3S, p.Penstock.GrossHeadM) * interpolate(p.Turbine.Efficiency, 1)
	if w := p.Turbine.MaxPowerW; w > 0 {
		m.ratedShaftW = w / p.Turbine.AlternatorEfficiency
	}
}

// tableSpear fills the table of power against flow of a spear valve.
func (m *Machine) tableSpear() {
	design := m.Plant.Turbine.DesignFlowM3S
	m.spearStep = design / spearPoints
	m.rate(design)
	m.spearW, m.bestStep = make([]float64, spearPoints+1), make([]int, spearPoints+1)
	m.spearMax = design
	for i := range m.spearW {
		d := m.At(float64(i) / spearPoints * design)
		m.spearW[i] = d.UnlimitedW
		m.bestStep[i] = i
		if i > 0 && float64(i-1)*m.spearStep >= m.Plant.Turbine.CutoffM3S {
			if b := m.bestStep[i-1]; m.spearW[b] >= m.spearW[i] {
				m.bestStep[i] = b
			}
		}
		m.mind(d)
		if d.UnlimitedW > d.PowerW && m.spearMax == design && i > 0 {
			m.spearMax = fallingRoot(func(q float64) float64 { return d.PowerW - m.At(q).UnlimitedW }, float64(i-1)/spearPoints*design, d.FlowM3S)
		}
		if d.FlowM3S >= m.Plant.Turbine.CutoffM3S && d.FlowM3S < m.spearMax {
			m.remember(d)
		}
	}
	if m.spearMax > 0 && m.spearMax >= m.Plant.Turbine.CutoffM3S {
		m.remember(m.At(m.spearMax))
	}
}

// mind keeps what gives the most, the limit not heeded.
func (m *Machine) mind(d Duty) {
	if d.UnlimitedW > m.Might.UnlimitedW {
		m.Might = d
	}
}

func (m *Machine) remember(d Duty) {
	if d.PowerW > m.GreatestW {
		m.GreatestW, m.Greatest = d.PowerW, d
	}
}

// duty returns what a flow does; jetLoad is the fraction of their full flow at
// which the open jets run.
func (m *Machine) duty(flowM3S, jetLoad float64) Duty {
	pen := &m.Plant.Penstock
	pipe := pen.Loss(flowM3S, m.Water)
	d := m.dutyAt(flowM3S, pen.GrossHeadM-pipe.TotalM(), jetLoad)
	d.Pipe = pipe
	if pen.GrossHeadM > 0 {
		d.LossFraction = pipe.TotalM() / pen.GrossHeadM
	}
	return d
}

// dutyAt returns what a flow does that reaches the jets under a net head.
func (m *Machine) dutyAt(flowM3S, netHeadM, jetLoad float64) Duty {
	p := &m.Plant
	d := Duty{FlowM3S: flowM3S, NetHeadM: netHeadM}
	if flowM3S <= 0 || d.NetHeadM <= 0 {
		return d
	}
	d.WaterW = m.Water.WaterPower(flowM3S, d.NetHeadM)
	if p.Turbine.Overall > 0 {
		d.UnlimitedW = p.Turbine.Overall * d.WaterW
	} else {
		d.ShaftW = d.WaterW * interpolate(p.Turbine.Efficiency, jetLoad)
		if d.ShaftW > 0 {
			load := min(d.ShaftW/m.ratedShaftW, 1)
			d.SentW = d.ShaftW * p.Turbine.AlternatorEfficiency * interpolate(alternatorEfficiency, load)
		}
		d.UnlimitedW, d.CableDrop = p.Cable.Deliver(d.SentW)
	}
	d.PowerW = d.UnlimitedW
	if p.Turbine.MaxPowerW > 0 && d.PowerW > p.Turbine.MaxPowerW {
		d.PowerW = p.Turbine.MaxPowerW
	}
	return d
}

// At returns what a flow gives: through the spear valve, open as far as the
// flow needs, or, of a plant with nozzles, through a nozzle made for just this
// flow.
func (m *Machine) At(flowM3S float64) Duty {
	if m.Sets != nil {
		return m.duty(flowM3S, 1)
	}
	if m.Plant.Turbine.DesignFlowM3S <= 0 {
		return m.duty(flowM3S, 0)
	}
	return m.duty(flowM3S, min(flowM3S/m.Plant.Turbine.DesignFlowM3S, 1))
}

// spearPower returns the power in W of a flow up to where the spear valve opens,
// from the table.
func (m *Machine) spearPower(flowM3S float64) float64 {
	if m.spearStep <= 0 {
		return 0
	}
	x := flowM3S / m.spearStep
	i := int(x)
	if i >= spearPoints {
		return m.spearW[spearPoints]
	}
	w := m.spearW[i] + (m.spearW[i+1]-m.spearW[i])*(x-float64(i))
	if maximum := m.Plant.Turbine.MaxPowerW; maximum > 0 && w > maximum {
		return maximum // a chord of the table passes over the limit by a hair
	}
	return w
}

// MinFlow returns the flow in m³/s below which the turbine does not run,
// day in, day out: the cut-off or the smallest nozzle held back as far as it
// runs, whichever is more.
func (m *Machine) MinFlow() float64 {
	c := m.Plant.Turbine.CutoffM3S
	if len(m.Sets) > 0 {
		return max(c, m.Sets[0].minHeld())
	}
	return c
}

// MaxFlow returns the greatest flow in m³/s that the turbine takes.
func (m *Machine) MaxFlow() float64 {
	if n := len(m.Sets); n > 0 {
		return m.Sets[n-1].FlowM3S
	}
	return m.spearMax
}

// Curve returns the plant's duty at n flows evenly spaced from 0, past the peak
// of the pipe where that is within twice what the turbine takes.
func (m *Machine) Curve(n int) []Duty {
	maximum := 1.25 * m.MaxFlow()
	if best := m.Plant.Penstock.BestFlow(m.Water); !math.IsInf(best, 1) && 1.25*best > maximum && best < 2*maximum {
		maximum = 1.25 * best
	}
	if full := m.Plant.Penstock.FullFlow(m.Water); maximum > full {
		maximum = full
	}
	c := make([]Duty, n)
	for i := range c {
		c[i] = m.At(maximum * float64(i) / float64(max(n-1, 1)))
	}
	return c
}
