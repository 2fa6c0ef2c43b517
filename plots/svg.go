package plots

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// svgCanvas is a canvas that writes compact SVG: coordinates to a tenth of a
// point, no nested groups, and each word with its measured length, so that a
// reader without our font sees no label run into another.
type svgCanvas struct {
	w, h  vg.Length
	buf   bytes.Buffer
	state svgState
	stack []svgState
}

type svgState struct {
	a, b, c, d, e, f float64 // x' = a x + c y + e, y' = b x + d y + f
	color            color.Color
	width            vg.Length
	dashes           []vg.Length
	dashOffset       vg.Length
}

func newSVG(w, h vg.Length) *svgCanvas {
	s := &svgCanvas{w: w, h: h}
	s.state = svgState{a: 1, d: -1, f: float64(h)} // y grows downward in SVG
	vg.Initialize(s)
	return s
}

func (s *svgCanvas) Size() (w, h vg.Length)   { return s.w, s.h }
func (s *svgCanvas) SetLineWidth(w vg.Length) { s.state.width = w }
func (s *svgCanvas) SetColor(c color.Color)   { s.state.color = c }
func (s *svgCanvas) Push()                    { s.stack = append(s.stack, s.state) }
func (s *svgCanvas) Pop()                     { s.state, s.stack = s.stack[len(s.stack)-1], s.stack[:len(s.stack)-1] }
func (s *svgCanvas) Translate(p vg.Point)     { s.apply(1, 0, 0, 1, float64(p.X), float64(p.Y)) }
func (s *svgCanvas) Scale(x, y float64)       { s.apply(x, 0, 0, y, 0, 0) }
func (s *svgCanvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	s.apply(cos, sin, -sin, cos, 0, 0)
}
func (s *svgCanvas) SetLineDash(d []vg.Length, offset vg.Length) {
	s.state.dashes, s.state.dashOffset = d, offset
}

func (s *svgCanvas) apply(a, b, c, d, e, f float64) {
	o := s.state
	s.state.a, s.state.b = o.a*a+o.c*b, o.b*a+o.d*b
	s.state.c, s.state.d = o.a*c+o.c*d, o.b*c+o.d*d
	s.state.e, s.state.f = o.a*e+o.c*f+o.e, o.b*e+o.d*f+o.f
}

func (s *svgCanvas) at(p vg.Point) (x, y float64) {
	return s.state.a*float64(p.X) + s.state.c*float64(p.Y) + s.state.e,
		s.state.b*float64(p.X) + s.state.d*float64(p.Y) + s.state.f
}

func (s *svgCanvas) num(v float64) {
	v = math.Round(v*10) / 10
	if v == 0 {
		v = 0 // no "-0"
	}
	s.buf.Write(strconv.AppendFloat(s.buf.AvailableBuffer(), v, 'f', -1, 64))
}

func (s *svgCanvas) pair(p vg.Point) {
	x, y := s.at(p)
	s.num(x)
	s.buf.WriteByte(' ')
	s.num(y)
}

func (s *svgCanvas) Stroke(p vg.Path) {
	if s.state.width <= 0 {
		return
	}
	s.path(p)
	s.buf.WriteString(`" fill="none"`)
	s.paint("stroke")
	fmt.Fprintf(&s.buf, ` stroke-width="%.3g" stroke-linejoin="round"`, float64(s.state.width))
	if len(s.state.dashes) > 0 {
		s.buf.WriteString(` stroke-dasharray="`)
		for i, d := range s.state.dashes {
			if i > 0 {
				s.buf.WriteByte(' ')
			}
			s.num(float64(d))
		}
		s.buf.WriteString(`"`)
		if s.state.dashOffset != 0 {
			fmt.Fprintf(&s.buf, ` stroke-dashoffset="%.3g"`, float64(s.state.dashOffset))
		}
	}
	s.buf.WriteString("/>\n")
}

func (s *svgCanvas) Fill(p vg.Path) {
	s.path(p)
	s.buf.WriteByte('"')
	s.paint("fill")
	s.buf.WriteString("/>\n")
}

// paint writes the colour as the given attribute.
func (s *svgCanvas) paint(attribute string) {
	c := color.NRGBA{A: 0xFF}
	if s.state.color != nil {
		c = color.NRGBAModel.Convert(s.state.color).(color.NRGBA)
	}
	fmt.Fprintf(&s.buf, ` %s="#%02x%02x%02x"`, attribute, c.R, c.G, c.B)
	if c.A != 0xFF {
		fmt.Fprintf(&s.buf, ` %s-opacity="%.2g"`, attribute, float64(c.A)/0xFF)
	}
}

func (s *svgCanvas) path(p vg.Path) {
	s.buf.WriteString(`<path d="`)
	for _, c := range p {
		switch c.Type {
		case vg.MoveComp:
			s.buf.WriteByte('M')
			s.pair(c.Pos)
		case vg.LineComp:
			s.buf.WriteByte('L')
			s.pair(c.Pos)
		case vg.ArcComp:
			s.arc(c)
		case vg.CurveComp:
			s.buf.WriteByte("QC"[len(c.Control)-1])
			for _, q := range c.Control {
				s.pair(q)
				s.buf.WriteByte(' ')
			}
			s.pair(c.Pos)
		case vg.CloseComp:
			s.buf.WriteByte('Z')
		}
	}
}

// arc writes an arc of a circle in pieces of a third of a turn at most, since
// an SVG arc cannot end where it starts.
func (s *svgCanvas) arc(c vg.PathComp) {
	on := func(angle float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return c.Pos.Add(vg.Point{X: c.Radius * vg.Length(cos), Y: c.Radius * vg.Length(sin)})
	}
	if n := s.buf.Len(); n > 0 && s.buf.Bytes()[n-1] == '"' {
		s.buf.WriteByte('M')
	} else {
		s.buf.WriteByte('L')
	}
	s.pair(on(c.Start))
	pieces := int(math.Ceil(math.Abs(c.Angle) / (2 * math.Pi / 3)))
	turn := s.state.a*s.state.d - s.state.b*s.state.c
	radius := float64(c.Radius) * math.Sqrt(math.Abs(turn))
	sweep := "0"
	if (c.Angle > 0) == (turn > 0) {
		sweep = "1"
	}
	for i := 1; i <= pieces; i++ {
		s.buf.WriteByte('A')
		s.num(radius)
		s.buf.WriteByte(' ')
		s.num(radius)
		s.buf.WriteString(" 0 0 " + sweep + " ")
		s.pair(on(c.Start + c.Angle*float64(i)/float64(pieces)))
	}
}

func (s *svgCanvas) FillString(f font.Face, p vg.Point, txt string) {
	if txt == "" {
		return
	}
	x, y := s.at(p)
	s.buf.WriteString(`<text x="`)
	s.num(x)
	s.buf.WriteString(`" y="`)
	s.num(y)
	s.buf.WriteString(`" font-size="`)
	s.num(float64(f.Font.Size))
	s.buf.WriteString(`" textLength="`)
	s.num(float64(f.Width(txt)))
	s.buf.WriteByte('"')
	if f.Font.Typeface == boldFace {
		s.buf.WriteString(` font-weight="bold"`)
	}
	if turn := math.Atan2(s.state.b, s.state.a); math.Abs(turn) > 1e-9 {
		s.buf.WriteString(` transform="rotate(`)
		s.num(turn * 180 / math.Pi)
		s.buf.WriteByte(' ')
		s.num(x)
		s.buf.WriteByte(' ')
		s.num(y)
		s.buf.WriteString(`)"`)
	}
	s.paint("fill")
	s.buf.WriteString(` lengthAdjust="spacingAndGlyphs">` + html.EscapeString(txt) + "</text>\n")
}

func (s *svgCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	s.buf.WriteString(`<image x="`)
	x, y := s.at(vg.Point{X: r.Min.X, Y: r.Max.Y})
	s.num(x)
	s.buf.WriteString(`" y="`)
	s.num(y)
	s.buf.WriteString(`" width="`)
	s.num(float64(r.Size().X))
	s.buf.WriteString(`" height="`)
	s.num(float64(r.Size().Y))
	s.buf.WriteString(`" preserveAspectRatio="none" style="image-rendering:pixelated" href="data:image/png;base64,`)
	to := base64.NewEncoder(base64.StdEncoding, &s.buf)
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(to, img); err != nil {
		panic("plots: " + err.Error()) // writing to memory fails only for an image of size 0
	}
	to.Close()
	s.buf.WriteString("\"/>\n")
}

// markup returns the svg element. With attributes for its opening tag it can
// stand inside a page; alone, it is a file.
func (s *svgCanvas) markup(attributes string) []byte {
	var out bytes.Buffer
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" font-family="'Liberation Sans',Arial,Helvetica,sans-serif"%s>`+"\n",
		math.Ceil(float64(s.w)), math.Ceil(float64(s.h)), attributes)
	out.Write(s.buf.Bytes())
	out.WriteString("</svg>\n")
	return out.Bytes()
}

// WriteTo writes the drawing as a file.
func (s *svgCanvas) WriteTo(w io.Writer) (int64, error) {
	n, err := w.Write(s.markup(fmt.Sprintf(` width="%gpt" height="%gpt"`, float64(s.w), float64(s.h))))
	return int64(n), err
}
