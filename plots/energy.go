package plots

import (
	"fmt"
	"strings"
	"time"

	"gonum.org/v1/plot/vg/draw"
)

// Supply is what one source could give, a value for each bar.
type Supply struct {
	Name string
	What Quantity
	Wh   []float64
}

// MonthlyEnergy is a year's energy by calendar month, in the order of the year.
type MonthlyEnergy struct {
	Months            []time.Time // first day shown of each month
	From              string      // what the sources live on: "sun and creek"
	Supplies          []Supply    // from the lowest of the bar up
	DemandWh, UnmetWh []float64
	FlexibleWh        []float64 // what flexible uses got of what was left over; nil: there are none
	UnmetHours        []int
}

// EnergyByMonth draws two bars a month: what the sources could give, and what
// the house asked for, with the part that it did not get on top.
func EnergyByMonth(m MonthlyEnergy) Chart {
	n := len(m.Months)
	p := New("", "kWh in the month")
	names := make(Names, n)
	for i, t := range m.Months {
		names[i] = t.Format("Jan")
	}
	p.X.Tick.Marker = names
	noTicks(p)
	p.X.Min, p.X.Max = -0.5, float64(n)-0.5
	if n > 0 {
		p.X.Label.Text = "month, " + yearName(m.Months[0], 1+int(m.Months[n-1].Sub(m.Months[0]).Hours()/24))
	}
	p.Y.Min = 0

	// Left bar: sources on top of each other.
	level := make([]float64, n)
	stack := func(wh []float64, left, right float64) []Box {
		var boxes []Box
		for i, v := range wh {
			boxes = append(boxes, Box{float64(i) + left, float64(i) + right, level[i], level[i] + v/1000})
			level[i] += v / 1000
		}
		return boxes
	}
	c := Chart{
		Name:  "energy-by-month",
		Title: "Energy by month: what " + m.From + " could give, and what the house asked for",
		Plot:  p,
	}
	given := 0.0
	for _, s := range m.Supplies {
		given += sum(s.Wh)
		if sum(s.Wh) > 0 {
			bars := NewBars(s.What, stack(s.Wh, -0.4, 0))
			p.Add(bars)
			c.Legend = append(c.Legend, LegendEntry{s.Name, bars})
		}
	}

	// Right bar: what was asked for, in two parts.
	clear(level)
	served := make([]float64, n)
	for i := range served {
		served[i] = m.DemandWh[i] - m.UnmetWh[i]
	}
	got := Bars{Boxes: stack(served, 0.04, 0.4), Color: Served.Tint(0.6), Outline: Demand.Solid(Fine)}
	missed := Bars{Boxes: stack(m.UnmetWh, 0.04, 0.4), Color: Unmet.Color(), Hatch: Unmet.Hatch(), Outline: draw.LineStyle{Color: Unmet.Color(), Width: 1.2}}
	p.Add(got, missed)
	c.Legend = append(c.Legend, LegendEntry{"asked for, served", got}, LegendEntry{"unmet (hours above it)", missed})
	if sum(m.FlexibleWh) > 0 {
		spare := Bars{Boxes: stack(m.FlexibleWh, 0.04, 0.4), Color: Surplus.Color(), Hatch: Surplus.Hatch(), Outline: Demand.Solid(Fine)}
		p.Add(spare)
		c.Legend = append(c.Legend, LegendEntry{"flexible uses, of what was left over", spare})
	}
	p.Y.Max = max(p.Y.Max, largest(level)) * 1.04

	// Months with hours in the dark carry their number.
	var w Labels
	w.Centred, w.Backed = true, true
	var short []string
	for i, h := range m.UnmetHours {
		if h > 0 {
			w.X, w.Y = append(w.X, float64(i)+0.1), append(w.Y, max(level[i], m.tall(i)))
			w.Text = append(w.Text, fmt.Sprintf("%d", h))
			short = append(short, fmt.Sprintf("%s %d h", names[i], h))
		}
	}
	p.Add(w)
	c.Caption = "Left bar: what the sources could give. Right bar: what the house asked for, losses of the inverter included. " +
		"A tall left bar does not light every evening: the numbers above the bars count the hours in which something stayed dark."
	c.Alt = fmt.Sprintf("Bars for %d months. The sources could give %.0f kWh in all, the house asked for %.0f kWh, of which %.0f kWh were unmet",
		n, given/1000, sum(m.DemandWh)/1000, sum(m.UnmetWh)/1000)
	if len(short) > 0 {
		c.Alt += ": " + strings.Join(short, ", ")
	}
	c.Alt += "."
	if f := sum(m.FlexibleWh); f > 0 {
		c.Alt += fmt.Sprintf(" Flexible uses got %.0f kWh.", f/1000)
	}
	if len(short) == 0 {
		c.Caption = "Left bar: what the sources could give. Right bar: what the house asked for, losses of the inverter included. No hour stayed dark."
	}
	return c
}

// tall returns the height of the month's sources in kWh.
func (m MonthlyEnergy) tall(i int) float64 {
	v := 0.0
	for _, s := range m.Supplies {
		v += s.Wh[i]
	}
	return v / 1000
}

func sum(vs []float64) float64 {
	total := 0.0
	for _, v := range vs {
		total += v
	}
	return total
}
