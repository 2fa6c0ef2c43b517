package plots

import (
	"fmt"
	"html"
	"image/png"
	"io"
	"os"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
)

// Chart is a picture with the words that belong to it.
type Chart struct {
	Name    string        // of the file, without its ending
	Title   string        // what is seen
	Caption string        // how to read it and what to do with it
	Alt     string        // what it shows, for those who cannot see it
	Legend  []LegendEntry // what the marks mean, written above the data

	Plot *plot.Plot
	Draw func(draw.Canvas) // draws in place of Plot; see [Stack]

	// Numbers are what is drawn, where no other file has it.
	Numbers []Column

	Width, Height vg.Length // of the drawing without title and caption; 0: the usual
}

// LegendEntry explains one mark.
type LegendEntry struct {
	Label string
	Mark  plot.Thumbnailer
}

// Formats are the kinds of file that [Chart.Save] writes.
var Formats = []string{"svg", "png", "pdf"}

// pngDPI is high enough for print and small enough to draw in a tenth of a second.
const pngDPI = 160

func (c Chart) size() (w, h vg.Length) {
	w, h = c.Width, c.Height
	if w == 0 {
		w = Width
	}
	if h == 0 {
		h = Height
	}
	return w, h
}

// Save writes the chart with its title and caption to a file.
func (c Chart) Save(path, format string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	err = c.WriteTo(f, format)
	if e := f.Close(); err == nil {
		err = e
	}
	return err
}

// WriteTo writes the chart with its title and caption as svg, png or pdf.
func (c Chart) WriteTo(w io.Writer, format string) (err error) {
	defer c.recovered(&err)
	const margin = 10
	width, height := c.size()
	inner := width - 2*margin
	title := wrap(boldLetters(titleSize), c.Title, inner)
	caption := wrap(letters(captionSize), c.Caption, inner)
	titleH := linesHeight(titleSize, title) + 6
	captionH := vg.Length(0)
	if c.Caption != "" {
		captionH = linesHeight(captionSize, caption) + 8
	}
	full := height + titleH + captionH + 2*margin

	var to vg.CanvasWriterTo
	switch format {
	case "svg":
		to = newSVG(width, full)
	case "png":
		to = pngCanvas{vgimg.NewWith(vgimg.UseWH(width, full), vgimg.UseDPI(pngDPI))}
	case "pdf":
		to = pdfCanvas{vgpdf.New(width, full)}
	default:
		return fmt.Errorf("%q is no format for charts; %s are", format, strings.Join(Formats, ", "))
	}
	dc := draw.New(to)
	dc.SetColor(white)
	dc.Fill(dc.Rectangle.Path())
	writeLines(dc, boldLetters(titleSize), full-margin, margin, title)
	writeLines(dc, letters(captionSize), margin+captionH-8, margin, caption)
	c.body(draw.Crop(dc, margin, -margin, margin+captionH, -(margin + titleH)))
	_, err = to.WriteTo(w)
	return err
}

// pngCanvas packs its picture fast rather than tight: two fifths less time for a
// twentieth more bytes.
type pngCanvas struct{ *vgimg.Canvas }

func (c pngCanvas) WriteTo(w io.Writer) (int64, error) {
	to := &counter{to: w}
	err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(to, c.Image())
	return to.n, err
}

type counter struct {
	to io.Writer
	n  int64
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.to.Write(p)
	c.n += int64(n)
	return n, err
}

// SVG returns the chart without title and caption as an svg element to stand
// inside a page, which writes those itself. It names the picture by c.Alt.
func (c Chart) SVG() (svg []byte, err error) {
	defer c.recovered(&err)
	w, h := c.size()
	to := newSVG(w, h)
	c.body(draw.New(to))
	return to.markup(` role="img" aria-label="` + html.EscapeString(c.Alt) + `"`), nil
}

// recovered turns a panic of the plot library (a NaN, a log axis that touches
// 0) into an error that names the chart.
func (c Chart) recovered(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("draw chart %s: %v", c.Name, r)
	}
}

// body draws legend and plot into the canvas.
func (c Chart) body(dc draw.Canvas) {
	used := drawLegend(dc, c.Legend)
	dc = draw.Crop(dc, 1, -4, 1, -(used + 5))
	if c.Draw != nil {
		c.Draw(dc)
	} else if c.Plot != nil {
		c.Plot.Draw(dc)
	}
}

// drawLegend writes the entries in rows from the top left and returns the height
// that they take.
func drawLegend(dc draw.Canvas, legend []LegendEntry) vg.Length {
	if len(legend) == 0 {
		return 0
	}
	const markW, markH, gap, between = 22, 10, 5, 14
	sty := letters(tickSize)
	sty.YAlign = draw.YCenter
	rowH := vg.Length(17)
	x, y := dc.Min.X+2, dc.Max.Y-rowH/2
	for _, k := range legend {
		k.Label = cut(sty, k.Label, dc.Max.X-dc.Min.X-4-markW-gap)
		w := markW + gap + sty.Width(k.Label)
		if x > dc.Min.X+2 && x+w > dc.Max.X {
			x, y = dc.Min.X+2, y-rowH
		}
		mark := draw.Canvas{Canvas: dc.Canvas, Rectangle: vg.Rectangle{
			Min: vg.Point{X: x, Y: y - markH/2}, Max: vg.Point{X: x + markW, Y: y + markH/2}}}
		if k.Mark != nil {
			k.Mark.Thumbnail(&mark)
		}
		dc.FillText(sty, vg.Point{X: x + markW + gap, Y: y + 1}, k.Label)
		x += w + between
	}
	return dc.Max.Y - y + rowH/2
}

// wrap breaks a text into lines no wider than width.
func wrap(sty text.Style, s string, width vg.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if line != "" && sty.Width(longer) > width {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

const lineSpacing = 1.25

func linesHeight(size vg.Length, lines []string) vg.Length {
	return size * lineSpacing * vg.Length(len(lines))
}

// writeLines writes lines downward from the given top.
func writeLines(dc draw.Canvas, sty text.Style, top, left vg.Length, lines []string) {
	for i, s := range lines {
		base := top - sty.FontExtents().Ascent - sty.Font.Size*lineSpacing*vg.Length(i)
		sty.YAlign = draw.YBottom
		dc.FillText(sty, vg.Point{X: left, Y: base}, s)
	}
}

// Stack returns a drawing of plots one below the other whose data areas stand
// in line, with the heights in the given proportion.
func Stack(fractions []float64, ps ...*plot.Plot) func(draw.Canvas) {
	return func(dc draw.Canvas) {
		total := 0.0
		for _, s := range fractions {
			total += s
		}
		const gap = 8
		room := dc.Max.Y - dc.Min.Y - gap*vg.Length(len(ps)-1)
		parts := make([]draw.Canvas, len(ps))
		var left, right vg.Length
		top := dc.Max.Y
		for i, p := range ps {
			h := room * vg.Length(fractions[i]/total)
			parts[i] = draw.Canvas{Canvas: dc.Canvas, Rectangle: vg.Rectangle{
				Min: vg.Point{X: dc.Min.X, Y: top - h}, Max: vg.Point{X: dc.Max.X, Y: top}}}
			top -= h + gap
			data := p.DataCanvas(parts[i])
			left = max(left, data.Min.X-dc.Min.X)
			right = max(right, dc.Max.X-data.Max.X)
		}
		for i, p := range ps {
			data := p.DataCanvas(parts[i])
			p.Draw(draw.Crop(parts[i], left-(data.Min.X-dc.Min.X), -(right - (dc.Max.X - data.Max.X)), 0, 0))
		}
	}
}
