package plots

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"sunrill/sim/measure"
)

// Water is what falls, what the creek yields and what the turbine takes.
type Water struct {
	Start       time.Time
	RainMM      []float64 // a value a day
	FlowM3S     []float64 // a value a day
	TurbineM3S  []float64 // a value an hour; nil: no turbine
	CutoffM3S   float64   // 0: none
	OpenHour    int       // [OpenHour, CloseHour) is when the valve is open
	CloseHour   int
	DryStopHour []int
	VisitDay    []int    // on which somebody walks up to the turbine; nil: not shown
	NozzleSet   []int    // of each day: index into SetNames, −1: shut; nil: not shown
	SetNames    []string // by rising flow, without their unit
	SetUnit     string
	FlowScale   measure.Scale // zero: L/s
	RainScale   measure.Scale // zero: mm
}

// RainAndCreek draws the rain above, and below it the creek and what the
// turbine takes of it, with the cut-off.
func RainAndCreek(v Water) Chart {
	days := len(v.RainMM)
	inFlow, inRain := orUsual(v.FlowScale, litresPerSecond), orUsual(v.RainScale, millimetres)
	rain, rainBars := rainAbove(v.RainMM, inRain)
	YearAxis(rain, v.Start, days)
	unnamed(rain)

	creek := New("", inFlow.Unit)
	YearAxis(creek, v.Start, days)
	creek.Y.Tick.Marker = RoundTicks{Most: 5}
	flow := inFlow.All(v.FlowM3S)
	flowLine := Line{Y: flow, Style: Creek.Solid(Medium)}
	legend := []LegendEntry{{"rain", rainBars}, {"creek", flowLine}}

	_, taking, maximum := DailyBand(inFlow.All(v.TurbineM3S))
	legend = append(legend, drawTaking(creek, flowLine, taking, inFlow.Of(v.CutoffM3S))...)
	top, cutOffPeaks := flowTop(flow, maximum)
	creek.Y.Min, creek.Y.Max = 0, top
	creek.X.Min, creek.X.Max = 0, float64(days)
	creek.Add(v.gates(days, top)...)
	if len(v.DryStopHour) > 0 {
		stops := dryStops(v.DryStopHour, top)
		edge := stops
		edge.Color, edge.Radius = white, stops.Radius+1.8
		creek.Add(edge, stops)
		legend = append(legend, LegendEntry{"dry-pipe stop", stops})
	}

	c := Chart{
		Name:   "rain-and-creek",
		Title:  "Rain, creek and what the turbine takes",
		Legend: legend,
		Draw:   Stack([]float64{1, 2.4}, rain, creek),
		Height: 330,
	}
	walks := ""
	if len(v.VisitDay) > 0 {
		unnamed(creek)
		visits, words := v.visits(days)
		c.Draw, c.Height = Stack([]float64{1, 2.4, v.visitsFraction()}, rain, creek, visits), 330*vg.Length(1+v.visitsFraction()/3.4)
		c.Legend = append(c.Legend, words...)
		walks = fmt.Sprintf("; somebody walks up on %d days", len(v.VisitDay))
	}
	c.Caption = "The first autumn storms only wet the ground; the creek follows later and lasts longer."
	switch {
	case v.CutoffM3S > 0:
		c.Caption += " The turbine stands still while what is left for it lies below its cut-off."
	case len(taking) > 0:
		c.Caption += " The house and the creek itself have their water before the turbine."
	}
	if cutOffPeaks {
		c.Caption += fmt.Sprintf(" Floods above %s %s run off the top of the picture.", grouped(top, 0), inFlow.Unit)
	}
	if len(flow) > 0 {
		c.Alt = fmt.Sprintf("Rain of %s %s in the year; creek between %.3g and %.3g %s", grouped(inRain.Of(sum(v.RainMM)), 0),
			inRain.Unit, slices.Min(flow), slices.Max(flow), inFlow.Unit)
		if len(maximum) > 0 {
			c.Alt += fmt.Sprintf("; the turbine takes up to %.3g %s, with %d dry-pipe stops", slices.Max(maximum), inFlow.Unit, len(v.DryStopHour))
		}
		c.Alt += walks + "."
	}
	if len(v.usedSets()) > 0 {
		c.Caption += " Below: which nozzles are fitted, and a dot for each walk up to them."
	}
	return c
}

// rainAbove returns the plot of the days' rain that stands above a creek's; its
// time axis is still to be set.
func rainAbove(mm []float64, in measure.Scale) (*plot.Plot, Bars) {
	p := New("", in.Unit+"/day")
	p.Y.Tick.Marker = RoundTicks{Most: 4}
	p.Y.Min = 0
	var fallen []Box
	for d, mm := range mm {
		if mm > 0 {
			fallen = append(fallen, Box{float64(d), float64(d + 1), 0, in.Of(mm)})
		}
	}
	bars := Bars{Boxes: fallen, Color: Rain.Color()}
	p.Add(bars)
	return p, bars
}

// drawTaking draws what the turbine takes each day, the creek over it and the
// cut-off, all in the plot's own unit, and returns the entries of turbine and
// cut-off for the legend. No taking or a cut-off of 0 is left out.
func drawTaking(creek *plot.Plot, flow Line, taking []float64, cutoff float64) []LegendEntry {
	var legend []LegendEntry
	if len(taking) > 0 {
		taken := Band{Low: make([]float64, len(taking)), High: taking, Color: Hydro.Color(), Steps: true}
		creek.Add(taken)
		legend = append(legend, LegendEntry{"turbine", taken})
	}
	creek.Add(flow)
	if cutoff > 0 {
		cut := Rule{At: cutoff, Style: Limit.Stroke(Medium)}
		creek.Add(cut)
		legend = append(legend, LegendEntry{"cut-off", cut})
	}
	return legend
}

// flowTop returns where the flow axis ends, and whether floods stand out of it:
// what matters to a turbine is the low part.
func flowTop(flow, draw []float64) (top float64, floods bool) {
	if len(flow) == 0 {
		return 1, false
	}
	sorted := slices.Sorted(slices.Values(flow))
	maximum := sorted[len(sorted)-1]
	top = sorted[len(sorted)*95/100]
	if len(draw) > 0 {
		top = max(min(top, 3*slices.Max(draw)), 1.6*slices.Max(draw))
	}
	if top >= 0.7*maximum || top <= 0 {
		return max(maximum*1.05, 1e-6), false
	}
	step := roundStep(top / 5)
	return step * math.Ceil(top/step), true
}

// gates returns upright lines where the valve is opened and closed, with their
// dates; none where it is open all year or never.
func (v Water) gates(days int, top float64) []plot.Plotter {
	var marks []plot.Plotter
	for _, g := range []struct {
		hour int
		word string
	}{{v.OpenHour, "open "}, {v.CloseHour, "shut "}} {
		day := float64(g.hour) / 24
		if v.CloseHour <= v.OpenHour || day <= 0 || day >= float64(days) {
			continue
		}
		at := v.Start.Add(time.Duration(g.hour) * time.Hour)
		marks = append(marks, Rule{At: day, Upright: true, Style: Hydro.Solid(Medium)},
			Labels{X: []float64{day}, Y: []float64{top * 0.93}, Text: []string{g.word + at.Format("2 Jan")}, Backed: true})
	}
	return marks
}

// dryStops returns marks along the foot of the plot.
func dryStops(hours []int, top float64) Points {
	s := Points{Color: Unmet.Color(), Shape: draw.PyramidGlyph{}, Radius: 4.5}
	for _, h := range hours {
		s.X = append(s.X, float64(h)/24)
		s.Y = append(s.Y, top*0.05)
	}
	return s
}
