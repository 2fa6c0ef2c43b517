package plots

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// ChangeoverMap is what every pair of opening and closing days comes to.
type ChangeoverMap struct {
	Start time.Time
	Days  int
	Years int // whose mean is shown; 0 and 1: a single year

	// UnmetHours returns the unmet hours of a valve opened on day open (0 to
	// Days-1) and closed on day close (1 to Days); NaN where there is no such
	// pair.
	UnmetHours func(open, close int) float64

	Dated                                bool // there is a best pair with dates
	BestOpen, BestClose                  int
	OpenFrom, OpenTo, CloseFrom, CloseTo int // the window, ends included
}

// mapClasses are the classes of the map: unmet hours more than the best.
var mapClasses = []float64{1, 10, 30, 100, 300, 1000, math.Inf(1)}

// ChangeoverDates draws the map: the opening day across, the closing day up,
// and in colour how many unmet hours more than the best a pair costs.
func ChangeoverDates(v ChangeoverMap) Chart {
	p := New("", "")
	YearAxis(p, v.Start, v.Days)
	MonthsUp(p, v.Start, v.Days)
	p.X.Label.Text, p.Y.Label.Text = "month of opening", "month of closing"

	least, most, lacking := math.Inf(1), math.Inf(-1), 0
	for open := range v.Days {
		for close := 1; close <= v.Days; close++ {
			if u := v.UnmetHours(open, close); math.IsNaN(u) {
				lacking++
			} else {
				least, most = min(least, u), max(most, u)
			}
		}
	}
	classes := mapClasses
	for len(classes) > 1 && most-least <= classes[len(classes)-2] {
		classes = classes[:len(classes)-1]
	}
	shade := func(class int) color.NRGBA {
		if class == 0 {
			return Surplus.Tint(0.35)
		}
		return Unmet.Shade(0.12 + 0.88*float64(class-1)/float64(max(1, len(mapClasses)-2)))
	}
	none := Land.Tint(0.18)
	p.Add(Heat{
		Columns: v.Days, Rows: v.Days, X1: float64(v.Days), Y1: float64(v.Days),
		Color: func(open, row int) color.NRGBA {
			u := v.UnmetHours(open, row+1)
			if math.IsNaN(u) {
				return none
			}
			class := 0
			for class < len(classes)-1 && u-least > classes[class] {
				class++
			}
			return shade(class)
		},
	})
	for _, d := range (MonthTicks{Start: v.Start, Days: v.Days}).starts() {
		faint := draw.LineStyle{Color: color.NRGBA{0xFF, 0xFF, 0xFF, 0x60}, Width: 0.5}
		p.Add(Rule{At: d, Style: faint}, Rule{At: d, Upright: true, Style: faint})
	}
	c := Chart{
		Name:   "changeover-map",
		Title:  "What each pair of dates costs",
		Plot:   p,
		Height: 400,
	}
	for i, top := range classes {
		label := "to " + grouped(top, 0)
		switch {
		case i == 0:
			label = "within 1 unmet hour of the least"
		case i == len(classes)-1 && i > 0:
			label = fmt.Sprintf("to %s h more", grouped(math.Ceil(most-least), 0))
		}
		c.Key = append(c.Key, Key{label, Swatch{shade(i)}})
	}
	ofYears := "in the year"
	if v.Years > 1 {
		ofYears = fmt.Sprintf("a year (mean of %d years)", v.Years)
	}
	c.Caption = fmt.Sprintf("Find the month of opening below and go up to the month of closing. The best dates leave %s unmet hours %s, the worst %s. ", hoursText(least), ofYears, hoursText(most))
	if v.Dated {
		window := Bars{
			Boxes:   []Box{{float64(v.OpenFrom), float64(v.OpenTo + 1), float64(v.CloseFrom - 1), float64(v.CloseTo)}},
			Outline: Limit.Solid(Medium),
		}
		best := Points{X: []float64{float64(v.BestOpen) + 0.5}, Y: []float64{float64(v.BestClose) - 0.5}, Color: Hydro.Color(), Shape: bestGlyph{}, Radius: 6}
		p.Add(window, best)
		c.Key = append(c.Key, Key{"best pair", best}, Key{"no hurry: as good in hours and fuel", window})
		c.Caption += "The frame holds the days of opening that cost no more than an unmet hour and hardly any fuel if you close on the best day, and the days of closing likewise: within it there is no hurry. It begins where the creek has water for the turbine in one year of five. " +
			"Of pairs that leave the house as little in the dark and burn as little fuel, within what makes no difference, the mark stands at the one with the fewest dry-pipe stops, then the fewest walks, then the fewest days open."
		c.Alt = fmt.Sprintf("Map of the unmet hours for every opening and closing day. Best: open %s, close %s, with %s unmet hours.",
			v.date(v.BestOpen), v.date(v.BestClose), hoursText(least))
	} else {
		c.Caption += "No pair of dates does better than leaving the valve as it is."
		c.Alt = fmt.Sprintf("Map of the unmet hours for every opening and closing day, between %s and %s; no dates stand out.", hoursText(least), hoursText(most))
	}
	if lacking > v.Days {
		c.Caption += " Grey: the valve would be closed before it is opened."
	}
	return c
}

func (v ChangeoverMap) date(day int) string { return v.Start.AddDate(0, 0, day).Format("2 January") }

func hoursText(h float64) string {
	if h < 10 && h != math.Trunc(h) {
		return grouped(h, 1)
	}
	return grouped(math.Round(h), 0)
}

// bestGlyph is a ring with a white edge on both sides, to be seen on any
// colour.
type bestGlyph struct{}

func (bestGlyph) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, at vg.Point) {
	ring := draw.GlyphStyle{Color: white, Radius: s.Radius + 1.5, Shape: draw.CircleGlyph{}}
	c.DrawGlyphNoClip(ring, at)
	ring.Color, ring.Radius = s.Color, s.Radius
	c.DrawGlyphNoClip(ring, at)
	ring.Color, ring.Radius = white, s.Radius/3
	c.DrawGlyphNoClip(ring, at)
}

// ChangeoverYear is a year with its creek, its bank and the days on which the
// valve was opened and closed.
type ChangeoverYear struct {
	Start       time.Time
	FlowM3S     []float64 // a value a day
	TurbineM3S  []float64 // a value an hour
	CutoffM3S   float64
	SoC         []float64 // an hour, at these dates
	ClosedSoC   []float64 // an hour, with the valve closed all year
	FloorSoC    float64
	Open, Close int // days; if Close comes before Open, the valve is open at both ends; equal: never
	FlowScale   Scale
}

// ChangeoverThroughYear draws the creek above and the bank below, with the
// days on which the valve is open shaded.
func ChangeoverThroughYear(v ChangeoverYear) Chart {
	days := len(v.FlowM3S)
	inFlow := v.FlowScale.or(litresPerSecond)
	creek := New("", "creek, "+inFlow.Unit)
	YearAxis(creek, v.Start, days)
	unnamed(creek) // the months stand below the lower plot
	creek.Y.Tick.Marker = RoundTicks{Most: 5}
	flow := inFlow.All(v.FlowM3S)
	line := Line{Y: flow, Style: Creek.Solid(Medium)}
	_, taking, peak := DailyBand(inFlow.All(v.TurbineM3S))
	top, floods := flowTop(flow, peak)
	creek.Y.Min, creek.Y.Max = 0, top

	bank := New("", "charge, %")
	YearAxis(bank, v.Start, days)
	bank.Y.Min, bank.Y.Max = 0, 100
	bank.Y.Tick.Marker = RoundTicks{Most: 5}
	percent := func(s []float64) []float64 { return scaled(s, func(x float64) float64 { return 100 * x }) }
	low, _, high := DailyBand(percent(v.SoC))
	_, closed, _ := DailyBand(percent(v.ClosedSoC))
	band := Band{Low: low, High: high, Color: Bank.Tint(0.5), Steps: true}
	closedLine := Line{Y: closed, Style: Measured.Solid(Fine)}

	open := Bars{Color: Hydro.Tint(0.13)}
	closedBoth := func(p *plot.Plot, top float64) {
		open.Boxes = nil
		for _, s := range v.openSpans(days) {
			open.Boxes = append(open.Boxes, Box{float64(s[0]), float64(s[1]), 0, top})
		}
		p.Add(open)
	}
	closedBoth(creek, top)
	key := []Key{{"valve open", open}, {"creek", line}}
	key = append(key, drawTaking(creek, line, taking, inFlow.Of(v.CutoffM3S))...)
	closedBoth(bank, 100)
	bank.Add(band)
	key = append(key, Key{"bank, lowest to fullest of each day", band})
	if len(closed) > 0 {
		bank.Add(closedLine)
		key = append(key, Key{"bank with the valve closed, mean", closedLine})
	}
	if v.FloorSoC > 0 {
		bank.Add(Rule{At: 100 * v.FloorSoC, Style: Limit.Stroke(Fine)})
	}
	var dates Words
	for _, d := range []struct {
		day  int
		word string
	}{{v.Open, "open "}, {v.Close, "close "}} {
		if v.Open == v.Close || d.day <= 0 || d.day >= days {
			continue
		}
		mark := Rule{At: float64(d.day), Upright: true, Style: Hydro.Solid(Medium)}
		creek.Add(mark)
		bank.Add(mark)
		dates.X = append(dates.X, float64(d.day))
		dates.Y = append(dates.Y, top*0.93)
		dates.Text = append(dates.Text, d.word+v.date(d.day))
	}
	dates.Backed = true
	creek.Add(dates)
	creek.X.Min, creek.X.Max, creek.Y.Min, creek.Y.Max = 0, float64(days), 0, top
	bank.X.Min, bank.X.Max, bank.Y.Min, bank.Y.Max = 0, float64(days), 0, 100

	c := Chart{
		Name:    "changeover-year",
		Numbers: v.numbers(),
		Title:   "The creek, the bank and the changeover",
		Key:     key,
		Draw:    Stack([]float64{1.2, 1}, creek, bank),
		Height:  360,
	}
	c.Caption = "Where the green band stays above the thin line, the creek has kept the bank up; where it does not, the valve could as well be closed. The dashed line below is the bank's floor."
	if floods {
		c.Caption += fmt.Sprintf(" Floods above %s %s run off the top of the picture.", grouped(top, 0), inFlow.Unit)
	}
	when := "The valve stays closed."
	if v.Open != v.Close {
		when = fmt.Sprintf("The valve is opened on %s and closed on %s.", v.date(v.Open), v.date(v.Close))
	}
	c.Alt = fmt.Sprintf("Creek flow and charge of the bank over %d days. %s", days, when)
	return c
}

func (v ChangeoverYear) date(day int) string { return v.Start.AddDate(0, 0, day).Format("2 Jan") }

func (v ChangeoverYear) openSpans(days int) [][2]int {
	switch {
	case v.Open == v.Close:
		return nil
	case v.Close < v.Open:
		return [][2]int{{0, v.Close}, {v.Open, days}}
	}
	return [][2]int{{v.Open, v.Close}}
}

// ChangeoverSeason is one year's best dates and its rain.
type ChangeoverSeason struct {
	Year        int
	Word        string // in place of dates: "never", "always"; "": dated
	Open, Close int    // days of the water year

	OpenFrom, OpenTo, CloseFrom, CloseTo int // within one unmet hour

	RainMM float64
}

// ChangeoverSeasons are the best dates of several years.
type ChangeoverSeasons struct {
	Start     time.Time // of a year, for the names of the months
	Days      int
	Seasons   []ChangeoverSeason
	RainScale Scale
}

// ChangeoverByYear draws the best dates of each year above its rain.
func ChangeoverByYear(v ChangeoverSeasons) Chart {
	inRain := v.RainScale.or(millimetres)
	n := len(v.Seasons)
	dates := New("", "")
	dates.X.Min, dates.X.Max = -0.6, float64(n)-0.4
	dates.X.Tick.Marker = plot.ConstantTicks(nil)
	MonthsUp(dates, v.Start, v.Days)
	dates.Y.Tick.Marker = MonthTicks{Start: v.Start, Days: v.Days}

	open := Points{Color: Hydro.Color(), Shape: draw.CircleGlyph{}, Radius: 4}
	shut := Points{Color: Limit.Color(), Shape: draw.BoxGlyph{}, Radius: 3.6}
	openWide, shutWide := Bars{Color: Hydro.Tint(0.3)}, Bars{Color: Land.Tint(0.6)}
	var words Words
	var fallen []Box
	var names Names
	every := 1 + (n-1)/13
	for i, s := range v.Seasons {
		x := float64(i)
		if s.Word == "" {
			open.X, open.Y = append(open.X, x), append(open.Y, float64(s.Open))
			shut.X, shut.Y = append(shut.X, x), append(shut.Y, float64(s.Close))
			openWide.Boxes = append(openWide.Boxes, Box{x - 0.22, x, float64(s.OpenFrom), float64(s.OpenTo) + 0.5})
			shutWide.Boxes = append(shutWide.Boxes, Box{x, x + 0.22, float64(s.CloseFrom) - 0.5, float64(s.CloseTo)})
		} else {
			words.X, words.Y = append(words.X, x), append(words.Y, float64(v.Days)/2)
			words.Text = append(words.Text, s.Word)
		}
		fallen = append(fallen, Box{x - 0.35, x + 0.35, 0, inRain.Of(s.RainMM)})
		name := ""
		if i%every == 0 {
			name = strconv.Itoa(s.Year)
			if n > 8 {
				name = "’" + name[2:]
			}
		}
		names = append(names, name)
	}
	words.Centred, words.OnPoint = true, true
	dates.Add(openWide, shutWide, open, shut, words)
	dates.X.Min, dates.X.Max, dates.Y.Min, dates.Y.Max = -0.6, float64(n)-0.4, 0, float64(v.Days)

	rain := New("water year, by the year in which it starts", "rain, "+inRain.Unit)
	rain.Y.Tick.Marker = RoundTicks{Most: 4}
	rain.X.Tick.Marker = names
	rain.X.Tick.Length = 0
	bars := Bars{Boxes: fallen, Color: Rain.Color()}
	rain.Add(bars)
	rain.Y.Min = 0
	rain.X.Min, rain.X.Max = -0.6, float64(n)-0.4

	c := Chart{
		Name:   "changeover-years",
		Title:  "The best dates of each year, and its rain",
		Draw:   Stack([]float64{2.2, 1}, dates, rain),
		Height: 360,
		Key: []Key{
			{"best opening", open}, {"openings within 1 unmet hour of it", openWide},
			{"best closing", shut}, {"closings within 1 unmet hour", shutWide},
		},
		Caption: "Each year's best dates, known only afterwards. Bars show how far a date could have moved at a cost of one unmet hour at most: " +
			"a long bar means that the day did not matter. Where the marks of a dry year lie far from those of the wet ones, no fixed date serves both; follow the rule instead.",
	}
	if n > 0 {
		c.Alt = fmt.Sprintf("Best opening and closing dates of %d water years from %d on, with the rain of each.", n, v.Seasons[0].Year)
	}
	return c
}
