package plots

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"
)

// BankCurve is unmet hours against the size of the bank.
type BankCurve struct {
	CapacityKWh      []float64 // rising
	Mean, P80, Worst []float64 // unmet hours a year at each
	Years            int
	PresentKWh       float64 // 0: no bank
	TargetHours      float64
	SizeKWh          float64 // smallest bank that keeps to the target; NaN: none does
	// UseYears is after how many years use alone would end the bank, at each size;
	// 0: none, or not reckoned. AgeYears is when age ends it; 0: not told.
	UseYears []float64
	AgeYears float64
}

// BankSizes draws the curve with the present bank and the target.
func BankSizes(v BankCurve) Chart {
	p := New("capacity of the bank, kWh", "unmet hours a year")
	p.X.Min, p.X.Max = 0, v.shownKWh()
	p.Y.Min, p.Y.Max = 0, v.shownHours()
	worst := Line{X: v.CapacityKWh, Y: v.Worst, Style: Unmet.Solid(Medium)}
	worst.Style.Dashes = dash(5, 2.5)
	p80 := Line{X: v.CapacityKWh, Y: v.P80, Style: Unmet.Solid(Bold)}
	mean := Line{X: v.CapacityKWh, Y: v.Mean, Style: Served.Solid(Medium)}
	mean.Style.Dashes = dash(1.5, 2)
	p.Add(worst, p80, mean)
	p.X.Max, p.Y.Max = v.shownKWh(), v.shownHours() // the lines go on beyond
	c := Chart{
		Name:   "bank-curve",
		Title:  "How many hours in the dark a bank of each size leaves",
		Plot:   p,
		Legend: []LegendEntry{{"worst year", worst}, {"1 year in 5", p80}, {"mean year", mean}},
	}
	if v.Years == 1 {
		c.Legend = []LegendEntry{{"the one year", p80}}
	}
	if v.PresentKWh > 0 {
		r := Rule{At: v.PresentKWh, Upright: true, Style: Bank.Solid(Medium)}
		p.Add(r)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("your bank, %s kWh", short(v.PresentKWh)), r})
	}
	if !math.IsNaN(v.SizeKWh) && v.SizeKWh > 0 {
		at := Points{X: []float64{v.SizeKWh}, Y: []float64{at(v.CapacityKWh, v.P80, v.SizeKWh)}, Color: Limit.Color(), Shape: draw.RingGlyph{}, Radius: 5}
		p.Add(at)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("%s kWh: %s h", short(v.SizeKWh), short(v.TargetHours)), at})
	}
	c.Caption = "Where the curve is steep, each kWh more buys many hours of light; where it runs flat, a bigger bank buys nothing."
	if slices.Max(v.Worst) > p.Y.Max {
		c.Caption += fmt.Sprintf(" Without a bank it would be %s hours in 1 year of 5.", grouped(v.P80[0], 0))
	}
	c.Alt = fmt.Sprintf("Unmet hours a year fall from %.0f without a bank to %.0f with %s kWh, 1 year in 5.", v.P80[0], v.P80[len(v.P80)-1], short(v.CapacityKWh[len(v.CapacityKWh)-1]))
	return c
}

// shownKWh is where the drawing ends: where the bad year gains nothing more,
// with the present bank and the target's well inside.
func (v BankCurve) shownKWh() float64 {
	n := len(v.P80)
	flat := n - 1
	for flat > 0 && v.P80[flat-1] <= v.P80[n-1]+1 {
		flat--
	}
	end := max(1.2*v.CapacityKWh[flat], 3*v.PresentKWh)
	if !math.IsNaN(v.SizeKWh) {
		end = max(end, 1.2*v.SizeKWh)
	}
	return min(end, v.end())
}

// shownHours is the top of the drawing: what no bank leaves stands far above
// what matters.
func (v BankCurve) shownHours() float64 {
	top := slices.Max(v.Worst) * 1.05
	if v.PresentKWh > 0 {
		top = min(top, max(2.5*at(v.CapacityKWh, v.Worst, v.PresentKWh), 24))
	}
	return max(1, top)
}

func (v BankCurve) end() float64 { return max(v.CapacityKWh[len(v.CapacityKWh)-1], 0.1) }

// at reads a curve of rising x, with straight lines between its points.
func at(x, y []float64, where float64) float64 {
	i, found := slices.BinarySearch(x, where)
	switch {
	case found || i == 0:
		return y[min(i, len(y)-1)]
	case i == len(x):
		return y[i-1]
	}
	return y[i-1] + (y[i]-y[i-1])*(where-x[i-1])/(x[i]-x[i-1])
}

// UseMatters reports whether use ends the bank before age does at any size from
// half of the present one on: else there is nothing to draw.
func (v BankCurve) UseMatters() bool {
	for k, y := range v.UseYears {
		if y > 0 && v.CapacityKWh[k] >= v.PresentKWh/2 && (v.AgeYears == 0 || y < v.AgeYears) {
			return true
		}
	}
	return false
}

// BankLife draws what ends a bank of each size: use or age, whichever comes
// first.
func BankLife(v BankCurve) Chart {
	p := New("capacity of the bank, kWh", "years")
	line := Line{Style: Bank.Solid(Bold)}
	longest, first := 0.0, math.NaN()
	for k, y := range v.UseYears {
		if y > 0 {
			line.X, line.Y = append(line.X, v.CapacityKWh[k]), append(line.Y, y)
			longest = max(longest, y)
			if math.IsNaN(first) && (v.AgeYears == 0 || y >= v.AgeYears) {
				first = v.CapacityKWh[k]
			}
		}
	}
	top := max(longest*1.08, 1)
	if v.AgeYears > 0 {
		top = min(top, 2.2*v.AgeYears)
	}
	end := v.end()
	if !math.IsNaN(first) && v.AgeYears > 0 { // beyond, age ends all
		end = min(end, max(3*first, 2*v.PresentKWh))
	}
	p.Add(line)
	c := Chart{
		Name:   "bank-life",
		Title:  "What ends a bank of each size: use or age",
		Plot:   p,
		Legend: []LegendEntry{{"use, if it were used as in these years", line}},
	}
	if v.AgeYears > 0 {
		age := Rule{At: v.AgeYears, Style: Limit.Stroke(Medium)}
		p.Add(age)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("age, %s years", short(v.AgeYears)), age})
	}
	if v.PresentKWh > 0 {
		r := Rule{At: v.PresentKWh, Upright: true, Style: Bank.Solid(Medium)}
		p.Add(r)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("your bank, %s kWh", short(v.PresentKWh)), r})
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, max(end, 0.1), 0, max(top, v.AgeYears*1.15)
	c.Caption = "The lower of the two lines ends the bank: a small one is drawn deep every night and wears out before it is old. Both are promises; real banks have lived half as long."
	switch {
	case len(line.X) == 0:
		c.Alt = "No bank of any size wears by use, so there is no line to draw."
	case math.IsNaN(first):
		c.Alt = fmt.Sprintf("Use ends a bank of %s kWh after %.1f years and one of %s kWh after %.1f, always before age does.", short(line.X[0]), line.Y[0], short(line.X[len(line.X)-1]), line.Y[len(line.Y)-1])
	default:
		c.Alt = fmt.Sprintf("Use ends a bank of %s kWh after %.1f years. From %s kWh on age comes first, after %s years.", short(line.X[0]), line.Y[0], short(first), short(v.AgeYears))
	}
	return c
}

// PanelBankField is unmet hours over panels and banks.
type PanelBankField struct {
	PanelKW     []float64   // rising
	CapacityKWh []float64   // rising
	UnmetHours  [][]float64 // 1 year in 5, by panel power, by capacity
	PresentKW   float64
	PresentKWh  float64
}

// levels are the hours that a line is drawn for.
var levels = []float64{0.5, 10, 50, 100, 200, 500, 1000}

// PanelsAndBank draws lines of equal unmet hours.
func PanelsAndBank(v PanelBankField) Chart {
	p := New("panels, kW", "capacity of the bank, kWh")
	p.X.Min, p.X.Max = v.PanelKW[0], max(v.PanelKW[len(v.PanelKW)-1], 0.1)
	p.Y.Min, p.Y.Max = 0, max(v.CapacityKWh[len(v.CapacityKWh)-1], 0.1)
	var lines [][]spot
	var texts []string
	for i, level := range levels {
		line := Line{Style: draw.LineStyle{Color: Unmet.Shade(0.3 + 0.6*float64(i)/float64(len(levels)-1)), Width: Medium}}
		before := false
		for k, kW := range v.PanelKW {
			kWh, ok := v.reaches(k, level)
			if ok && !before && k > 0 { // on up to the edge
				line.X, line.Y = append(line.X, v.atTop(k, level)), append(line.Y, p.Y.Max)
			}
			if !ok && before { // with more panels it is missed again: a gap
				line.X, line.Y = append(line.X, kW), append(line.Y, math.NaN())
			}
			if ok {
				line.X, line.Y = append(line.X, kW), append(line.Y, kWh)
			}
			before = ok
		}
		if len(line.X) < 2 || len(spots(line, p)) == 0 {
			continue
		}
		p.Add(line)
		lines = append(lines, spots(line, p))
		text := grouped(level, 0) + " h"
		if level < 1 {
			text = "0 h"
		}
		texts = append(texts, text)
	}
	words := Labels{OnPoint: true, Backed: true, Text: texts}
	for _, at := range roomiest(lines) {
		words.X, words.Y = append(words.X, at.x*p.X.Max), append(words.Y, at.y*p.Y.Max)
	}
	p.Add(words)
	c := Chart{
		Name:   "panels-and-bank",
		Title:  "Panels or bank: what leaves the same hours in the dark",
		Plot:   p,
		Height: 330,
	}
	if v.PresentKWh > 0 && v.PresentKW > 0 {
		here := Points{X: []float64{v.PresentKW}, Y: []float64{v.PresentKWh}, Color: Bank.Color(), Radius: 5}
		p.Add(here)
		c.Legend = []LegendEntry{{"what you have", here}}
	}
	c.Caption = "Each line joins panels and banks that leave the house short for the same hours in 1 year of 5. Go right for more panels, up for a bigger bank. Where a line runs upright, no bank helps; where it runs level, no panels do."
	c.Alt = fmt.Sprintf("%d lines of equal unmet hours over panels of %s to %s kW and banks of up to %s kWh.", len(lines), short(p.X.Min), short(p.X.Max), short(p.Y.Max))
	return c
}

// spot is a place in a plot, 0 to 1 each way.
type spot struct{ x, y float64 }

// spots returns places all along a line in a plot whose axes begin at 0.
func spots(l Line, p *plot.Plot) []spot {
	const parts = 12
	var all []spot
	for k := 1; k < len(l.X); k++ {
		if math.IsNaN(l.Y[k-1]) || math.IsNaN(l.Y[k]) {
			continue
		}
		for j := range parts {
			fraction := float64(j) / parts
			all = append(all, spot{
				(l.X[k-1] + fraction*(l.X[k]-l.X[k-1])) / p.X.Max,
				(l.Y[k-1] + fraction*(l.Y[k]-l.Y[k-1])) / p.Y.Max,
			})
		}
	}
	return all
}

// roomiest returns for each line the place on it that lies farthest from the
// other lines, the plot's edges and the words before, so that a word there
// hides no other line.
func roomiest(lines [][]spot) []spot {
	var words []spot
	for i, line := range lines {
		best, maximum := line[len(line)/2], 0.0
		for _, at := range line {
			// A word is wider than it is high.
			room := min(at.x-0.06, 0.94-at.x, 1.5*(at.y-0.03), 1.5*(0.97-at.y))
			for k, other := range lines {
				if k == i {
					continue
				}
				for _, o := range other {
					room = min(room, math.Hypot(at.x-o.x, 1.5*(at.y-o.y)))
				}
			}
			for _, w := range words {
				room = min(room, 0.7*math.Hypot(at.x-w.x, 1.5*(at.y-w.y)))
			}
			if room > maximum {
				best, maximum = at, room
			}
		}
		words = append(words, best)
	}
	return words
}

// atTop returns the panels, between the (k−1)-th and the k-th, at which the
// biggest bank keeps to the level, where it does so with the k-th and not with
// those before.
func (v PanelBankField) atTop(k int, level float64) float64 {
	last := len(v.CapacityKWh) - 1
	before, after := v.UnmetHours[k-1][last], v.UnmetHours[k][last]
	fraction := (before - level) / (before - after)
	return v.PanelKW[k-1] + fraction*(v.PanelKW[k]-v.PanelKW[k-1])
}

// reaches returns the smallest bank from which on all keep to the level with the
// k-th panels. A smaller one that does so by luck, between others that do not, as
// a generator or a disconnect can bring about, is none to draw.
func (v PanelBankField) reaches(k int, level float64) (kWh float64, ok bool) {
	row := v.UnmetHours[k]
	i := len(row)
	for i > 0 && row[i-1] <= level {
		i--
	}
	switch {
	case i == len(row):
		return 0, false
	case i == 0:
		return v.CapacityKWh[0], true
	}
	fraction := (row[i-1] - level) / (row[i-1] - row[i])
	return v.CapacityKWh[i-1] + fraction*(v.CapacityKWh[i]-v.CapacityKWh[i-1]), true
}
