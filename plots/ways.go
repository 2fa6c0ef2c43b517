package plots

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// AlternativePoint is one way to live: what it costs a year and how long it leaves the
// house dark.
type AlternativePoint struct {
	Name       string
	CostAYear  float64
	UnmetHours float64 // mean of the years
	Water      bool    // hydro is in it
	Engine     bool    // a generator is in it
}

// CostOfLight draws a numbered mark for each way: cost a year to the right,
// unmet hours upwards. The best corner is at the lower left.
func CostOfLight(currency string, alternatives []AlternativePoint) Chart {
	p := New("cost a year, "+currency, "unmet hours in a mean year")
	top, left, right := 0.0, math.Inf(1), 0.0
	for _, w := range alternatives {
		top, left, right = max(top, w.UnmetHours), min(left, w.CostAYear), max(right, w.CostAYear)
	}
	// What every way costs tells nothing: the scale begins below the cheapest.
	margin := max(0.12*(right-left), 0.02*right, 1)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = max(left-margin, 0), right+margin, -0.05*max(top, 1), 1.12*max(top, 1)
	p.X.Tick.Marker, p.Y.Tick.Marker = RoundTicks{}, RoundTicks{}
	c := Chart{Name: "cost-of-light", Title: "What each way costs, and how long it leaves the house dark", Plot: p}
	var say []string
	for i, w := range alternatives {
		mark := Points{X: []float64{w.CostAYear}, Y: []float64{w.UnmetHours}, Color: Panels.Color(), Radius: 5}
		switch {
		case w.Water && w.Engine:
			mark.Color, mark.Shape = Creek.Color(), draw.PyramidGlyph{}
		case w.Water:
			mark.Color, mark.Shape = Hydro.Color(), draw.BoxGlyph{}
		case w.Engine:
			mark.Color, mark.Shape = Generator.Color(), draw.PyramidGlyph{}
		}
		p.Add(mark)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("%d %s", i+1, w.Name), mark})
		say = append(say, fmt.Sprintf("%s: %s %s a year, %s unmet hours", w.Name, grouped(w.CostAYear, 0), currency, grouped(w.UnmetHours, 0)))
	}
	p.Add(numbers(alternatives, p.X.Max-p.X.Min, p.Y.Max))
	c.Caption = "Each mark is a way to live, run over all years. Further down is more light, further left is less money: of two ways, the one nearer the lower left corner is better in both. The scale of money begins below the cheapest."
	c.Alt = strings.Join(say, "; ") + "."
	return c
}

// numbers writes each way's number over its mark; marks that lie on one
// another share a place.
func numbers(alternatives []AlternativePoint, width, height float64) Labels {
	w := Labels{Centred: true}
	for i, alternative := range alternatives {
		number := fmt.Sprint(i + 1)
		shared := false
		for k := range w.X {
			if math.Abs(w.X[k]-alternative.CostAYear) < 0.035*width && math.Abs(w.Y[k]-0.02*height-alternative.UnmetHours) < 0.06*height {
				w.Text[k] += ", " + number
				shared = true
				break
			}
		}
		if !shared {
			w.X, w.Y, w.Text = append(w.X, alternative.CostAYear), append(w.Y, alternative.UnmetHours+0.02*height), append(w.Text, number)
		}
	}
	return w
}

// DarkMonth is the energy of each way in the month with least sun, in kWh.
type DarkMonth struct {
	Month               string
	Alternatives        []string
	Supplies            []Supply // from the left of the bar on
	DemandKWh, UnmetKWh []float64
}

// EnergyOfDarkMonth draws a level bar for each way: what its sources give in
// the month with least sun, and what is unmet.
func EnergyOfDarkMonth(v DarkMonth) Chart {
	n := len(v.Alternatives)
	p := New("kWh in a mean "+v.Month, "")
	names := make(Names, n)
	for i, w := range v.Alternatives {
		names[n-1-i] = w
	}
	p.Y.Tick.Marker = names
	p.Y.Tick.Length = 0
	p.X.Min, p.Y.Min, p.Y.Max = 0, -0.6, float64(n)-0.4
	p.X.Tick.Marker = RoundTicks{Most: 5}
	c := Chart{Name: "dark-month", Title: fmt.Sprintf("Where the energy comes from in %s", v.Month), Plot: p, Height: 90 + 28*vg.Length(n)}
	level := make([]float64, n)
	right := 0.0
	for _, s := range v.Supplies {
		if sum(s.Wh) == 0 {
			continue
		}
		var boxes []Box
		for i, wh := range s.Wh {
			row := float64(n - 1 - i)
			boxes = append(boxes, Box{level[i], level[i] + wh/1000, row - 0.32, row + 0.06})
			level[i] += wh / 1000
			right = max(right, level[i])
		}
		bars := NewBars(s.What, boxes)
		p.Add(bars)
		c.Legend = append(c.Legend, LegendEntry{s.Name, bars})
	}
	var served, unmet []Box
	for i := range n {
		row := float64(n - 1 - i)
		got := v.DemandKWh[i] - v.UnmetKWh[i]
		served = append(served, Box{0, got, row + 0.08, row + 0.34})
		unmet = append(unmet, Box{got, v.DemandKWh[i], row + 0.08, row + 0.34})
		right = max(right, v.DemandKWh[i])
	}
	got := Bars{Boxes: served, Color: Served.Tint(0.6), Outline: Demand.Solid(Fine)}
	missed := NewBars(Unmet, unmet)
	p.Add(got, missed)
	c.Legend = append(c.Legend, LegendEntry{"asked for, served", got}, LegendEntry{"unmet", missed})
	p.X.Max = 1.05 * max(right, 1)
	c.Caption = "Lower bar: what the sources can give in the month with least sun, mean of the years. Upper bar: what the house asks for, and the part that it does not get. Sources can be longer than the demand and still leave nights dark."
	var say []string
	for i, w := range v.Alternatives {
		say = append(say, fmt.Sprintf("%s: %s kWh, %s kWh unmet", w, grouped(level[i], 0), grouped(v.UnmetKWh[i], 0)))
	}
	c.Alt = strings.Join(say, "; ") + "."
	return c
}

// Turn is how far a thing would have to be otherwise to turn the verdict.
type Turn struct {
	Name   string
	Factor float64 // times what was given
}

// TurningPoints draws a bar from each thing as it was given to where it would
// turn the verdict. The scale is one of ratios: half and double lie equally far.
func TurningPoints(turns []Turn) Chart {
	n := len(turns)
	p := New("times what was given", "")
	names := make(Names, n)
	var boxes []Box
	var w Labels
	const minimum, maximum = 0.1, 10
	for i, t := range turns {
		row := n - 1 - i
		names[row] = t.Name
		f := min(max(t.Factor, minimum), maximum)
		boxes = append(boxes, Box{0, math.Log2(f), float64(row) - 0.32, float64(row) + 0.32})
		text := fmt.Sprintf("× %.2g", t.Factor)
		if t.Factor >= 10 {
			text = "× " + grouped(t.Factor, 0)
		}
		w.X, w.Y, w.Text = append(w.X, max(math.Log2(f), 0)), append(w.Y, float64(row)), append(w.Text, text)
	}
	near := Bars{Boxes: []Box{{math.Log2(0.8), math.Log2(1.2), -0.6, float64(n) - 0.4}}, Color: Limit.Tint(0.15)}
	bars := NewBars(Unmet, boxes)
	bars.Hatch = NoHatch
	p.Add(near, bars, Rule{At: 0, Upright: true, Style: Limit.Solid(Medium)}, w)
	p.Y.Tick.Marker = names
	p.Y.Tick.Length = 0
	p.Y.Min, p.Y.Max = -0.6, float64(n)-0.4
	p.X.Min, p.X.Max = min(p.X.Min-0.1, -1.2), max(p.X.Max+0.8, 1.8)
	p.X.Tick.Marker = ratioTicks{}
	c := Chart{Name: "turning-points", Title: "What would turn the verdict", Plot: p, Height: 90 + 24*vg.Length(n),
		Legend:  []LegendEntry{{"to where it turns", bars}, {"within 20 %", near}},
		Caption: "Each alone, all else as given, every mix weighed again. A short bar is worth asking for again; one that stays within the grey band turns the verdict with a change of a fifth."}
	var say []string
	for _, t := range turns {
		say = append(say, fmt.Sprintf("%s turns it at %.2g times", t.Name, t.Factor))
	}
	c.Alt = strings.Join(say, "; ") + "."
	return c
}

// ratioTicks marks halves and doubles on an axis of logarithms to base 2.
type ratioTicks struct{}

// Ticks returns a mark at each whole power of two.
func (ratioTicks) Ticks(lo, hi float64) []plot.Tick {
	var ticks []plot.Tick
	for e := math.Ceil(lo); e <= hi; e++ {
		label := "1"
		switch {
		case e > 0:
			label = fmt.Sprintf("%.0f", math.Pow(2, e))
		case e < 0:
			label = fmt.Sprintf("1/%.0f", math.Pow(2, -e))
		}
		ticks = append(ticks, plot.Tick{Value: e, Label: label})
	}
	return ticks
}
