package plots

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// WayPoint is one way to live: what it costs a year and how long it leaves the
// house dark.
type WayPoint struct {
	Name       string
	CostAYear  float64
	UnmetHours float64 // mean of the years
	Water      bool    // hydro is in it
	Engine     bool    // a generator is in it
}

// CostOfLight draws a mark for each way: cost a year to the right, unmet hours
// upwards. The best corner is at the lower left.
func CostOfLight(currency string, ways []WayPoint) Chart {
	p := New("cost a year, "+currency, "unmet hours in a mean year")
	top, right := 0.0, 0.0
	for _, w := range ways {
		top, right = max(top, w.UnmetHours), max(right, w.CostAYear)
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1.12*max(right, 1), -0.04*max(top, 1), 1.12*max(top, 1)
	p.X.Tick.Marker, p.Y.Tick.Marker = RoundTicks{}, RoundTicks{}
	var c Chart
	for _, kind := range []struct {
		name          string
		q             Quantity
		shape         draw.GlyphDrawer
		water, engine bool
	}{
		{"panels and bank", Panels, draw.CircleGlyph{}, false, false},
		{"with hydro", Hydro, draw.SquareGlyph{}, true, false},
		{"with a generator", Generator, draw.TriangleGlyph{}, false, true},
		{"hydro and generator", Creek, draw.BoxGlyph{}, true, true},
	} {
		marks := Points{Color: kind.q.Color(), Shape: kind.shape, Radius: 5}
		for _, w := range ways {
			if w.Water == kind.water && w.Engine == kind.engine {
				marks.X, marks.Y = append(marks.X, w.CostAYear), append(marks.Y, w.UnmetHours)
			}
		}
		if marks.X != nil {
			p.Add(marks)
			c.Key = append(c.Key, Key{kind.name, marks})
		}
	}
	p.Add(apart(ways, p.X.Max, p.Y.Max))
	c.Name, c.Title, c.Plot = "cost-of-light", "What each way costs, and how long it leaves the house dark", p
	c.Caption = "Each mark is a way to live, run over all years. Further down is more light, further left is less money: of two ways, the one nearer the lower left corner is better in both."
	var say []string
	for _, w := range ways {
		say = append(say, fmt.Sprintf("%s: %s %s a year, %s unmet hours", w.Name, grouped(w.CostAYear, 0), currency, grouped(w.UnmetHours, 0)))
	}
	c.Alt = strings.Join(say, "; ") + "."
	return c
}

// apart places the names beside their marks, lifted where they would lie over
// one another.
func apart(ways []WayPoint, width, height float64) Words {
	order := make([]int, len(ways))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case ways[a].UnmetHours < ways[b].UnmetHours:
			return -1
		case ways[a].UnmetHours > ways[b].UnmetHours:
			return 1
		}
		return 0
	})
	var w Words
	line := 0.068 * height
	for _, i := range order {
		x, y := ways[i].CostAYear, ways[i].UnmetHours
		for moved := true; moved; {
			moved = false
			for k := range w.X {
				if math.Abs(w.Y[k]-y) < line*0.99 && math.Abs(w.X[k]-x) < 0.42*width {
					y, moved = w.Y[k]+line, true
				}
			}
		}
		w.X, w.Y, w.Text = append(w.X, x), append(w.Y, y), append(w.Text, ways[i].Name)
	}
	return w
}

// DarkMonth is the energy of each way in the month with least sun, in kWh.
type DarkMonth struct {
	Month                             string
	Ways                              []string
	PanelsKWh, HydroKWh, GeneratorKWh []float64
	DemandKWh, UnmetKWh               []float64
}

// EnergyOfDarkMonth draws a level bar for each way: what its sources give in
// the month with least sun, and what is unmet.
func EnergyOfDarkMonth(v DarkMonth) Chart {
	n := len(v.Ways)
	p := New("kWh in a mean "+v.Month, "")
	names := make(Names, n)
	for i, w := range v.Ways {
		names[n-1-i] = w
	}
	p.Y.Tick.Marker = names
	p.Y.Tick.Length = 0
	p.X.Min, p.Y.Min, p.Y.Max = 0, -0.6, float64(n)-0.4
	p.X.Tick.Marker = RoundTicks{Most: 5}
	c := Chart{Name: "dark-month", Title: fmt.Sprintf("Where the energy comes from in %s", v.Month), Plot: p, Height: 90 + 28*vg.Length(n)}
	level := make([]float64, n)
	right := 0.0
	for _, s := range []struct {
		name string
		kWh  []float64
		q    Quantity
	}{{"creek", v.HydroKWh, Hydro}, {"panels", v.PanelsKWh, Panels}, {"generator", v.GeneratorKWh, Generator}} {
		if sum(s.kWh) == 0 {
			continue
		}
		var boxes []Box
		for i, kWh := range s.kWh {
			row := float64(n - 1 - i)
			boxes = append(boxes, Box{level[i], level[i] + kWh, row - 0.32, row + 0.06})
			level[i] += kWh
			right = max(right, level[i])
		}
		bars := NewBars(s.q, boxes)
		p.Add(bars)
		c.Key = append(c.Key, Key{s.name, bars})
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
	c.Key = append(c.Key, Key{"asked for, served", got}, Key{"unmet", missed})
	p.X.Max = 1.05 * max(right, 1)
	c.Caption = "Lower bar: what the sources can give in the month with least sun, mean of the years. Upper bar: what the house asks for, and the part that it does not get. Sources can be longer than the demand and still leave nights dark."
	var say []string
	for i, w := range v.Ways {
		say = append(say, fmt.Sprintf("%s: %s kWh, %s kWh unmet", w, grouped(level[i], 0), grouped(v.UnmetKWh[i], 0)))
	}
	c.Alt = strings.Join(say, "; ") + "."
	return c
}

// Turn is how far a price would have to move to turn the verdict.
type Turn struct {
	Name   string
	Factor float64 // times the price given
}

// TurningPoints draws a bar from each price as it was given to where it would
// turn the verdict. The scale is one of ratios: half and double lie equally far.
func TurningPoints(turns []Turn) Chart {
	n := len(turns)
	p := New("times the price given", "")
	names := make(Names, n)
	var boxes []Box
	var w Words
	const least, most = 0.1, 10
	for i, t := range turns {
		row := n - 1 - i
		names[row] = t.Name
		f := min(max(t.Factor, least), most)
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
	p.X.Min, p.X.Max = min(p.X.Min, -1.2), max(p.X.Max+0.8, 1.8)
	p.X.Tick.Marker = ratioTicks{}
	c := Chart{Name: "turning-points", Title: "Which price would turn the verdict", Plot: p, Height: 90 + 24*vg.Length(n),
		Key:     []Key{{"to where it turns", bars}, {"within 20 %", near}},
		Caption: "Each price alone, all others as given. A short bar is a price worth asking for again; one that stays within the grey band turns the verdict with a change of a fifth."}
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
