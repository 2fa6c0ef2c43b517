package plots_test

import (
	"encoding/xml"
	"math"
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

// mark is a path: its corners, and its colours as in "#0072b2".
type mark struct {
	x, y         []float64
	fill, stroke string
	arcs         bool
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
		m := mark{fill: d.Fill, stroke: d.Stroke, arcs: strings.Contains(d.D, "A")}
		var numbers []float64
		keep := func() {
			if n := len(numbers); n >= 2 {
				m.x, m.y = append(m.x, numbers[n-2]), append(m.y, numbers[n-1])
			}
			numbers = numbers[:0]
		}
		for _, f := range strings.Fields(strings.NewReplacer("M", " M ", "L", " L ", "A", " A ", "Z", " Z ", "C", " C ", "Q", " Q ").Replace(d.D)) {
			if v, err := strconv.ParseFloat(f, 64); err == nil {
				numbers = append(numbers, v)
			} else {
				keep()
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

// axes finds the ticks of a chart with one panel, and the number that stands at each:
// upright strokes of 4 points below the data, level ones left of them.
func (p picture) axes(t *testing.T) (x, y axis) {
	t.Helper()
	for _, m := range p.marks {
		if len(m.x) != 2 || m.stroke == "" {
			continue
		}
		dx, dy := math.Abs(m.x[1]-m.x[0]), math.Abs(m.y[1]-m.y[0])
		for _, w := range p.words {
			v, err := strconv.ParseFloat(strings.NewReplacer(",", "", "−", "-", " %", "").Replace(w.text), 64)
			if err != nil {
				continue
			}
			switch {
			case dx < 0.05 && math.Abs(dy-4) < 0.2 && math.Abs(w.x+w.width/2-m.x[0]) < 1 && w.y > high(m.y) && w.y < high(m.y)+14:
				x.at, x.value = append(x.at, m.x[0]), append(x.value, v)
			case dy < 0.05 && math.Abs(dx-4) < 0.2 && math.Abs(w.y-4-m.y[0]) < 2.5 && w.x+w.width < low(m.x) && w.x+w.width > low(m.x)-8:
				y.at, y.value = append(y.at, m.y[0]), append(y.value, v)
			}
		}
	}
	if len(x.at) < 2 && len(y.at) < 2 {
		t.Fatalf("the axes have %d and %d numbers", len(x.at), len(y.at))
	}
	return x, y
}

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
