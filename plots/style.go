package plots

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	xfont "golang.org/x/image/font"
)

// Quantity is a thing that charts show. It has the same colour everywhere.
type Quantity int

// The things that charts show.
const (
	Panels    Quantity = iota // what the panels give
	Hydro                     // what the turbine gives, and the water that it takes
	Generator                 // what the generator gives
	Demand                    // what the house asks for
	Served                    // what it gets
	Unmet                     // what it does not get; every kind of failure
	Surplus                   // dumped or held back
	Bank                      // the bank's charge
	Rain                      // rain
	Creek                     // stream flow
	Limit                     // a line not to cross: floor, cut-off, a target
	Measured                  // what an instrument or a bucket said
	Other                     // what a source gives that has no look of its own
	Land                      // hills
)

// Hatch is a pattern laid over a filled area.
type Hatch int

// The patterns.
const (
	NoHatch   Hatch = iota
	Rising          // ////
	Falling         // \\\\
	Crossed         // both
	Level           // ====
	Upright         // ||||
	WideSlant       // / / / widely spaced
)

type style struct {
	color  color.NRGBA
	dashes []vg.Length
	hatch  Hatch
}

// Okabe and Ito's colours, and the grey that goes with them. [Okabe]
var (
	orange  = color.NRGBA{0xE6, 0x9F, 0x00, 0xFF}
	skyBlue = color.NRGBA{0x56, 0xB4, 0xE9, 0xFF}
	green   = color.NRGBA{0x00, 0x9E, 0x73, 0xFF}
	yellow  = color.NRGBA{0xF0, 0xE4, 0x42, 0xFF}
	blue    = color.NRGBA{0x00, 0x72, 0xB2, 0xFF}
	verm    = color.NRGBA{0xD5, 0x5E, 0x00, 0xFF}
	purple  = color.NRGBA{0xCC, 0x79, 0xA7, 0xFF}
	grey    = color.NRGBA{0x99, 0x99, 0x99, 0xFF}
	black   = color.NRGBA{0x1A, 0x1A, 0x1A, 0xFF}
)

// styles is the one table of colours, dashes and hatches.
var styles = [...]style{
	Panels:    {color: orange, hatch: NoHatch},
	Hydro:     {color: blue, hatch: NoHatch},
	Generator: {color: purple, dashes: dash(5, 2, 1, 2), hatch: Crossed},
	Demand:    {color: black, dashes: dash(6, 2)},
	Served:    {color: grey},
	Unmet:     {color: verm, hatch: Rising},
	Surplus:   {color: yellow, hatch: WideSlant},
	Bank:      {color: green},
	Rain:      {color: grey},
	Creek:     {color: skyBlue},
	Limit:     {color: black, dashes: dash(4, 3)},
	Measured:  {color: black, dashes: dash(1.5, 2)},
	Other:     {color: skyBlue, hatch: Upright},
	Land:      {color: grey},
}

func dash(lengths ...vg.Length) []vg.Length { return lengths }

// Color returns the quantity's colour.
func (q Quantity) Color() color.NRGBA { return styles[q].color }

// Hatch returns the pattern that tells the quantity's areas apart in print.
func (q Quantity) Hatch() Hatch { return styles[q].hatch }

// Stroke returns a line in the quantity's colour and dash.
func (q Quantity) Stroke(width vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: q.Color(), Width: width, Dashes: styles[q].dashes}
}

// Solid returns a line in the quantity's colour without its dash.
func (q Quantity) Solid(width vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: q.Color(), Width: width}
}

// Tint returns the quantity's colour mixed with white: 0 is white, 1 the
// colour itself.
func (q Quantity) Tint(fraction float64) color.NRGBA { return mix(white, q.Color(), fraction) }

var white = color.NRGBA{0xFF, 0xFF, 0xFF, 0xFF}

// Shade returns a colour from a scale that grows darker from white (0) through
// the quantity's own colour (0.6) to nearly black (1), also in greyscale.
func (q Quantity) Shade(fraction float64) color.NRGBA {
	const own = 0.6
	if fraction <= own {
		return mix(white, q.Color(), fraction/own)
	}
	return mix(q.Color(), black, 0.75*(fraction-own)/(1-own))
}

func mix(a, b color.NRGBA, fraction float64) color.NRGBA {
	fraction = min(max(fraction, 0), 1)
	part := func(x, y uint8) uint8 { return uint8(float64(x) + fraction*(float64(y)-float64(x)) + 0.5) }
	return color.NRGBA{part(a.R, b.R), part(a.G, b.G), part(a.B, b.B), 0xFF}
}

// Sizes on paper. A chart is drawn small with large letters: a phone, which
// shows it at nearly this size, still shows letters of about 11 pixels.
const (
	Width  vg.Length = 420
	Height vg.Length = 280

	titleSize   vg.Length = 15
	captionSize vg.Length = 11.5
	labelSize   vg.Length = 12.5
	tickSize    vg.Length = 12.5

	// Widths of lines.
	Fine   vg.Length = 0.8
	Medium vg.Length = 1.5
	Bold   vg.Length = 2.4
)

var (
	inkColor  = color.NRGBA{0x22, 0x22, 0x22, 0xFF}
	gridColor = color.NRGBA{0xDD, 0xDD, 0xDD, 0xFF}
)

// faces holds the two faces that charts are written in. It is our own cache: the
// plot library's default stays as it is. The bold face goes by a name of its
// own, since the library's PDF canvas cannot find a weight.
var faces = func() *font.Cache {
	cache := font.NewCache(nil)
	regular := font.Font{Typeface: "Liberation", Variant: "Sans"}
	bold := regular
	bold.Weight = xfont.WeightBold
	from := font.NewCache(liberation.Collection())
	cache.Add(font.Collection{
		{Font: regular, Face: from.Lookup(regular, 0).Face},
		{Font: font.Font{Typeface: boldFace, Variant: "Sans"}, Face: from.Lookup(bold, 0).Face},
	})
	return cache
}()

const boldFace = "Liberation Bold"

// letters returns the style that all charts write in.
func letters(size vg.Length) text.Style {
	return text.Style{
		Color:   inkColor,
		Font:    font.Font{Typeface: "Liberation", Variant: "Sans", Size: size},
		Handler: text.Plain{Fonts: faces},
	}
}

func boldLetters(size vg.Length) text.Style {
	s := letters(size)
	s.Font.Typeface = boldFace
	return s
}

// Letters returns the style of words written inside a chart.
func Letters() text.Style { return letters(tickSize) }

// New returns an empty plot in the house style. The labels give the unit; the
// title belongs to the [Chart]. Both axes have room for about five ticks.
func New(xLabel, yLabel string) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = nil
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		label, tick := letters(labelSize), letters(tickSize)
		a.Label.TextStyle.Font, a.Label.TextStyle.Color, a.Label.TextStyle.Handler = label.Font, inkColor, label.Handler
		a.Label.Padding = 3
		a.Tick.Label.Font, a.Tick.Label.Color, a.Tick.Label.Handler = tick.Font, inkColor, tick.Handler
		a.LineStyle = draw.LineStyle{Color: inkColor, Width: Fine}
		a.Tick.LineStyle = draw.LineStyle{Color: inkColor, Width: Fine}
		a.Tick.Length = 4
		a.Padding = 0
		a.Tick.Marker = RoundTicks{}
	}
	p.X.Label.Text = xLabel
	p.Y.Label.Text = yLabel
	p.Add(gridLines{})
	return p
}

// gridLines draws a faint line at each tick that has a label.
type gridLines struct{}

func (gridLines) Plot(c draw.Canvas, p *plot.Plot) {
	faint := draw.LineStyle{Color: gridColor, Width: 0.6}
	x, y := p.Transforms(&c)
	levels := p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max)
	if _, ok := p.Y.Tick.Marker.(Names); ok {
		levels = nil
	}
	for _, t := range levels {
		if t.Label != "" && c.ContainsY(y(t.Value)) && t.Value != p.Y.Min {
			c.StrokeLine2(faint, c.Min.X, y(t.Value), c.Max.X, y(t.Value))
		}
	}
	if calendar, ok := p.X.Tick.Marker.(interface{ starts() []float64 }); ok {
		for _, d := range calendar.starts() { // months and years are named at their middles
			if at := x(d); c.ContainsX(at) && d > p.X.Min {
				c.StrokeLine2(faint, at, c.Min.Y, at, c.Max.Y)
			}
		}
		return
	}
	if _, ok := p.X.Tick.Marker.(Names); ok {
		return // names stand below what they name
	}
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		if t.Label != "" && c.ContainsX(x(t.Value)) && t.Value != p.X.Min {
			c.StrokeLine2(faint, x(t.Value), c.Min.Y, x(t.Value), c.Max.Y)
		}
	}
}
