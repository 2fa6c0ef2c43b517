package plots

import (
	"fmt"
	"math"
	"time"

	"gonum.org/v1/plot"

	"sunrill/sim/measure"
)

// DayFan is a quantity on each of the days ahead, over many futures.
type DayFan struct{ P10, P20, P50, P80, P90 []float64 }

// Ahead is what the charts of an outlook draw.
type Ahead struct {
	Start    time.Time // the first day
	Charge   DayFan    // the lowest of each day, 0 to 1
	FloorSoC float64

	Flow      DayFan // m³/s; empty without a stream
	SetM3S    []float64
	FlowScale measure.Scale // zero: L/s

	Plans []ChanceLine // the best one first
}

// ChanceLine is the chance of a dark hour until the end of each day, 0 to 1.
type ChanceLine struct {
	Name   string
	Chance []float64
}

// dayTicks names days of the calendar along an axis that counts days from
// Start: at most seven.
type dayTicks struct {
	start time.Time
	days  int
}

func (d dayTicks) Ticks(lo, hi float64) []plot.Tick {
	step := 1
	for _, s := range []int{1, 2, 7, 14, 28, 56} {
		if step = s; d.days/s <= 6 {
			break
		}
	}
	var ticks []plot.Tick
	for day := 0; float64(day) <= hi+1e-9; day += step {
		if float64(day) >= lo {
			ticks = append(ticks, plot.Tick{Value: float64(day), Label: d.start.AddDate(0, 0, day).Format("2 Jan")})
		}
	}
	return ticks
}

func daysAheadAxis(p *plot.Plot, start time.Time, days int) {
	p.X.Min, p.X.Max = 0, float64(max(days, 1))
	p.X.Tick.Marker = dayTicks{start, days}
	p.X.Label.Text = "day, " + yearName(start, max(days, 1))
}

// ends are the ends of days 1, 2, 3 …
func ends(n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(i + 1)
	}
	return x
}

// fanOn adds bands and median and returns their legend.
func fanOn(p *plot.Plot, x []float64, f DayFan, q Quantity, in func(float64) float64) []LegendEntry {
	all := func(v []float64) []float64 { return scaled(v, in) }
	wide := Band{X: x, Low: all(f.P10), High: all(f.P90), Color: q.Tint(0.3)}
	near := Band{X: x, Low: all(f.P20), High: all(f.P80), Color: q.Tint(0.6)}
	line := Line{X: x, Y: all(f.P50), Style: q.Solid(Bold)}
	line.Style.Color = q.Shade(0.85)
	p.Add(wide, near, line)
	return []LegendEntry{{"middling", line}, {"6 in 10", near}, {"8 in 10", wide}}
}

func (f DayFan) columns(name string, by float64) []Column {
	return []Column{times(name+"_p10", f.P10, by), times(name+"_p20", f.P20, by), times(name+"_p50", f.P50, by), times(name+"_p80", f.P80, by), times(name+"_p90", f.P90, by)}
}

// ChargeAhead draws the bank's charge over the days ahead.
func ChargeAhead(v Ahead) Chart {
	days := len(v.Charge.P50)
	p := New("", "lowest charge, %")
	daysAheadAxis(p, v.Start, days)
	p.Y.Min, p.Y.Max = 0, 100
	c := Chart{
		Name: "outlook-charge", Title: "How full the bank may be in the days ahead", Plot: p,
		Caption: "The lowest charge of each day. In half of the futures it lies above the line, in 8 of 10 within the wide band. At the floor the house is in the dark.",
		Numbers: v.Charge.columns("charge_pct", 100),
	}
	c.Legend = fanOn(p, nil, v.Charge, Bank, func(s float64) float64 { return 100 * s })
	floor := Rule{At: 100 * v.FloorSoC, Style: Limit.Stroke(Medium)}
	p.Add(floor)
	c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("floor, %.0f %%", 100*v.FloorSoC), floor})
	if days > 0 {
		low, when := math.Inf(1), 0
		for d, s := range v.Charge.P50 {
			if s < low {
				low, when = s, d
			}
		}
		c.Alt = fmt.Sprintf("The bank's charge over %d days. The middling future is lowest, %.0f %%, on %s; 8 in 10 futures then lie between %.0f and %.0f %%.",
			days, 100*low, v.Start.AddDate(0, 0, when).Format("2 January"), 100*v.Charge.P10[when], 100*v.Charge.P90[when])
	}
	c.Numbers = append([]Column{dayColumn(v.Start, days)}, c.Numbers...)
	return c
}

// CreekAhead draws the stream flow over the days ahead and what each set of
// nozzles needs of it.
func CreekAhead(v Ahead) Chart {
	days := len(v.Flow.P50)
	scale := orUsual(v.FlowScale, litresPerSecond)
	p := New("", "creek, "+scale.Unit)
	daysAheadAxis(p, v.Start, days)
	bottom, top := logRange(scale.All(v.Flow.P10), scale.All(v.Flow.P90), scale.All(v.SetM3S))
	p.Y.Scale, p.Y.Tick.Marker = plot.LogScale{}, LogTicks{}
	c := Chart{
		Name: "outlook-creek", Title: "What the creek may bring in the days ahead", Plot: p,
		Caption: "Each step up the axis is a multiple. A dashed line is the flow at which a set of nozzles runs all day, what the house draws and what stays in the creek included.",
	}
	c.Legend = fanOn(p, nil, v.Flow, Creek, func(q float64) float64 { return min(max(scale.Of(q), bottom), top) })
	for i, q := range v.SetM3S {
		r := Rule{At: scale.Of(q), Style: Limit.Stroke(Fine)}
		p.Add(r)
		if i == 0 {
			c.Legend = append(c.Legend, LegendEntry{"a set of nozzles", r})
		}
	}
	p.Y.Min, p.Y.Max = bottom, top
	if days > 0 {
		c.Alt = fmt.Sprintf("Stream flow over %d days: %.2g %s in the middling future on the first, %.2g on the last, when 8 in 10 futures lie between %.2g and %.2g.",
			days, scale.Of(v.Flow.P50[0]), scale.Unit, scale.Of(v.Flow.P50[days-1]), scale.Of(v.Flow.P10[days-1]), scale.Of(v.Flow.P90[days-1]))
	}
	c.Numbers = append([]Column{dayColumn(v.Start, days)}, v.Flow.columns("flow_lps", 1000)...)
	return c
}

// DarkAhead draws the chance that the house has been in the dark by each day.
func DarkAhead(v Ahead) Chart {
	days := 0
	if len(v.Plans) > 0 {
		days = len(v.Plans[0].Chance)
	}
	p := New("", "chance of a dark hour, %")
	daysAheadAxis(p, v.Start, days)
	p.Y.Min, p.Y.Max = 0, 100
	c := Chart{
		Name: "outlook-dark", Title: "How likely it gets dark by each day", Plot: p,
		Caption: "The share of futures in which the house has been without power for an hour or more by the end of that day.",
		Numbers: []Column{dayColumn(v.Start, days)},
	}
	styles := []Line{{Style: Unmet.Solid(Bold)}, {Style: Demand.Stroke(Medium)}, {Style: Measured.Stroke(Medium)}, {Style: Served.Solid(Medium)}}
	for i := len(v.Plans) - 1; i >= 0; i-- {
		plan := v.Plans[i]
		line := styles[min(i, len(styles)-1)]
		line.X = append([]float64{0}, ends(days)...)
		line.Y = append([]float64{0}, scaled(plan.Chance, func(s float64) float64 { return 100 * s })...)
		p.Add(line)
		c.Legend = append([]LegendEntry{{plan.Name, line}}, c.Legend...)
	}
	for i, plan := range v.Plans {
		c.Numbers = append(c.Numbers, times(fmt.Sprintf("chance_pct_%d", i+1), plan.Chance, 100))
		if days > 0 {
			c.Alt += fmt.Sprintf("%s: %.0f %% by the end of the last day. ", plan.Name, 100*plan.Chance[days-1])
		}
	}
	return c
}

// Reliability is what chances were told and how often it then came true.
type Reliability struct {
	Days       int // within which
	Told, Came []float64
	Dates      []int
}

// ReliabilityOf draws chances told against how often it came.
func ReliabilityOf(v Reliability) Chart {
	p := New("chance told, %", "then it came, %")
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 100, 0, 100
	diagonal := Line{X: []float64{0, 100}, Y: []float64{0, 100}, Style: Limit.Stroke(Fine)}
	pct := func(s float64) float64 { return 100 * s }
	marks := Points{X: scaled(v.Told, pct), Y: scaled(v.Came, pct), Color: Unmet.Color()}
	line := Line{X: marks.X, Y: marks.Y, Style: Unmet.Solid(Fine)}
	p.Add(diagonal, line, marks)
	names := Labels{}
	n := 0
	for i, d := range v.Dates {
		names.X, names.Y, names.Text = append(names.X, marks.X[i]), append(names.Y, min(marks.Y[i]+7, 95)), append(names.Text, fmt.Sprint(d))
		n += d
	}
	p.Add(names)
	c := Chart{
		Name: "outlook-reliability", Title: fmt.Sprintf("Do the chances come true? Dark within %d days", v.Days), Plot: p,
		Caption: "Each mark is the dates of the record on which about that chance was told, made without knowing what came; the number is how many. On the dashed line a chance of 80 % comes true 8 times in 10.",
		Legend:  []LegendEntry{{"dates of the record", marks}, {"as told", diagonal}},
		Alt:     fmt.Sprintf("Chances told on %d dates against how often it came.", n),
	}
	for i := range v.Told {
		c.Alt += fmt.Sprintf(" Told %.0f %%, came %.0f %%.", 100*v.Told[i], 100*v.Came[i])
	}
	counts := Column{Name: "dates"}
	for _, d := range v.Dates {
		counts.Values = append(counts.Values, float64(d))
	}
	c.Numbers = []Column{times("told_pct", v.Told, 100), times("came_pct", v.Came, 100), counts}
	return c
}

func dayColumn(start time.Time, n int) Column { return days("date", start, n) }
