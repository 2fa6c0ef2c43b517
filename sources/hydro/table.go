package hydro

import (
	"fmt"
	"strings"
)

// Buckets of the trade.
const (
	Bucket20LM3   = 0.020
	Bucket5GalM3  = 5 * gallonM3
	gallonM3      = 3.785411784e-3 // US gallon, exact by definition
	spearRows     = 10
	footM         = 0.3048
	psiPa         = 6894.757
	gallonPerMinS = gallonM3 / 60
)

// BucketSeconds returns the time in s in which a flow fills a bucket, 0 if
// nothing flows.
func BucketSeconds(volumeM3, flowM3S float64) float64 {
	if flowM3S <= 0 {
		return 0
	}
	return volumeM3 / flowM3S
}

// Row is a line of the flow-to-watts table.
type Row struct {
	Name string // "7 mm + 9 mm", "cut-off", "40 % open"
	Duty
	Bucket20LS, Bucket5GalS float64
}

// Table returns what each flow gives: the cut-off, if there is one, and then
// every set of nozzles, or a spear valve in tenths. The flow is the water left
// for the turbine, and the bucket that of a person at the intake's overflow or
// at the tailrace. Of a machine with nozzles the watts at the cut-off are those
// of the set which it sustains, 0 if none.
func (m *Machine) Table() []Row {
	var rows []Row
	add := func(name string, flow float64, d Duty) {
		rows = append(rows, Row{name, d, BucketSeconds(Bucket20LM3, flow), BucketSeconds(Bucket5GalM3, flow)})
	}
	if c := m.Plant.Turbine.CutoffM3S; c > 0 {
		d := m.Running(c)
		d.FlowM3S = c
		add("cut-off", c, d)
	}
	for _, s := range m.Sets {
		add(s.Name(), s.FlowM3S, s.Duty)
	}
	if m.Sets == nil {
		for i := 1; i <= spearRows; i++ {
			q := m.Plant.Turbine.DesignFlowM3S * float64(i) / spearRows
			if q < m.Plant.Turbine.CutoffM3S {
				continue
			}
			add(fmt.Sprintf("%d %% open", 100*i/spearRows), q, m.At(q))
		}
	}
	return rows
}

// Name returns the set's bores in mm: "9 mm + 7 mm".
func (s Set) Name() string {
	var b []string
	for _, d := range s.BoresM {
		b = append(b, fmt.Sprintf("%.3g mm", 1000*d))
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
	return m.At(min(leftM3S, m.Plant.Turbine.DesignFlowM3S))
}
