package plots

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Points are marks at data points; NaN is left out.
type Points struct {
	X, Y   []float64 // X nil: 0.5, 1.5, 2.5 …
	Color  color.Color
	Shape  draw.GlyphDrawer // nil: a filled circle
	Radius vg.Length        // 0: 3
}

func (s Points) glyph() draw.GlyphStyle {
	g := draw.GlyphStyle{Color: s.Color, Radius: s.Radius, Shape: s.Shape}
	if g.Shape == nil {
		g.Shape = draw.CircleGlyph{}
	}
	if g.Radius == 0 {
		g.Radius = 3
	}
	return g
}

// Plot draws the marks that lie inside the plot.
func (s Points) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	x := Line{X: s.X}.x
	for i, v := range s.Y {
		if !math.IsNaN(v) {
			c.DrawGlyph(s.glyph(), vg.Point{X: tx(x(i)), Y: ty(v)})
		}
	}
}

// DataRange returns the extent of the points.
func (s Points) DataRange() (xmin, xmax, ymin, ymax float64) {
	return Line{X: s.X, Y: s.Y}.DataRange()
}

// Thumbnail draws one mark in a legend.
func (s Points) Thumbnail(c *draw.Canvas) { c.DrawGlyphNoClip(s.glyph(), c.Center()) }

// Labels are short texts at data points. They start right of the point, or sit
// over it if Centred, and are moved back inside the plot where they would
// stand out of it. A word that would run into an earlier one moves aside (up,
// if Centred), and is left out where there is no room.
type Labels struct {
	X, Y    []float64
	Text    []string
	Centred bool
	OnPoint bool // centred on the point itself, not over it
	Backed  bool // a white ground under the letters
}

// Plot writes the words.
func (w Labels) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	sty := Letters()
	var taken []vg.Rectangle
	for i, s := range w.Text {
		wide, high := sty.Width(s), sty.Height(s)
		at := vg.Point{X: tx(w.X[i]) + 5, Y: ty(w.Y[i]) - high/2}
		if w.Centred {
			at = vg.Point{X: tx(w.X[i]) - wide/2, Y: ty(w.Y[i]) + 3}
		}
		if w.OnPoint {
			at = vg.Point{X: tx(w.X[i]) - wide/2, Y: ty(w.Y[i]) - high/2}
		}
		at, ok := w.place(taken, c.Rectangle, at, wide, high)
		if !ok {
			continue
		}
		taken = append(taken, vg.Rectangle{Min: at, Max: at.Add(vg.Point{X: wide, Y: high})})
		if w.Backed {
			c.SetColor(white)
			c.Fill(vg.Rectangle{Min: at.Add(vg.Point{X: -2}), Max: at.Add(vg.Point{X: wide + 2, Y: high})}.Path())
		}
		low := sty
		low.YAlign = draw.YBottom
		c.FillText(low, vg.Point{X: at.X, Y: at.Y + sty.FontExtents().Descent}, s)
	}
}

// place finds room for a word of the given size whose lower left corner should
// stand at the given point.
func (w Labels) place(taken []vg.Rectangle, plot vg.Rectangle, at vg.Point, wide, high vg.Length) (vg.Point, bool) {
	inside := func(p vg.Point) vg.Point {
		return vg.Point{
			X: max(min(p.X, plot.Max.X-wide-1), plot.Min.X+1),
			Y: max(min(p.Y, plot.Max.Y-high), plot.Min.Y+1),
		}
	}
	const gap = 6
	tries := []vg.Point{inside(at)}
	for _, r := range taken {
		if w.Centred {
			tries = append(tries, inside(vg.Point{X: at.X, Y: r.Max.Y}))
		} else {
			tries = append(tries, inside(vg.Point{X: r.Max.X + gap, Y: at.Y}), inside(vg.Point{X: r.Min.X - wide - gap, Y: at.Y}))
		}
	}
	for _, p := range tries {
		free := true
		for _, r := range taken {
			free = free && (p.X >= r.Max.X || p.X+wide <= r.Min.X || p.Y >= r.Max.Y-1 || p.Y+high <= r.Min.Y+1)
		}
		if free {
			return p, true
		}
	}
	return at, false
}
