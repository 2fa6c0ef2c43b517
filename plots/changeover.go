package plots

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"sunrill/sim/measure"
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

// shownLossH is how many unmet hours more than the least are drawn at most: what
// lies beyond is lost anyway, and the first hours would not show.
const shownLossH = 240

// losses returns what opening on each day costs with the best closing for it, and
// closing on each day with the best opening, in unmet hours more than the least;
// NaN where there is no pair.
func (v ChangeoverMap) losses() (opening, closing []float64, minimum float64) {
	opening, closing, minimum = make([]float64, v.Days), make([]float64, v.Days+1), math.Inf(1)
	for i := range opening {
		opening[i] = math.Inf(1)
	}
	for i := range closing {
		closing[i] = math.Inf(1)
	}
	for open := range v.Days {
		for close := 1; close <= v.Days; close++ {
			if u := v.UnmetHours(open, close); !math.IsNaN(u) {
				opening[open], closing[close], minimum = min(opening[open], u), min(closing[close], u), min(minimum, u)
			}
		}
	}
	for _, s := range [][]float64{opening, closing} {
		for i := range s {
			if s[i] -= minimum; math.IsInf(s[i], 0) || math.IsNaN(s[i]) {
				s[i] = math.NaN()
			}
		}
	}
	return opening, closing, minimum
}

// ChangeoverDates draws what opening on each day of the year costs, and closing on
// each day, the other date being the best for it.
func ChangeoverDates(v ChangeoverMap) Chart {
	opening, closing, minimum := v.losses()
	p := New("", "unmet hours more than the least")
	YearAxis(p, v.Start, v.Days)
	if v.Years > 1 {
		p.X.Label.Text = "month"
	}
	top := 1.0
	for _, s := range [][]float64{opening, closing} {
		for _, u := range s {
			if !math.IsNaN(u) {
				top = max(top, u)
			}
		}
	}
	maximum := top
	top = min(top, shownLossH) * 1.12
	x := make([]float64, v.Days+1)
	for i := range x {
		x[i] = float64(i)
	}
	open := Line{X: x[:v.Days], Y: opening, Style: Hydro.Solid(Bold)}
	shut := Line{X: x, Y: closing, Style: Limit.Solid(Bold)}
	shut.Style.Dashes = dash(5, 3)
	c := Chart{
		Name:   "changeover-dates",
		Title:  "What each day of opening and of closing costs",
		Plot:   p,
		Legend: []LegendEntry{{"opened on this day", open}, {"closed on this day", shut}},
		Numbers: []Column{
			days("date", v.Start, v.Days+1),
			{Name: "opening_unmet_hours_more", Values: append(slices.Clone(opening), math.NaN())},
			{Name: "closing_unmet_hours_more", Values: closing},
		},
	}
	p.Add(open, shut)
	ofYears := "in the year"
	if v.Years > 1 {
		ofYears = fmt.Sprintf("a year, the mean of %d years", v.Years)
	}
	if v.Dated {
		marks := []struct {
			day, from, to int
			word          string
			q             Quantity
		}{
			{v.BestOpen, v.OpenFrom, v.OpenTo + 1, "open ", Hydro},
			{v.BestClose, v.CloseFrom, v.CloseTo, "close ", Limit},
		}
		free := Bars{Color: Hydro.Tint(0.25)}
		shutFree := Bars{Color: Limit.Tint(0.25)}
		words := Labels{Backed: true, Centred: true}
		for i, m := range marks {
			box := Box{float64(m.from), float64(m.to), 0, 0.03 * top}
			if i == 0 {
				free.Boxes = append(free.Boxes, box)
			} else {
				shutFree.Boxes = append(shutFree.Boxes, box)
			}
			p.Add(Rule{At: float64(m.day), Upright: true, Style: m.q.Solid(Fine)})
			words.X, words.Y = append(words.X, float64(m.day)), append(words.Y, 0.86*top)
			words.Text = append(words.Text, m.word+v.Start.AddDate(0, 0, m.day).Format("2 Jan"))
		}
		p.Add(free, shutFree, words)
		c.Legend = append(c.Legend, LegendEntry{"no hurry: as good in hours and fuel", Swatch{Hydro.Tint(0.25), Limit.Tint(0.25)}})
		c.Caption = fmt.Sprintf("Open before the blue line rises, close after the dashed one has fallen. The best of them leave %s unmet hours %s.", hoursText(minimum), ofYears)
		c.Alt = fmt.Sprintf("Unmet hours by the day of opening and of closing. Best: open %s, close %s, where the least is %s unmet hours.", v.date(v.BestOpen), v.date(v.BestClose), hoursText(minimum))
	} else {
		c.Caption = fmt.Sprintf("No pair of dates does better than leaving the valve as it is: %s unmet hours %s.", hoursText(minimum), ofYears)
		c.Alt = fmt.Sprintf("Unmet hours by the day of opening and of closing, between %s and %s; no dates stand out.", hoursText(minimum), hoursText(minimum+maximum))
	}
	if maximum > top {
		c.Caption += fmt.Sprintf(" At worst a date costs %s hours more, beyond the picture.", grouped(maximum, 0))
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, float64(v.Days), 0, top
	return c
}

func (v ChangeoverMap) date(day int) string { return v.Start.AddDate(0, 0, day).Format("2 January") }

func hoursText(h float64) string {
	if h < 10 && h != math.Trunc(h) {
		return grouped(h, 1)
	}
	return grouped(math.Round(h), 0)
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
	FlowScale   measure.Scale
}

// ChangeoverThroughYear draws the creek above and the bank below, with the
// days on which the valve is open shaded.
func ChangeoverThroughYear(v ChangeoverYear) Chart {
	days := len(v.FlowM3S)
	inFlow := orUsual(v.FlowScale, litresPerSecond)
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
	legend := []LegendEntry{{"valve open", open}, {"creek", line}}
	legend = append(legend, drawTaking(creek, line, taking, inFlow.Of(v.CutoffM3S))...)
	closedBoth(bank, 100)
	bank.Add(band)
	legend = append(legend, LegendEntry{"bank, lowest to fullest of each day", band})
	if len(closed) > 0 {
		bank.Add(closedLine)
		legend = append(legend, LegendEntry{"bank with the valve closed, mean", closedLine})
	}
	if v.FloorSoC > 0 {
		bank.Add(Rule{At: 100 * v.FloorSoC, Style: Limit.Stroke(Fine)})
	}
	var dates Labels
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
		Legend:  legend,
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
	RainScale measure.Scale
}

// ChangeoverByYear draws the best dates of each year above its rain.
func ChangeoverByYear(v ChangeoverSeasons) Chart {
	inRain := orUsual(v.RainScale, millimetres)
	n := len(v.Seasons)
	dates := New("", "")
	dates.X.Min, dates.X.Max = -0.6, float64(n)-0.4
	dates.X.Tick.Marker = plot.ConstantTicks(nil)
	MonthsUp(dates, v.Start, v.Days)
	dates.Y.Tick.Marker = MonthTicks{Start: v.Start, Days: v.Days}

	open := Points{Color: Hydro.Color(), Shape: draw.CircleGlyph{}, Radius: 4}
	shut := Points{Color: Limit.Color(), Shape: draw.BoxGlyph{}, Radius: 3.6}
	openWide, shutWide := Bars{Color: Hydro.Tint(0.3)}, Bars{Color: Land.Tint(0.6)}
	var words Labels
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
		Legend: []LegendEntry{
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
