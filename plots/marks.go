package plots

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Line joins points. A NaN leaves a gap.
type Line struct {
	X, Y  []float64 // X nil: 0.5, 1.5, 2.5 … (the middles of days)
	Style draw.LineStyle
	Steps bool // each value holds for 1 around its x
}

// strokePoints is how many points go into one stroke: a raster canvas takes ten
// times longer over one path of 8,760 points than over pieces of 200.
const strokePoints = 200

func (l Line) x(i int) float64 {
	if l.X == nil {
		return float64(i) + 0.5
	}
	return l.X[i]
}

// Plot draws the line.
func (l Line) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	var pts []vg.Point
	flush := func(keepLast bool) {
		if len(pts) > 1 {
			c.StrokeLines(l.Style, c.ClipLinesXY(pts)...)
		}
		if keepLast && len(pts) > 0 {
			pts = append(pts[:0], pts[len(pts)-1])
		} else {
			pts = pts[:0]
		}
	}
	for i, v := range l.Y {
		if math.IsNaN(v) {
			flush(false)
			continue
		}
		if l.Steps {
			pts = append(pts, vg.Point{X: tx(l.x(i) - 0.5), Y: ty(v)}, vg.Point{X: tx(l.x(i) + 0.5), Y: ty(v)})
		} else {
			pts = append(pts, vg.Point{X: tx(l.x(i)), Y: ty(v)})
		}
		if len(pts) >= strokePoints && len(l.Style.Dashes) == 0 {
			flush(true)
		}
	}
	flush(false)
}

// DataRange returns the extent of the points.
func (l Line) DataRange() (xmin, xmax, ymin, ymax float64) {
	xmin, xmax, ymin, ymax = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i, v := range l.Y {
		if !math.IsNaN(v) {
			xmin, xmax = min(xmin, l.x(i)), max(xmax, l.x(i))
			ymin, ymax = min(ymin, v), max(ymax, v)
		}
	}
	return
}

// Thumbnail draws the line's mark in a key.
func (l Line) Thumbnail(c *draw.Canvas) { thumbLine(c, l.Style) }

func thumbLine(c *draw.Canvas, s draw.LineStyle) {
	y := c.Center().Y
	c.StrokeLine2(s, c.Min.X, y, c.Max.X, y)
}

// Band fills between a low and a high line.
type Band struct {
	X         []float64 // nil: 0.5, 1.5, 2.5 …
	Low, High []float64
	Color     color.Color
	Steps     bool
}

// Plot draws the band.
func (b Band) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	n := len(b.Low)
	if n == 0 {
		return
	}
	x := Line{X: b.X}.x
	var pts []vg.Point
	add := func(i int, v float64, forward bool) {
		if !b.Steps {
			pts = append(pts, vg.Point{X: tx(x(i)), Y: ty(v)})
			return
		}
		l, r := vg.Point{X: tx(x(i) - 0.5), Y: ty(v)}, vg.Point{X: tx(x(i) + 0.5), Y: ty(v)}
		if !forward {
			l, r = r, l
		}
		pts = append(pts, l, r)
	}
	for i := range n {
		add(i, b.High[i], true)
	}
	for i := n - 1; i >= 0; i-- {
		add(i, b.Low[i], false)
	}
	c.FillPolygon(b.Color, c.ClipPolygonXY(pts))
}

// DataRange returns the extent of the band.
func (b Band) DataRange() (xmin, xmax, ymin, ymax float64) {
	xmin, xmax, ymin, _ = Line{X: b.X, Y: b.Low}.DataRange()
	_, _, _, ymax = Line{X: b.X, Y: b.High}.DataRange()
	return
}

// Thumbnail draws the band's mark in a key.
func (b Band) Thumbnail(c *draw.Canvas) {
	c.SetColor(b.Color)
	c.Fill(c.Rectangle.Path())
}

// Bars are rectangles in the data's own units.
type Bars struct {
	Boxes   []Box
	Color   color.Color
	Hatch   Hatch
	Outline draw.LineStyle // width 0: none
}

// Box is one rectangle.
type Box struct{ X0, X1, Y0, Y1 float64 }

// NewBars returns boxes in the colour and hatch of a quantity.
func NewBars(q Quantity, boxes []Box) Bars {
	return Bars{Boxes: boxes, Color: q.Color(), Hatch: q.Hatch()}
}

// Plot draws the boxes, all in one path, and the hatch over them.
func (b Bars) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	var path vg.Path
	var rects []vg.Rectangle
	for _, r := range b.Boxes {
		q := vg.Rectangle{
			Min: vg.Point{X: max(tx(min(r.X0, r.X1)), c.Min.X), Y: max(ty(min(r.Y0, r.Y1)), c.Min.Y)},
			Max: vg.Point{X: min(tx(max(r.X0, r.X1)), c.Max.X), Y: min(ty(max(r.Y0, r.Y1)), c.Max.Y)},
		}
		if !(q.Max.X > q.Min.X && q.Max.Y > q.Min.Y) {
			continue
		}
		path = append(path, q.Path()...)
		rects = append(rects, q)
	}
	if len(path) == 0 {
		return
	}
	if b.Color != nil {
		c.SetColor(b.Color)
		c.Fill(path)
	}
	hatchRects(c, rects, b.Hatch)
	if b.Outline.Width > 0 {
		c.SetLineStyle(b.Outline)
		c.Stroke(path)
	}
}

// DataRange returns the extent of the boxes.
func (b Bars) DataRange() (xmin, xmax, ymin, ymax float64) {
	xmin, xmax, ymin, ymax = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, r := range b.Boxes {
		xmin, xmax = min(xmin, r.X0, r.X1), max(xmax, r.X0, r.X1)
		ymin, ymax = min(ymin, r.Y0, r.Y1), max(ymax, r.Y0, r.Y1)
	}
	return
}

// Thumbnail draws the bars' mark in a key.
func (b Bars) Thumbnail(c *draw.Canvas) {
	if b.Color != nil {
		c.SetColor(b.Color)
		c.Fill(c.Rectangle.Path())
	}
	hatchRects(*c, []vg.Rectangle{c.Rectangle}, b.Hatch)
	if b.Outline.Width > 0 {
		c.SetLineStyle(b.Outline)
		c.Stroke(c.Rectangle.Path())
	}
}

// hatchRects draws a hatch inside rectangles, in one path. Its lines go on from
// one rectangle to the next.
func hatchRects(c draw.Canvas, rects []vg.Rectangle, h Hatch) {
	if h == NoHatch {
		return
	}
	step := vg.Length(5)
	if h == WideSlant {
		step = 8
	}
	var path vg.Path
	stroke := func(a, b vg.Point) { path.Move(a); path.Line(b) }
	for _, r := range rects {
		if h == Rising || h == Crossed || h == WideSlant {
			slants(r, step, false, stroke)
		}
		if h == Falling || h == Crossed {
			slants(r, step, true, stroke)
		}
		if h == Level {
			for y := step * vg.Length(math.Ceil(float64(r.Min.Y/step))); y < r.Max.Y; y += step {
				stroke(vg.Point{X: r.Min.X, Y: y}, vg.Point{X: r.Max.X, Y: y})
			}
		}
		if h == Upright {
			for x := step * vg.Length(math.Ceil(float64(r.Min.X/step))); x < r.Max.X; x += step {
				stroke(vg.Point{X: x, Y: r.Min.Y}, vg.Point{X: x, Y: r.Max.Y})
			}
		}
	}
	if len(path) == 0 {
		return
	}
	c.SetLineStyle(draw.LineStyle{Color: white, Width: 0.9})
	c.Stroke(path)
}

// slants draws the lines y = ±x + k·step that cross the rectangle.
func slants(r vg.Rectangle, step vg.Length, falling bool, stroke func(a, b vg.Point)) {
	sign := vg.Length(1)
	if falling {
		sign = -1
	}
	lo := min(r.Min.Y-sign*r.Min.X, r.Min.Y-sign*r.Max.X)
	hi := max(r.Max.Y-sign*r.Min.X, r.Max.Y-sign*r.Max.X)
	for k := step * vg.Length(math.Ceil(float64(lo/step))); k < hi; k += step {
		// Where y = sign·x + k enters and leaves.
		x0, x1 := (r.Min.Y-k)*sign, (r.Max.Y-k)*sign
		if x0 > x1 {
			x0, x1 = x1, x0
		}
		x0, x1 = max(x0, r.Min.X), min(x1, r.Max.X)
		if x1 > x0 {
			stroke(vg.Point{X: x0, Y: sign*x0 + k}, vg.Point{X: x1, Y: sign*x1 + k})
		}
	}
}

// Rule is a straight line across the whole plot: at height Y, or at X if Upright.
type Rule struct {
	At      float64
	Upright bool
	Style   draw.LineStyle
}

// Plot draws the rule, if it lies inside the plot.
func (r Rule) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	if r.Upright {
		if x := tx(r.At); c.ContainsX(x) {
			c.StrokeLine2(r.Style, x, c.Min.Y, x, c.Max.Y)
		}
	} else if y := ty(r.At); c.ContainsY(y) {
		c.StrokeLine2(r.Style, c.Min.X, y, c.Max.X, y)
	}
}

// Thumbnail draws the rule's mark in a key.
func (r Rule) Thumbnail(c *draw.Canvas) { thumbLine(c, r.Style) }

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

// Thumbnail draws one mark in a key.
func (s Points) Thumbnail(c *draw.Canvas) { c.DrawGlyphNoClip(s.glyph(), c.Center()) }

// Words are short texts at data points. They start right of the point, or sit
// over it if Centred, and are moved back inside the plot where they would
// stand out of it.
type Words struct {
	X, Y    []float64
	Text    []string
	Centred bool
	OnPoint bool // centred on the point itself, not over it
	Backed  bool // a white ground under the letters
}

// Plot writes the words.
func (w Words) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	sty := Letters()
	for i, s := range w.Text {
		wide, high := sty.Width(s), sty.Height(s)
		at := vg.Point{X: tx(w.X[i]) + 5, Y: ty(w.Y[i]) - high/2}
		if w.Centred {
			at = vg.Point{X: tx(w.X[i]) - wide/2, Y: ty(w.Y[i]) + 3}
		}
		if w.OnPoint {
			at = vg.Point{X: tx(w.X[i]) - wide/2, Y: ty(w.Y[i]) - high/2}
		}
		at.X = max(min(at.X, c.Max.X-wide-1), c.Min.X+1)
		at.Y = max(min(at.Y, c.Max.Y-high), c.Min.Y+1)
		if w.Backed {
			c.SetColor(white)
			c.Fill(vg.Rectangle{Min: at.Add(vg.Point{X: -2}), Max: at.Add(vg.Point{X: wide + 2, Y: high})}.Path())
		}
		low := sty
		low.YAlign = draw.YBottom
		c.FillText(low, vg.Point{X: at.X, Y: at.Y + sty.FontExtents().Descent}, s)
	}
}

// DailyBand returns the lowest, mean and highest value of each day of an hourly
// series. Hours that do not fill a day are left out.
func DailyBand(hourly []float64) (low, mean, high []float64) {
	days := len(hourly) / 24
	low, mean, high = make([]float64, days), make([]float64, days), make([]float64, days)
	for d := range days {
		l, h, sum := math.Inf(1), math.Inf(-1), 0.0
		for _, v := range hourly[24*d : 24*d+24] {
			l, h, sum = min(l, v), max(h, v), sum+v
		}
		low[d], mean[d], high[d] = l, sum/24, h
	}
	return low, mean, high
}
