package plots

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
)

// MixLine is what the light costs at the least: for so many unmet hours a year
// at most, the cheapest mix's cost. NaN where none does.
type MixLine struct{ UnmetHours, CostAYear []float64 }

// Mixes are the two lines, with the creek and without it.
type Mixes struct {
	Currency      string
	With, Without MixLine
	TargetHours   float64
	Today         *AlternativePoint // what stands; nil: nothing does
}

// CostOfMixes draws money a year against unmet hours, with and without the
// creek. Hours stand evenly in the logarithm of one more than them, so that
// none has a place too.
func CostOfMixes(v Mixes) Chart {
	p := New("unmet hours a year at most", v.Currency+" a year")
	at := func(hours float64) float64 { return math.Log1p(hours) }
	top, bottom, right := 0.0, math.Inf(1), at(math.Max(v.TargetHours, 10))
	c := Chart{Name: "mixes", Title: "What light costs, with the creek and without", Plot: p}
	var say string
	for _, s := range []struct {
		name string
		line MixLine
		q    Quantity
	}{{"with the creek", v.With, Hydro}, {"without the creek", v.Without, Panels}} {
		var line Line
		line.Style = s.q.Solid(Bold)
		marks := Points{Color: s.q.Color()}
		for i, hours := range s.line.UnmetHours {
			cost := s.line.CostAYear[i]
			line.X, line.Y = append(line.X, at(hours)), append(line.Y, cost)
			if math.IsNaN(cost) {
				continue
			}
			marks.X, marks.Y = append(marks.X, at(hours)), append(marks.Y, cost)
			top, bottom, right = max(top, cost), min(bottom, cost), max(right, at(hours))
		}
		if len(marks.X) == 0 {
			continue
		}
		p.Add(line, marks)
		c.Legend = append(c.Legend, LegendEntry{s.name, line})
		if n := len(marks.X); n > 0 {
			say += fmt.Sprintf("%s, from %s %s a year for %.0f unmet hours to %s for %.0f; ", s.name,
				grouped(marks.Y[0], 0), v.Currency, math.Expm1(marks.X[0]), grouped(marks.Y[n-1], 0), math.Expm1(marks.X[n-1]))
		}
	}
	if v.Today != nil {
		today := Points{X: []float64{at(v.Today.UnmetHours)}, Y: []float64{v.Today.CostAYear}, Color: Measured.Color(), Radius: 5}
		top, bottom, right = max(top, v.Today.CostAYear), min(bottom, v.Today.CostAYear), max(right, at(v.Today.UnmetHours))
		p.Add(today)
		c.Legend = append(c.Legend, LegendEntry{"today, without the creek", today})
		say += fmt.Sprintf("today %s a year and %.0f unmet hours; ", grouped(v.Today.CostAYear, 0), v.Today.UnmetHours)
	}
	if math.IsInf(bottom, 1) {
		top, bottom = 1, 0
	}
	margin := max(0.08*(top-bottom), 0.02*top, 1)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, right*1.02, max(0, bottom-margin), top+margin
	target := Line{X: []float64{at(v.TargetHours), at(v.TargetHours)}, Y: []float64{p.Y.Min, p.Y.Max}, Style: Measured.Solid(Fine)}
	p.Add(target)
	c.Legend = append(c.Legend, LegendEntry{"the light you want", target})
	p.X.Tick.Marker = hourSteps{}
	p.Y.Tick.Marker = RoundTicks{}
	c.Caption = "Each mark is the cheapest mix of panels, bank, generator and creek that leaves no more unmet hours than stand below it, in the one-in-five year and in a mean one. Where the line with the creek is the lower one, the creek is worth it. The scale of money begins below the cheapest."
	c.Alt = say + fmt.Sprintf("the light that is wanted: at most %.0f unmet hours.", v.TargetHours)
	return c
}

// hourSteps are the ticks of an axis of ln(1 + hours).
type hourSteps struct{}

func (hourSteps) Ticks(lo, hi float64) []plot.Tick {
	var ticks []plot.Tick
	for _, h := range []float64{0, 5, 20, 100, 500, 2000, 8000} {
		if x := math.Log1p(h); x >= lo && x <= hi {
			ticks = append(ticks, plot.Tick{Value: x, Label: grouped(h, 0)})
		}
	}
	return ticks
}
