package plots

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// spreadMarks draws spreads that lie along x, each at its height: a bar from
// the median to 1 year in 5 with a mark at both ends, a line on to the worst
// year and a tick at 1 in 20.
type spreadMarks struct {
	of    Quantity
	shape draw.GlyphDrawer
	y     []float64
	s     []Spread
}

func (m *spreadMarks) add(y float64, s Spread) { m.y, m.s = append(m.y, y), append(m.s, s) }

// Plot draws the spreads.
func (m spreadMarks) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	for i, s := range m.s {
		y := ty(m.y[i])
		c.StrokeLine2(m.of.Solid(Fine), tx(s.P80), y, tx(s.Worst), y)
		c.StrokeLine2(m.of.Solid(5), tx(s.P50), y, tx(s.P80), y)
		c.StrokeLine2(m.of.Solid(Medium), tx(s.P95), y-4, tx(s.P95), y+4)
		c.StrokeLine2(m.of.Solid(Medium), tx(s.Worst), y-2, tx(s.Worst), y+2)
		m.mark(c, vg.Point{X: tx(s.P50), Y: y})
		m.mark(c, vg.Point{X: tx(s.P80), Y: y})
	}
}

func (m spreadMarks) mark(c draw.Canvas, at vg.Point) {
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: m.of.Color(), Radius: 3.4, Shape: m.shape}, at)
}

// DataRange returns the extent of the spreads.
func (m spreadMarks) DataRange() (xmin, xmax, ymin, ymax float64) {
	xmin, xmax, ymin, ymax = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i, s := range m.s {
		xmin, xmax = min(xmin, s.P50), max(xmax, s.Worst)
		ymin, ymax = min(ymin, m.y[i]), max(ymax, m.y[i])
	}
	return
}

// Thumbnail draws a spread in a legend.
func (m spreadMarks) Thumbnail(c *draw.Canvas) {
	y := c.Center().Y
	c.StrokeLine2(m.of.Solid(5), c.Min.X, y, c.Min.X+12, y)
	c.StrokeLine2(m.of.Solid(Fine), c.Min.X+12, y, c.Max.X, y)
	m.mark(*c, vg.Point{X: c.Min.X, Y: y})
	m.mark(*c, vg.Point{X: c.Min.X + 12, Y: y})
}
