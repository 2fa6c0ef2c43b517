package hydro

import (
	"fmt"
	"strings"
)

// spearRows is the number of openings in a spear valve's table.
const spearRows = 10

// Row is a line of the flow-to-watts table.
type Row struct {
	Name string // "7 mm + 9 mm", "cut-off", "40 % open"
	Duty
	TooStrong bool // would give more than the limit, UnlimitedW, and is never fitted
}

// Table returns what each flow gives: the cut-off, if there is one, and then
// every set of nozzles, those above the limit last, or a spear valve in tenths. The flow is the water left
// for the turbine. Of a machine with nozzles the watts at the cut-off are those
// of the set which it sustains, 0 if none.
func (m *Machine) Table(u Units) []Row {
	var rows []Row
	if c := m.Plant.Turbine.CutoffM3S; c > 0 {
		d := m.Running(c)
		d.FlowM3S = c
		rows = append(rows, Row{Name: "cut-off", Duty: d})
	}
	for _, s := range m.Sets {
		rows = append(rows, Row{Name: s.Name(u), Duty: s.Duty})
	}
	for _, s := range m.TooStrong {
		rows = append(rows, Row{Name: s.Name(u), Duty: s.Duty, TooStrong: true})
	}
	if m.Sets == nil {
		for i := 1; i <= spearRows; i++ {
			q := m.Plant.Turbine.DesignFlowM3S * float64(i) / spearRows
			if q < m.Plant.Turbine.CutoffM3S {
				continue
			}
			d := m.At(q)
			rows = append(rows, Row{Name: fmt.Sprintf("%d %% open", 100*i/spearRows), Duty: d, TooStrong: q > m.spearMost})
		}
	}
	return rows
}

// Name returns the set's bores: "9 mm + 7 mm".
func (s Set) Name(u Units) string {
	var b []string
	for _, d := range s.BoresM {
		b = append(b, u.Bore(d))
	}
	return strings.Join(b, " + ")
}

// Running returns the machine's duty on a day with this much water left for
// it, adjusted that day and without a forebay: the zero Duty if it stands.
func (m *Machine) Running(leftM3S float64) Duty {
	if m.Sets != nil {
		if i := m.Sustained(leftM3S); i >= 0 {
			return m.Sets[i].Duty
		}
		return Duty{}
	}
	if leftM3S <= 0 || leftM3S < m.Plant.Turbine.CutoffM3S {
		return Duty{}
	}
	return m.At(min(leftM3S, m.spearMost))
}

// MeanPower returns the power in W at the bus, mean of a day with this much
// water left: that of [Machine.Running] or, where that stands and the forebay
// carries it, of a part of the day on stored water.
func (m *Machine) MeanPower(leftM3S float64) float64 {
	if d := m.Running(leftM3S); d.PowerW > 0 {
		return d.PowerW
	}
	var c crew
	if m.Sets == nil {
		c = m.spear(leftM3S)
	} else if m.carries(m.Sets[0].FlowM3S, leftM3S) {
		c = m.fit(0, true)
	}
	if !c.partDay {
		return 0
	}
	return c.powerW * leftM3S / c.drawM3S
}
