package plots

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

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

// boxesAFill is how many boxes are filled in one path. The time that a PNG takes
// grows with the square of the boxes in a path: 5 s for a year of spells in one.
const boxesAFill = 40

// Plot draws the boxes, and the hatch over them.
func (b Bars) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	var path vg.Path
	var rects []vg.Rectangle
	from, last := 0, 0 // where in the path the next fill and the last box begin
	fill := func() {
		if b.Color != nil {
			c.SetColor(b.Color)
			c.Fill(path[from:])
		}
		from = last // again, so that no seam shows between boxes that touch
	}
	for _, r := range b.Boxes {
		q := vg.Rectangle{
			Min: vg.Point{X: max(tx(min(r.X0, r.X1)), c.Min.X), Y: max(ty(min(r.Y0, r.Y1)), c.Min.Y)},
			Max: vg.Point{X: min(tx(max(r.X0, r.X1)), c.Max.X), Y: min(ty(max(r.Y0, r.Y1)), c.Max.Y)},
		}
		if !(q.Max.X > q.Min.X && q.Max.Y > q.Min.Y) {
			continue
		}
		if n := len(rects); n > 0 && n%boxesAFill == 0 {
			fill()
		}
		last = len(path)
		path = append(path, q.Path()...)
		rects = append(rects, q)
	}
	if len(path) == 0 {
		return
	}
	fill()
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

// Thumbnail draws the bars' mark in a legend.
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
