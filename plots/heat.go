package plots

import (
	"image"
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Heat is a grid of coloured cells, drawn as one small picture rather than as
// thousands of rectangles: a year by hours is some 10 KB of an SVG.
type Heat struct {
	Columns, Rows  int
	Color          func(column, row int) color.NRGBA // row 0 is the lowest
	X0, X1, Y0, Y1 float64                           // what the grid covers on the axes
}

// Plot draws the grid.
func (h Heat) Plot(c draw.Canvas, p *plot.Plot) {
	if h.Columns == 0 || h.Rows == 0 {
		return
	}
	tx, ty := p.Transforms(&c)
	c.DrawImage(vg.Rectangle{
		Min: vg.Point{X: tx(h.X0), Y: ty(h.Y0)},
		Max: vg.Point{X: tx(h.X1), Y: ty(h.Y1)},
	}, h.image())
}

// image paints the cells. A picture with few columns or rows is enlarged, since
// not every reader of PDF keeps the edges of cells sharp.
func (h Heat) image() image.Image {
	const enough = 360
	sx, sy := max(1, enough/h.Columns), max(1, enough/2/h.Rows)
	colors := color.Palette{}
	index := map[color.NRGBA]uint8{}
	img := image.NewPaletted(image.Rect(0, 0, h.Columns*sx, h.Rows*sy), nil)
	for col := range h.Columns {
		for row := range h.Rows {
			paint := h.Color(col, row)
			n, ok := index[paint]
			if !ok {
				if len(colors) == 256 {
					n = uint8(colors.Index(paint))
				} else {
					n = uint8(len(colors))
					colors = append(colors, paint)
				}
				index[paint] = n
			}
			for y := range sy {
				at := img.PixOffset(col*sx, (h.Rows-1-row)*sy+y)
				for x := range sx {
					img.Pix[at+x] = n
				}
			}
		}
	}
	img.Palette = colors
	return img
}

// DataRange returns what the grid covers.
func (h Heat) DataRange() (xmin, xmax, ymin, ymax float64) { return h.X0, h.X1, h.Y0, h.Y1 }

// Swatch is a legend's mark of plain colours side by side, one or more.
type Swatch []color.NRGBA

// Thumbnail draws the colours.
func (s Swatch) Thumbnail(c *draw.Canvas) {
	w := (c.Max.X - c.Min.X) / vg.Length(len(s))
	for i, paint := range s {
		r := c.Rectangle
		r.Min.X = c.Min.X + w*vg.Length(i)
		r.Max.X = r.Min.X + w
		c.SetColor(paint)
		c.Fill(r.Path())
	}
	c.SetLineStyle(draw.LineStyle{Color: grey, Width: 0.5})
	c.Stroke(c.Rectangle.Path())
}
