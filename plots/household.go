package plots

import (
	"fmt"
	"image/color"
	"math"
	"sort"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Household is the mean power of each use by season and hour of the day.
type Household struct {
	Uses    []string
	Seasons []string
	MeanW   [][][24]float64 // [season][use]
}

// shownUses is how many uses get a shade of their own; the rest go together.
const shownUses = 4

// DayBySeason draws the average day, its uses on top of each other, the largest
// lowest: one picture for all seasons that are alike.
func DayBySeason(v Household) Chart {
	all := v
	v = v.alike()
	order := make([]int, len(v.Uses))
	total := make([]float64, len(v.Uses))
	for u := range v.Uses {
		order[u] = u
		for s := range v.Seasons {
			total[u] += sum(v.MeanW[s][u][:])
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return total[order[i]] > total[order[j]] })

	ps := make([]*plot.Plot, len(v.Seasons))
	top := 0.0
	var legend []LegendEntry
	peak := make([]float64, len(v.Seasons))
	for s := range v.Seasons {
		p := New("", "")
		level := make([]float64, 24)
		for i := 0; i < len(order); {
			next := i + 1
			if i >= shownUses && len(order) > shownUses+1 {
				next = len(order)
			}
			var boxes []Box
			for h := range 24 {
				w := 0.0
				for _, u := range order[i:next] {
					w += v.MeanW[s][u][h]
				}
				boxes = append(boxes, Box{float64(h), float64(h + 1), level[h], level[h] + w})
				level[h] += w
			}
			bars := Bars{Boxes: boxes, Color: useShade(i), Hatch: useHatch(i)}
			p.Add(bars)
			if s == 0 {
				name := v.Uses[order[i]]
				if next-i > 1 {
					name = fmt.Sprintf("%d other uses", next-i)
				}
				legend = append(legend, LegendEntry{name, bars})
			}
			i = next
		}
		peak[s] = largest(level)
		top = max(top, peak[s])
		ps[s] = p
	}
	columns, height := 1, 60+200*vg.Length(len(ps))
	if len(ps) > 2 {
		columns, height = 2, 380
	}
	for s, p := range ps {
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 24, 0, top*1.22+1e-9
		p.X.Tick.Marker = HourTicks{Bare: true}
		p.Y.Tick.Marker = RoundTicks{Most: 5}
		p.Add(Labels{X: []float64{0.4}, Y: []float64{top * 1.13}, Text: []string{v.Seasons[s]}, Backed: true})
		if s%columns == 0 {
			p.Y.Label.Text = "W"
		}
		if s >= len(ps)-columns {
			p.X.Label.Text = "hour of the day"
		}
	}
	c := Chart{
		Name:    "day-by-season",
		Title:   "An average day of the house",
		Legend:  legend,
		Draw:    Tiles(columns, ps...),
		Numbers: all.numbers(),
		Height:  height,
		Caption: "Every hour's mean, days with and without the use counted together: an iron of 1000 W used for " +
			"half an hour twice a week shows as a few watts.",
	}
	if len(v.Seasons) < len(all.Seasons) {
		c.Caption += " Seasons that differ by less than a tenth are drawn as one."
	}
	for s := range v.Seasons {
		if s > 0 {
			c.Alt += "; "
		}
		c.Alt += fmt.Sprintf("%s: highest hour %s W", v.Seasons[s], grouped(peak[s], 0))
	}
	c.Alt = "Stacked bars by hour of the day. " + c.Alt + "."
	return c
}

// alikeFraction is by how much of their energy, hour by hour, two seasons may differ
// and still be drawn as one.
const alikeFraction = 0.1

// alike returns the household with seasons that are alike taken together, as
// their mean.
func (v Household) alike() Household {
	out := Household{Uses: v.Uses}
	var groups [][]int
next:
	for s := range v.Seasons {
		for g, first := range groups {
			if v.differ(first[0], s) <= alikeFraction {
				groups[g] = append(groups[g], s)
				continue next
			}
		}
		groups = append(groups, []int{s})
	}
	for _, g := range groups {
		name := v.Seasons[g[0]]
		for _, s := range g[1:] {
			name += "; " + v.Seasons[s]
		}
		if len(g) > 1 && len(g) == len(v.Seasons) {
			name = "all year"
		}
		mean := make([][24]float64, len(v.Uses))
		for _, s := range g {
			for u := range v.Uses {
				for h := range 24 {
					mean[u][h] += v.MeanW[s][u][h] / float64(len(g))
				}
			}
		}
		out.Seasons, out.MeanW = append(out.Seasons, name), append(out.MeanW, mean)
	}
	return out
}

// differ returns by how much two seasons differ, hour by hour and use by use, as
// a share of the greater one's energy.
func (v Household) differ(a, b int) float64 {
	off, ofA, ofB := 0.0, 0.0, 0.0
	for u := range v.Uses {
		for h := range 24 {
			x, y := v.MeanW[a][u][h], v.MeanW[b][u][h]
			off, ofA, ofB = off+math.Abs(x-y), ofA+x, ofB+y
		}
	}
	if greater := max(ofA, ofB); greater > 0 {
		return off / greater
	}
	return 0
}

// useShade is a scale of greys: uses are parts of the demand, which is black.
// Only quantities have colours.
func useShade(i int) color.NRGBA {
	return mix(white, black, []float64{0.85, 0.6, 0.4, 0.25, 0.12}[min(i, 4)])
}

func useHatch(i int) Hatch { return []Hatch{NoHatch, Rising, NoHatch, Falling, NoHatch}[min(i, 4)] }

// Tiles returns a drawing of plots in rows of the given number of columns.
func Tiles(columns int, ps ...*plot.Plot) func(draw.Canvas) {
	return func(dc draw.Canvas) {
		rows := (len(ps) + columns - 1) / columns
		const gapX, gapY = 12, 8
		w := (dc.Max.X - dc.Min.X - gapX*vg.Length(columns-1)) / vg.Length(columns)
		h := (dc.Max.Y - dc.Min.Y - gapY*vg.Length(rows-1)) / vg.Length(rows)
		for i, p := range ps {
			left := dc.Min.X + vg.Length(i%columns)*(w+gapX)
			top := dc.Max.Y - vg.Length(i/columns)*(h+gapY)
			p.Draw(draw.Canvas{Canvas: dc.Canvas, Rectangle: vg.Rectangle{
				Min: vg.Point{X: left, Y: top - h}, Max: vg.Point{X: left + w, Y: top}}})
		}
	}
}

// Use is what one appliance or group takes in a year.
type Use struct {
	Name     string
	Wh       float64
	Flexible bool // takes only what is left over, up to Wh
}

// WhoUsesWhat draws the yearly energy of each use as a level bar, the largest
// on top; flexible uses stand above the others.
func WhoUsesWhat(uses []Use) Chart {
	us := append([]Use(nil), uses...)
	sort.SliceStable(us, func(i, j int) bool {
		if us[i].Flexible != us[j].Flexible {
			return us[i].Flexible // on top, apart from the rest
		}
		return us[i].Wh > us[j].Wh
	})
	const maximum = 12
	if len(us) > maximum {
		rest := Use{Name: fmt.Sprintf("%d more", len(us)-maximum+1), Flexible: us[maximum-1].Flexible}
		for _, u := range us[maximum-1:] {
			rest.Wh += u.Wh
		}
		us = append(us[:maximum-1], rest)
	}
	n := len(us)
	p := New("kWh a year", "")
	names := make(Names, n)
	var firm, flexible []Box
	var w Labels
	total, largest := 0.0, Use{}
	for i, u := range us {
		row := n - 1 - i
		names[row] = u.Name
		box := Box{0, u.Wh / 1000, float64(row) - 0.36, float64(row) + 0.36}
		if u.Flexible {
			flexible = append(flexible, box)
		} else {
			firm = append(firm, box)
		}
		w.X, w.Y, w.Text = append(w.X, u.Wh/1000), append(w.Y, float64(row)), append(w.Text, short(u.Wh/1000))
		if !u.Flexible {
			total += u.Wh
			if u.Wh > largest.Wh {
				largest = u
			}
		}
	}
	bars := Bars{Boxes: firm, Color: mix(white, black, 0.55)}
	spare := Bars{Boxes: flexible, Color: Surplus.Color(), Hatch: Surplus.Hatch(), Outline: Demand.Solid(Fine)}
	p.Add(bars, spare, w)
	p.X.Min, p.Y.Min, p.Y.Max = 0, -0.6, float64(n)-0.4
	p.X.Max *= 1.15
	p.Y.Tick.Marker = names
	p.Y.Tick.Length = 0
	c := Chart{
		Name:    "who-uses-what",
		Numbers: usesNumbers(uses),
		Title:   "Who uses what in a year",
		Plot:    p,
		Height:  80 + 22*vg.Length(n),
		Caption: "What each use takes at its own plug or wire. The longest bars are where a change of habit or of appliance saves most energy.",
	}
	if len(flexible) > 0 {
		c.Legend = []LegendEntry{{"asked for", bars}, {"most it could take of what is left over", spare}}
	}
	if total > 0 {
		c.Alt = fmt.Sprintf("Bars for %d uses. The house asks for %s kWh a year; the largest use is %s with %s kWh, %.0f %%.", len(uses),
			short(total/1000), largest.Name, short(largest.Wh/1000), 100*largest.Wh/total)
	}
	return c
}
