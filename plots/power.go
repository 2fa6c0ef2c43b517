package plots

import (
	"fmt"

	"sunrill/sim/measure"
)

// Power is what a hydro plant gives for what flows through it.
type Power struct {
	FlowM3S   []float64 // rising
	PowerW    []float64 // at the bus, for each flow
	Sets      []PowerSet
	CutoffM3S float64       // 0: none
	DesignM3S float64       // of a spear valve: it takes no more; 0: none
	FlowScale measure.Scale // zero: L/s
}

// PowerSet is one set of nozzles.
type PowerSet struct {
	Name            string
	FlowM3S, PowerW float64
}

// FlowToWatts draws the power against the flow, with the sets of nozzles on it
// and the flow beyond which more water gives less.
func FlowToWatts(v Power) Chart {
	inFlow := orUsual(v.FlowScale, litresPerSecond)
	p := New("water through the turbine, "+inFlow.Unit, "W at the bank (bus)")
	curve := Line{X: inFlow.All(v.FlowM3S), Y: v.PowerW, Style: Hydro.Solid(Bold)}
	p.Add(curve)
	curveName := "any nozzle"
	if v.DesignM3S > 0 {
		curveName = "turbine"
	}
	legend := []LegendEntry{{curveName, curve}}

	top, right := 0.0, 0.0
	peak := -1
	for i, w := range v.PowerW {
		if peak < 0 || w > v.PowerW[peak] {
			peak = i
		}
		top, right = max(top, w), max(right, inFlow.Of(v.FlowM3S[i]))
	}
	marks := Points{Color: Measured.Color(), Radius: 4}
	names := Labels{Backed: true}
	for i, s := range v.Sets {
		x := inFlow.Of(s.FlowM3S)
		marks.X, marks.Y = append(marks.X, x), append(marks.Y, s.PowerW)
		top, right = max(top, s.PowerW), max(right, x)
		if len(v.Sets) <= 4 || i == 0 || i == len(v.Sets)-1 {
			names.X, names.Y, names.Text = append(names.X, x), append(names.Y, s.PowerW), append(names.Text, s.Name)
		}
	}
	for i := range names.Y {
		// Right of the mark and below the curve, which falls beyond its peak.
		names.Y[i] -= 0.06 * top
		if peak >= 0 && names.X[i] > inFlow.Of(v.FlowM3S[peak]) {
			names.Y[i] -= 0.08 * top
		}
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, max(right, 1e-9), 0, max(1.15*top, 1)

	rule := func(at float64, name string, q Quantity) {
		r := Rule{At: inFlow.Of(at), Upright: true, Style: q.Stroke(Medium)}
		p.Add(r)
		legend = append(legend, LegendEntry{name, r})
	}
	if v.CutoffM3S > 0 {
		rule(v.CutoffM3S, "cut-off", Limit)
	}
	if v.DesignM3S > 0 {
		rule(v.DesignM3S, "design flow", Measured)
	}
	peaked := peak > 0 && peak < len(v.PowerW)-1 && v.PowerW[len(v.PowerW)-1] < 0.995*v.PowerW[peak]
	if peaked {
		rule(v.FlowM3S[peak], "most power", Unmet)
	}
	if len(v.Sets) > 0 {
		p.Add(marks, names)
		legend = append(legend, LegendEntry{"your nozzles", marks})
	}

	write := func(flowM3S float64) string {
		f, places := inFlow.Of(flowM3S), 0
		if f < 20 {
			places = 1
		}
		if f < 2 {
			places = 2
		}
		return grouped(f, places) + " " + inFlow.Unit
	}
	c := Chart{Name: "flow-to-watts", Title: "What the water gives", Legend: legend, Plot: p, Numbers: v.numbers()}
	c.Caption = "More water gives more power, but less and less: the pipe takes a growing share of the head."
	if peaked {
		c.Caption += fmt.Sprintf(" Beyond %s more water gives less power.", write(v.FlowM3S[peak]))
	}
	if peak >= 0 {
		c.Alt = fmt.Sprintf("Power at the bank (bus) against flow: up to %s W at %s", grouped(v.PowerW[peak], 0), write(v.FlowM3S[peak]))
		for _, s := range v.Sets {
			c.Alt += fmt.Sprintf("; %s: %s W at %s", s.Name, grouped(s.PowerW, 0), write(s.FlowM3S))
		}
		c.Alt += "."
	}
	return c
}
