package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"

	"sunrill/sim/measure"
)

// Duration is how often a creek yields how much.
type Duration struct {
	FlowM3S   []float64     // a value a day, in any order; NaN where it is not known
	NeedM3S   float64       // with less than this the turbine is shut: residual flow, house water and cut-off together; 0: none
	FullM3S   float64       // with this and more it takes all that it can; 0: none
	FlowScale measure.Scale // zero: L/s
}

// FlowDuration draws the flow-duration curve: for each flow, the share of days
// that have more.
func FlowDuration(v Duration) Chart {
	inFlow := orUsual(v.FlowScale, litresPerSecond)
	flow := slices.DeleteFunc(inFlow.All(v.FlowM3S), math.IsNaN)
	slices.Sort(flow)
	slices.Reverse(flow)
	bottom, top := logRange(flow)
	p := New("share of days with more, %", inFlow.Unit)
	p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, LogTicks{}
	const points = 400 // enough for the eye, whatever the length of the record
	var line Line
	line.Style = Creek.Solid(Bold)
	n := len(flow)
	for i := range min(n, points) {
		day := i * max(n-1, 0) / max(min(n, points)-1, 1)
		line.X = append(line.X, 100*(float64(day)+0.5)/float64(n))
		line.Y = append(line.Y, flow[day])
	}
	legend := []LegendEntry{{"creek", line}}
	more := func(m3s float64) float64 { // share of days above
		above := 0
		for _, q := range flow {
			if q > inFlow.Of(m3s) {
				above++
			}
		}
		return float64(above) / float64(max(n, 1))
	}
	rules := []struct {
		at    float64
		name  string
		style Quantity
	}{{v.NeedM3S, "least for the turbine", Limit}, {v.FullM3S, "all that the turbine takes", Hydro}}
	for _, r := range rules {
		if r.at > 0 {
			at := inFlow.Of(r.at)
			bottom, top = min(bottom, at/1.4), max(top, at*1.4)
			rule := Rule{At: at, Style: r.style.Stroke(Medium)}
			p.Add(rule)
			legend = append(legend, LegendEntry{fmt.Sprintf("%s: %.0f %% of days", r.name, 100*more(r.at)), rule})
		}
	}
	line.Y = clamped(line.Y, bottom, top)
	p.Add(line)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 100, bottom, top

	c := Chart{
		Name:    "flow-duration",
		Title:   "On how many days does the creek give how much?",
		Legend:  legend,
		Plot:    p,
		Numbers: v.numbers(points),
		Caption: "Read along a flow to the curve and down: on that share of all days the creek gives more. " +
			"A steep curve is a creek of storms, a flat one a spring.",
	}
	if n > 0 {
		c.Alt = fmt.Sprintf("Flow over %d days: half of them have more than %.3g %s, nine in ten more than %.3g %s.",
			n, flow[n/2], inFlow.Unit, flow[min(n-1, n*9/10)], inFlow.Unit)
	} else {
		c.Alt = "No flow is recorded, so there is no curve to draw."
	}
	return c
}
