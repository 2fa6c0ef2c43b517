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

// Thumbnail draws the line's mark in a legend.
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

// Thumbnail draws the band's mark in a legend.
func (b Band) Thumbnail(c *draw.Canvas) {
	c.SetColor(b.Color)
	c.Fill(c.Rectangle.Path())
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

// Thumbnail draws the rule's mark in a legend.
func (r Rule) Thumbnail(c *draw.Canvas) { thumbLine(c, r.Style) }

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
