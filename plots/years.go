package plots

import (
	"fmt"
	"slices"

	"sunrill/sim/measure"
)

// Years is how many hours stayed dark in each of several years.
type Years struct {
	Names      []string // "2004–05"
	UnmetHours []int
	RainMM     []float64     // of the whole year; nil: not drawn
	RainScale  measure.Scale // zero: mm
}

// UnmetByYear draws a bar a year, below it the year's rain.
func UnmetByYear(v Years) Chart {
	n := len(v.Names)
	names := Names(shortNames(v.Names))
	dark := New("", "unmet hours")
	var bars []Box
	worst := 0
	for i, h := range v.UnmetHours {
		bars = append(bars, Box{float64(i) - 0.38, float64(i) + 0.38, 0, float64(h)})
		if h > v.UnmetHours[worst] {
			worst = i
		}
	}
	unmet := NewBars(Unmet, bars)
	dark.Add(unmet)
	dark.Y.Min, dark.Y.Max = 0, max(dark.Y.Max*1.06, 1)
	c := Chart{
		Name:    "unmet-by-year",
		Title:   "How the years of the record differ",
		Caption: "Each bar is one water year, named by the calendar years that it touches. Every year begins with the same charge in the bank, so that they can be compared.",
		Legend:  []LegendEntry{{"unmet", unmet}},
		Plot:    dark,
		Numbers: v.numbers(),
	}
	lowest := dark
	if v.RainMM != nil {
		scale := orUsual(v.RainScale, millimetres)
		rain := New("", "rain, "+scale.Unit)
		var fallen []Box
		for i, mm := range scale.All(v.RainMM) {
			fallen = append(fallen, Box{float64(i) - 0.38, float64(i) + 0.38, 0, mm})
		}
		water := Bars{Boxes: fallen, Color: Rain.Color()}
		rain.Add(water)
		rain.Y.Min = 0
		rain.Y.Tick.Marker = RoundTicks{Most: 3}
		c.Legend = append(c.Legend, LegendEntry{"rain", water})
		c.Draw = Stack([]float64{1.7, 1}, dark, rain)
		c.Height = 320
		dark.X.Tick.Marker = Names(nil)
		dark.X.Min, dark.X.Max, dark.X.Tick.Length = -0.6, float64(n)-0.4, 0
		lowest = rain
	}
	lowest.X.Tick.Marker = names
	lowest.X.Min, lowest.X.Max = -0.6, float64(n)-0.4
	lowest.X.Label.Text = "year"
	noTicks(lowest)
	if n > 0 {
		sorted := slices.Sorted(slices.Values(v.UnmetHours))
		c.Alt = fmt.Sprintf("Bars for %d years. The worst is %s with %s unmet hours, the best has %s, the middle one %s.", n, v.Names[worst],
			grouped(float64(v.UnmetHours[worst]), 0), grouped(float64(sorted[0]), 0), grouped(float64(sorted[(n-1)/2]), 0))
	}
	return c
}

// shortNames keeps every name while they have room, and every second, third …
// where there are many.
func shortNames(names []string) []string {
	const maximum = 7 // of the length of "2004–05" along the axis
	every := (len(names) + maximum - 1) / maximum
	out := make([]string, len(names))
	for i, s := range names {
		if i%max(every, 1) == 0 {
			out[i] = s
		}
	}
	return out
}
