package plots

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"gonum.org/v1/plot"

	"sunrill/sim/measure"
)

// Fitted is a model of the creek beside the readings that it was fitted to.
type Fitted struct {
	Start                time.Time
	RainMM, FlowM3S      []float64     // a value a day
	LowM3S, HighM3S      []float64     // the band around the flow, a value a day; nil: none
	ReadingDay           []float64     // days from Start
	ReadingM3S, ErrorM3S []float64     // one standard error
	Model                string        // "curve"
	FlowScale            measure.Scale // zero: L/s
	RainScale            measure.Scale // zero: mm
}

// FitToReadings draws the rain above, and below it the fitted flow with its
// band and the readings. The flow axis is logarithmic, since low flows decide
// when a turbine runs.
func FitToReadings(v Fitted) Chart {
	days := len(v.RainMM)
	inFlow, inRain := orUsual(v.FlowScale, litresPerSecond), orUsual(v.RainScale, millimetres)
	rain, rainBars := rainAbove(v.RainMM, inRain)
	yearsAxis(rain, v.Start, days)
	unnamed(rain)

	flow, readings := inFlow.All(v.FlowM3S), inFlow.All(v.ReadingM3S)
	bottom, top := logRange(flow, readings)
	creek := New("", inFlow.Unit)
	yearsAxis(creek, v.Start, days)
	creek.Y.Scale, creek.Y.Tick.Marker = plot.LogScale{}, LogTicks{}
	var legend []LegendEntry
	if v.LowM3S != nil {
		band := Band{Low: clamped(inFlow.All(v.LowM3S), bottom, top), High: clamped(inFlow.All(v.HighM3S), bottom, top), Color: Creek.Tint(0.35)}
		creek.Add(band)
		legend = append(legend, LegendEntry{"creek on 8 days of 10", band})
	}
	line := Line{Y: clamped(flow, bottom, top), Style: Creek.Solid(Bold)}
	marks := Points{X: v.ReadingDay, Y: clamped(readings, bottom, top), Color: Measured.Color()}
	var bars Line
	bars.Style = Measured.Solid(Fine)
	for i, q := range readings {
		if i < len(v.ErrorM3S) {
			ends := clamped([]float64{q - inFlow.Of(v.ErrorM3S[i]), q + inFlow.Of(v.ErrorM3S[i]), math.NaN()}, bottom, top)
			bars.X = append(bars.X, v.ReadingDay[i], v.ReadingDay[i], v.ReadingDay[i])
			bars.Y = append(bars.Y, ends...)
		}
	}
	creek.Add(line, bars, marks)
	legend = append(legend, LegendEntry{"fitted flow", line}, LegendEntry{"your readings", marks}, LegendEntry{"rain", rainBars})
	creek.X.Min, creek.X.Max = 0, math.Max(1, float64(days))
	creek.Y.Min, creek.Y.Max = bottom, top

	c := Chart{
		Name:   "fit",
		Title:  "Does the fitted creek pass through your readings?",
		Legend: legend,
		Draw:   Stack([]float64{1, 2.4}, rain, creek),
		Height: 330,
		Caption: "Each step up the flow axis is a multiple, so that the low flows show. The real creek is in the band on " +
			"8 days of 10, as far as the readings tell. Where it is wide they say little: go and measure then.",
	}
	if v.LowM3S == nil {
		c.Caption = "Each step up the flow axis is a multiple, so that the low flows show. Where the line misses the marks, do not trust it."
	}
	c.Alt = fmt.Sprintf("%d readings and the flow of the %s model over %d days", len(readings), v.Model, days)
	if len(readings) > 0 {
		minimum, maximum := readings[0], readings[0]
		for _, q := range readings {
			minimum, maximum = min(minimum, q), max(maximum, q)
		}
		c.Alt += fmt.Sprintf("; the readings lie between %.3g and %.3g %s", minimum, maximum, inFlow.Unit)
	}
	c.Alt += "."
	return c
}

// logRange returns the ends of a logarithmic flow axis that shows the readings
// and all flows down to a thousandth of the greatest.
func logRange(series ...[]float64) (bottom, top float64) {
	bottom, top = math.Inf(1), 0
	for _, values := range series {
		for _, v := range values {
			top = max(top, v)
		}
	}
	for _, values := range series {
		for _, v := range values {
			if v > top/1000 {
				bottom = min(bottom, v)
			}
		}
	}
	if top <= 0 {
		return 0.1, 10
	}
	return bottom / 1.4, top * 1.4
}

// clamped holds values to an axis that they may not leave; NaN stays.
func clamped(values []float64, bottom, top float64) []float64 {
	return scaled(values, func(v float64) float64 { return min(max(v, bottom), top) })
}

// yearsAxis is [YearAxis] for records of any length: beyond a year and a half
// it names the years, not the months.
func yearsAxis(p *plot.Plot, start time.Time, days int) {
	YearAxis(p, start, max(days, 1))
	if days > 550 {
		p.X.Tick.Marker = yearTicks{start: start, days: days}
		p.X.Label.Text = "year"
	}
}

// yearTicks names each year of which at least a third is shown, at its middle.
type yearTicks struct {
	start  time.Time
	days   int
	silent bool // lines only, no names: for a plot that stands above another
}

// first returns the day on which calendar year n begins.
func (y yearTicks) first(n int) float64 {
	return time.Date(n, 1, 1, 0, 0, 0, 0, y.start.Location()).Sub(y.start).Hours() / 24
}

// named returns the years that are named: at most ten of them.
func (y yearTicks) named() []int {
	last := y.start.AddDate(0, 0, y.days).Year()
	var years []int
	for n := y.start.Year(); n <= last; n += (last-y.start.Year())/10 + 1 {
		years = append(years, n)
	}
	return years
}

// starts returns the days on which the named years begin, after the first day.
func (y yearTicks) starts() []float64 {
	var days []float64
	for _, n := range y.named() {
		if d := y.first(n); d > 0 && d < float64(y.days) {
			days = append(days, d)
		}
	}
	return days
}

// Ticks returns the names between lo and hi.
func (y yearTicks) Ticks(lo, hi float64) []plot.Tick {
	if y.silent {
		return nil
	}
	var ticks []plot.Tick
	for _, n := range y.named() {
		from, to := min(max(y.first(n), lo), hi), min(max(y.first(n+1), lo), hi)
		if to-from > 120 {
			ticks = append(ticks, plot.Tick{Value: (from + to) / 2, Label: strconv.Itoa(n)})
		}
	}
	return ticks
}
