package plots_test

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/plots"
)

// picture is a chart as a person sees it: words and strokes at places, and
// what the labels of its axes say about the places.
type picture struct {
	words []word
	marks []mark
}

type word struct {
	x, y, width float64
	text        string
}

// mark is a path: its corners, all together and part by part, and its colours as
// in "#0072b2".
type mark struct {
	x, y         []float64
	parts        []mark
	fill, stroke string
	arcs, dashed bool
}

// middle returns the middle of the mark's extent.
func (m mark) middle() (x, y float64) {
	return (low(m.x) + high(m.x)) / 2, (low(m.y) + high(m.y)) / 2
}

func low(v []float64) float64 {
	l := math.Inf(1)
	for _, x := range v {
		l = math.Min(l, x)
	}
	return l
}

func high(v []float64) float64 {
	h := math.Inf(-1)
	for _, x := range v {
		h = math.Max(h, x)
	}
	return h
}

// look draws a chart and reads the drawing.
func look(t *testing.T, c plots.Chart) picture {
	t.Helper()
	svg, err := c.SVG()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Texts []struct {
			X         float64 `xml:"x,attr"`
			Y         float64 `xml:"y,attr"`
			Width     float64 `xml:"textLength,attr"`
			Transform string  `xml:"transform,attr"`
			Text      string  `xml:",chardata"`
		} `xml:"text"`
		Paths []struct {
			D      string `xml:"d,attr"`
			Fill   string `xml:"fill,attr"`
			Stroke string `xml:"stroke,attr"`
			Dashes string `xml:"stroke-dasharray,attr"`
		} `xml:"path"`
	}
	if err := xml.Unmarshal(svg, &doc); err != nil {
		t.Fatal(err)
	}
	var p picture
	for _, w := range doc.Texts {
		if w.Transform == "" {
			p.words = append(p.words, word{w.X, w.Y, w.Width, w.Text})
		}
	}
	for _, d := range doc.Paths {
		m := mark{fill: d.Fill, stroke: d.Stroke, arcs: strings.Contains(d.D, "A"), dashed: d.Dashes != ""}
		var numbers []float64
		keep := func() {
			if n := len(numbers); n >= 2 {
				part := &m.parts[len(m.parts)-1]
				part.x, part.y = append(part.x, numbers[n-2]), append(part.y, numbers[n-1])
				m.x, m.y = append(m.x, numbers[n-2]), append(m.y, numbers[n-1])
			}
			numbers = numbers[:0]
		}
		for _, f := range strings.Fields(strings.NewReplacer("M", " M ", "L", " L ", "A", " A ", "Z", " Z ", "C", " C ", "Q", " Q ").Replace(d.D)) {
			if v, err := strconv.ParseFloat(f, 64); err == nil {
				numbers = append(numbers, v)
			} else {
				if keep(); f == "M" {
					m.parts = append(m.parts, mark{fill: d.Fill, stroke: d.Stroke, arcs: m.arcs})
				}
			}
		}
		keep()
		p.marks = append(p.marks, m)
	}
	return p
}

// axis tells the value at a place of the drawing, as the labels of an axis say.
type axis struct {
	at, value []float64
	log       bool
}

func (a axis) read(place float64) float64 {
	n := len(a.at) - 1
	v := func(i int) float64 {
		if a.log {
			return math.Log(a.value[i])
		}
		return a.value[i]
	}
	x := v(0) + (place-a.at[0])/(a.at[n]-a.at[0])*(v(n)-v(0))
	if a.log {
		return math.Exp(x)
	}
	return x
}

// panel is one plot of a picture: where its data lie, and what its axes say.
type panel struct {
	left, right, top, bottom float64
	x, y                     axis
}

// panels finds the plots of a picture, from the top down: each has a long upright
// line left of its data and a level one below, of the axes' colour, with ticks
// of 4 points and numbers at them.
func (p picture) panels(t *testing.T) []panel {
	t.Helper()
	const ink = "#222222"
	var all []panel
	for _, m := range p.marks {
		if m.stroke != ink || len(m.x) != 2 || math.Abs(m.x[1]-m.x[0]) > 0.05 || math.Abs(m.y[1]-m.y[0]) < 20 {
			continue
		}
		a := panel{left: m.x[0], top: low(m.y), bottom: high(m.y)}
		for _, l := range p.marks { // the level line that begins beside its foot
			if l.stroke == ink && len(l.x) == 2 && math.Abs(l.y[1]-l.y[0]) < 0.05 && high(l.x)-low(l.x) > 40 &&
				math.Abs(low(l.x)-a.left) < 3 && math.Abs(l.y[0]-a.bottom) < 3 {
				a.left, a.right = low(l.x), high(l.x)
			}
		}
		if a.right > 0 {
			all = append(all, a)
		}
	}
	slices.SortFunc(all, func(a, b panel) int { return cmp.Compare(a.top, b.top) })
	for i := range all {
		a := &all[i]
		for _, m := range p.marks {
			if len(m.x) != 2 || m.stroke != ink {
				continue
			}
			dx, dy := math.Abs(m.x[1]-m.x[0]), math.Abs(m.y[1]-m.y[0])
			for _, w := range p.words {
				v, err := strconv.ParseFloat(strings.NewReplacer(",", "", "−", "-").Replace(w.text), 64)
				if err != nil {
					continue
				}
				switch {
				case dx < 0.05 && math.Abs(dy-4) < 0.2 && math.Abs(low(m.y)-a.bottom) < 4 && m.x[0] > a.left-3 && m.x[0] < a.right+3 &&
					math.Abs(w.x+w.width/2-m.x[0]) < 1 && w.y > high(m.y) && w.y < high(m.y)+14:
					a.x.at, a.x.value = append(a.x.at, m.x[0]), append(a.x.value, v)
				case dy < 0.05 && math.Abs(dx-4) < 0.2 && math.Abs(high(m.x)-a.left) < 3 && m.y[0] > a.top-3 && m.y[0] < a.bottom+3 &&
					math.Abs(w.y-4-m.y[0]) < 2.5 && w.x+w.width < low(m.x) && w.x+w.width > low(m.x)-8:
					a.y.at, a.y.value = append(a.y.at, m.y[0]), append(a.y.value, v)
				}
			}
		}
	}
	if len(all) == 0 {
		t.Fatal("the picture has no plot")
	}
	return all
}

// axes returns those of a picture with one plot.
func (p picture) axes(t *testing.T) (x, y axis) {
	t.Helper()
	all := p.panels(t)
	if len(all) != 1 || len(all[0].x.at) < 2 || len(all[0].y.at) < 2 {
		t.Fatalf("%d plots; the axes have numbers at %v and %v", len(all), all[0].x.at, all[0].y.at)
	}
	return all[0].x, all[0].y
}

// across makes the x axis run from one value at the left edge to another at the
// right: for axes of months, which have no numbers.
func (a panel) across(from, to float64) panel {
	a.x = axis{at: []float64{a.left, a.right}, value: []float64{from, to}}
	return a
}

// holds reports whether a mark lies inside the plot.
func (a panel) holds(m mark) bool {
	return len(m.x) > 0 && low(m.x) > a.left-1.5 && high(m.x) < a.right+1.5 && low(m.y) > a.top-1.5 && high(m.y) < a.bottom+1.5
}

// rect is a box in the plot's own numbers.
type rect struct{ x0, x1, y0, y1 float64 }

// boxes returns the rectangles of a colour inside a plot, from left to right
// and from below.
func (p picture) boxes(a panel, fill string) []rect {
	var rs []rect
	seen := map[rect]bool{}
	for _, m := range p.marks {
		if m.fill != fill {
			continue
		}
		for _, b := range m.parts {
			if len(b.x) < 4 || b.arcs || !a.holds(b) {
				continue
			}
			r := rect{a.x.read(low(b.x)), a.x.read(high(b.x)), a.y.read(high(b.y)), a.y.read(low(b.y))}
			if !seen[r] { // the last box of a fill is filled again by the next
				seen[r] = true
				rs = append(rs, r)
			}
		}
	}
	slices.SortFunc(rs, func(a, b rect) int { return cmp.Or(cmp.Compare(a.x0, b.x0), cmp.Compare(a.y0, b.y0)) })
	return rs
}

// lines returns the strokes of a colour inside a plot with at least three
// points, in the plot's own numbers, pieces of one line joined.
func (p picture) lines(a panel, stroke string) (lines [][][2]float64) {
	var end [2]float64
	for _, m := range p.marks {
		if m.stroke != stroke || len(m.x) < 3 || !a.holds(m) {
			continue
		}
		var l [][2]float64
		for i := range m.x {
			l = append(l, [2]float64{a.x.read(m.x[i]), a.y.read(m.y[i])})
		}
		if n := len(lines); n > 0 && end == [2]float64{m.x[0], m.y[0]} {
			lines[n-1] = append(lines[n-1], l[1:]...)
		} else {
			lines = append(lines, l)
		}
		end = [2]float64{m.x[len(m.x)-1], m.y[len(m.y)-1]}
	}
	return lines
}

// dots returns the middles of the marks of a colour inside a plot: circles, boxes
// and triangles alike.
func (p picture) dots(a panel, fill string) (dots [][2]float64) {
	for _, m := range p.marks {
		if m.fill == fill && a.holds(m) && high(m.x)-low(m.x) < 16 && high(m.y)-low(m.y) < 16 {
			x, y := m.middle()
			dots = append(dots, [2]float64{a.x.read(x), a.y.read(y)})
		}
	}
	return dots
}

// paint writes a colour as pictures do.
func paint(c color.NRGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// nozzle marks stand where flow and watts are.
func TestNozzleMarksStandAtTheirWatts(t *testing.T) {
	v := plots.Power{CutoffM3S: 0.0006}
	v.FlowM3S, v.PowerW = pipePower(100, 0.0025)
	v.Sets = []plots.PowerSet{{"7 mm", 0.00095, 168.5}, {"9 mm", 0.0015, 228}}
	p := look(t, plots.FlowToWatts(v))
	x, y := p.axes(t)
	var seen []mark
	var curve mark
	for _, m := range p.marks {
		if m.arcs {
			seen = append(seen, m)
		}
		if m.stroke != "" && len(m.x) > len(curve.x) {
			curve = m
		}
	}
	seen = seen[1:] // the key's own
	if len(seen) != 2 {
		t.Fatalf("%d marks, want 2", len(seen))
	}
	for i, m := range seen {
		px, py := m.middle()
		if q, w := x.read(px), y.read(py); math.Abs(q-1000*v.Sets[i].FlowM3S) > 0.015 || math.Abs(w-v.Sets[i].PowerW) > 1.5 {
			t.Errorf("%s stands at %.3f L/s and %.1f W, it is %.3f L/s and %g W", v.Sets[i].Name, q, w, 1000*v.Sets[i].FlowM3S, v.Sets[i].PowerW)
		}
	}
	for i := range curve.x {
		q, w := x.read(curve.x[i]), y.read(curve.y[i])
		if want := 0.5 * 9.81 * q * (40 - 4*q*q); math.Abs(w-want) > 1.5 {
			t.Errorf("the curve has %.1f W at %.3f L/s, want %.1f", w, q, want)
		}
	}
}
