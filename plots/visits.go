package plots

import (
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"
)

// visitsFraction is the height of the panel of visits and sets beside that of the
// rain.
func (v Water) visitsFraction() float64 {
	if used := v.usedSets(); len(used) > 0 {
		return 0.5 + 0.3*float64(len(used))
	}
	return 0.5
}

// usedSets returns the sets that are fitted on some day, by rising flow.
func (v Water) usedSets() (used []int) {
	for set := range v.SetNames {
		if slices.Contains(v.NozzleSet, set) {
			used = append(used, set)
		}
	}
	return used
}

// visits returns the panel that shows which set of nozzles is fitted, a row
// each, and below them a mark for each walk.
func (v Water) visits(days int) (*plot.Plot, []LegendEntry) {
	p := New("", "nozzles, "+v.SetUnit)
	if len(v.SetNames) == 0 {
		p.Y.Label.Text = ""
	}
	YearAxis(p, v.Start, days)
	rows := v.usedSets()
	var fitted []Box
	for d := 0; d < len(v.NozzleSet); {
		to := d + 1
		for to < len(v.NozzleSet) && v.NozzleSet[to] == v.NozzleSet[d] {
			to++
		}
		if row := slices.Index(rows, v.NozzleSet[d]); row >= 0 {
			fitted = append(fitted, Box{float64(d), float64(to), float64(row) + 0.15, float64(row) + 0.85})
		}
		d = to
	}
	ticks := plot.ConstantTicks{{Value: -0.5, Label: "walks"}}
	for row, set := range rows {
		ticks = append(ticks, plot.Tick{Value: float64(row) + 0.5, Label: v.SetNames[set]})
	}
	p.Y.Tick.Marker = ticks
	p.Y.Min, p.Y.Max = -1, max(float64(len(rows)), 0.1)
	p.X.Min, p.X.Max = 0, float64(days)
	bars := Bars{Boxes: fitted, Color: Hydro.Color()}
	walks := Points{Color: Measured.Color(), Shape: draw.CircleGlyph{}, Radius: 1.8}
	for _, d := range v.VisitDay {
		walks.X, walks.Y = append(walks.X, float64(d)), append(walks.Y, -0.5)
	}
	p.Add(bars, walks)
	return p, []LegendEntry{{"walk up", walks}}
}
