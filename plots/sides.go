package plots

import (
	"fmt"
	"image/color"
	"strings"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// sideStyles tell sides that are laid over one another apart, by colour (Okabe
// and Ito's set) and by dash.
var sideStyles = []struct {
	color  color.NRGBA
	dashes []vg.Length
}{
	{color.NRGBA{0x00, 0x00, 0x00, 0xFF}, nil},
	{color.NRGBA{0xD5, 0x5E, 0x00, 0xFF}, dash(6, 2)},
	{color.NRGBA{0x00, 0x72, 0xB2, 0xFF}, dash(2, 2)},
	{color.NRGBA{0x00, 0x9E, 0x73, 0xFF}, dash(8, 2, 2, 2)},
	{color.NRGBA{0xCC, 0x79, 0xA7, 0xFF}, dash(4, 4)},
	{color.NRGBA{0x56, 0xB4, 0xE9, 0xFF}, dash(1, 1)},
}

// SidesCharge draws the lowest charge of each day of the water year, middling
// over the years, of several sites or plans over one another. Each has a value
// a day, 0 to 1.
func SidesCharge(start time.Time, names []string, lowSoC [][]float64) Chart {
	p := New("", "lowest charge of the day, %")
	days := 0
	c := Chart{Name: "compare-charge", Title: "How low the bank gets, day by day, in a middling year", Plot: p}
	var say []string
	for i, soc := range lowSoC {
		days = max(days, len(soc))
		l := sideStyles[i%len(sideStyles)]
		line := Line{Y: scaled(soc, func(s float64) float64 { return 100 * s }), Style: draw.LineStyle{Color: l.color, Width: Medium, Dashes: l.dashes}}
		p.Add(line)
		c.Legend = append(c.Legend, LegendEntry{names[i], line})
		low, when := 1.0, 0
		for d, s := range soc {
			if s < low {
				low, when = s, d
			}
		}
		say = append(say, fmt.Sprintf("%s: lowest %.0f %%, %s", names[i], 100*low, start.AddDate(0, 0, when).Format("2 January")))
	}
	YearAxis(p, start, days)
	p.X.Label.Text = "month of the water year"
	p.Y.Min, p.Y.Max = 0, 100
	c.Caption = "For each day of the water year the middling one of all years: half of the years were lower on that day. All sides ran through the same years."
	c.Alt = strings.Join(say, "; ") + "."
	return c
}

// SidesDark draws the dark hours of each month of a mean year, a bar a side.
// hours are by calendar month, January first; first is the month in which the
// water year begins.
func SidesDark(first time.Month, names []string, hours [][12]float64) Chart {
	p := New("", "dark hours in a mean year")
	c := Chart{Name: "compare-dark", Title: "In which months it is dark", Plot: p}
	months := make(Names, 12)
	width := 0.84 / float64(len(hours))
	top := 0.0
	var say []string
	for i := range hours {
		var boxes []Box
		sum := 0.0
		for k := range 12 {
			m := (int(first) - 1 + k) % 12
			months[k] = time.Month(m + 1).String()[:3]
			x := float64(k) - 0.42 + float64(i)*width
			boxes = append(boxes, Box{x, x + 0.9*width, 0, hours[i][m]})
			top = max(top, hours[i][m])
			sum += hours[i][m]
		}
		l := sideStyles[i%len(sideStyles)]
		bars := Bars{Boxes: boxes, Color: l.color}
		p.Add(bars)
		c.Legend = append(c.Legend, LegendEntry{names[i], bars})
		say = append(say, fmt.Sprintf("%s: %s hours a year", names[i], grouped(sum, 0)))
	}
	p.X.Tick.Marker = months
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = -0.6, 11.6, 0, max(1.06*top, 1)
	p.X.Label.Text = "month"
	noTicks(p)
	c.Caption = "Hours of a mean year in which the house asks and gets nothing, by month; in each month the bars stand in the order of the key."
	c.Alt = strings.Join(say, "; ") + "."
	return c
}
