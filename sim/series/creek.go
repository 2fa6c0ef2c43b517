package series

import (
	"fmt"
	"math"

	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

// FlowFraction is a line of the flow-duration table.
type FlowFraction struct {
	Exceeded float64 // share of days with more stream flow
	FlowM3S  float64 // of the stream
	LeftM3S  float64 // of it for the turbine
	PowerW   float64 // at the bus, mean of the day, nozzles set to suit
}

// FlowFractions returns the flow-duration table of the whole record at the given
// shares of days; nil without a stream.
func (h *Homestead) FlowFractions(fractions []float64) []FlowFraction {
	if h.flowM3S == nil {
		return nil
	}
	d := stream.NewDuration(h.KnownFlow())
	out := make([]FlowFraction, len(fractions))
	for i, fraction := range fractions {
		q := d.FlowM3S(fraction)
		out[i] = FlowFraction{Exceeded: fraction, FlowM3S: q}
		if h.Machine != nil {
			out[i].LeftM3S = h.Site.Hydro.Intake.Left(q)
			out[i].PowerW = h.Machine.MeanPower(out[i].LeftM3S)
		}
	}
	return out
}

// NeededFlow returns the stream flow in m³/s from which the smallest set of the
// turbine runs, and from which the whole of it does, once creek and house
// have their water; false without a turbine.
func (h *Homestead) NeededFlow() (minimum, maximum float64, ok bool) {
	if h.Machine == nil {
		return 0, 0, false
	}
	in := h.Site.Hydro.Intake
	first := in.ResidualM3S + in.HouseWaterM3S
	return first + h.Machine.MinFlow(), first + h.Machine.MaxFlow(), true
}

// MinFlow returns the stream's flow in m³/s with which the smallest set of
// nozzles runs wide open, house and creek having theirs; 0 without hydro.
func (h *Homestead) MinFlow() float64 {
	m := h.Machine
	if m == nil {
		return 0
	}
	in := m.Plant.Intake
	minimum := max(m.MinFlow(), m.Plant.Turbine.CutoffM3S)
	if len(m.Sets) > 0 {
		minimum = max(minimum, m.Sets[0].FlowM3S)
	}
	return in.ResidualM3S + in.HouseWaterM3S + minimum
}

// KnownFlow returns the stream flow of each day of the record, without the days
// that an own record of flow does not cover.
func (h *Homestead) KnownFlow() []float64 {
	var known []float64
	for _, q := range h.flowM3S {
		if !math.IsNaN(q) {
			known = append(known, q)
		}
	}
	return known
}

// Warnings returns what is odd or dangerous about how the parts of the site
// fit together, the dangerous first. What is only good to know is in [Homestead.Notes].
func (h *Homestead) Warnings() []string {
	s := h.Site
	u := measure.Of(s.US)
	var ws []string
	say := func(format string, args ...any) { ws = append(ws, fmt.Sprintf(format, args...)) }
	if m := h.Machine; m != nil {
		maximum := m.Might.UnlimitedW
		const margin = 1.1 // a tenth to a quarter: common practice
		switch {
		case s.DumpW <= 0: // the loader has said so
		case s.DumpW < maximum:
			say("the dump load of %s is smaller than the machine's greatest output of %s: with a full bank and nobody at home the turbine runs away; fit %s or more", measure.Power(s.DumpW), measure.Power(maximum), measure.Power(margin*maximum))
		case s.DumpW < margin*maximum:
			say("the dump load of %s leaves less than a tenth above the machine's greatest output of %s; 10 to 25 %% is usual", measure.Power(s.DumpW), measure.Power(maximum))
		}
		if b := s.Bank; b.CapacityWh > 0 && b.MaxChargeW+s.DumpW < maximum {
			say("the bank takes %s at most; with the dump load that is less than the machine's greatest output of %s", measure.Power(b.MaxChargeW), measure.Power(maximum))
		}
		for _, w := range m.Warnings(u) {
			if !w.Minor {
				say("%s", w.Text)
			}
		}
		if why := m.NeverRuns(h.KnownFlow(), u); why != "" {
			say("%s", why)
		}
	}
	return dedupe(ws)
}

// Notes returns what a careful neighbour would add about the machine: true,
// good to know once, and no reason to stop.
func (h *Homestead) Notes() []string {
	if h.Machine == nil {
		return nil
	}
	var notes []string
	for _, w := range h.Machine.Warnings(measure.Of(h.Site.US)) {
		if w.Minor {
			notes = append(notes, w.Text)
		}
	}
	return dedupe(notes)
}

func dedupe(texts []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, t := range texts {
		if !seen[t] {
			seen[t] = true
			out = append(out, t)
		}
	}
	return out
}
