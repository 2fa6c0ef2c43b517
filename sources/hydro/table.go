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
		d := m.running(c)
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
			rows = append(rows, Row{Name: fmt.Sprintf("%d %% open", 100*i/spearRows), Duty: d, TooStrong: q > m.spearMax})
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

// running returns the machine's duty on a day with this much water left for it
// and nozzles set to suit: the zero Duty if it stands or runs a part of the
// day only.
func (m *Machine) running(leftM3S float64) Duty {
	switch c := m.best([]float64{leftM3S}); {
	case c.set < 0 || c.partDay:
		return Duty{}
	case m.Sets == nil:
		return m.At(c.drawM3S)
	case c.drawM3S < m.Sets[c.set].FlowM3S:
		d := m.held(&m.Sets[c.set], c.drawM3S)
		d.Pipe = m.Plant.Penstock.Loss(c.drawM3S, m.Water)
		if m.Plant.Penstock.GrossHeadM > 0 {
			d.LossFraction = d.Pipe.TotalM() / m.Plant.Penstock.GrossHeadM
		}
		return d
	default:
		return m.Sets[c.set].Duty
	}
}
