package plots

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"
)

// HorizonLine is the hills around the site and the sun's way over them. Bearings
// are in degrees, clockwise from north.
type HorizonLine struct {
	BearingDeg, HeightDeg []float64 // of the hills, rising bearings; joined around the compass
	Paths                 []SunPath
	South                 bool // the site lies south of the equator: north stands in the middle
}

// SunPath is the sun's way on one day.
type SunPath struct {
	Name                  string    // short: "Jun", "May, Jul"
	BearingDeg, HeightDeg []float64 // in time's order, above the horizon
	Hour                  []float64 // of the day, standard time, one a point; nil: no marks
	Solstice              bool      // drawn bold
}

// HorizonAndSun draws the hills as filled land and the sun's paths above them.
func HorizonAndSun(v HorizonLine) Chart {
	p := New("bearing", "height of sun and hills, degrees")
	// Turn the compass so that the noon sun is in the middle.
	turn := func(deg float64) float64 {
		if v.South {
			return math.Mod(deg+180, 360)
		}
		return math.Mod(deg+360, 360)
	}
	p.X.Min, p.X.Max, p.Y.Min = 40, 320, 0
	names := []string{"N", "NE", "E", "SE", "S", "SW", "W", "NW"}
	var ticks []plot.Tick
	for i, n := range names {
		ticks = append(ticks, plot.Tick{Value: turn(45 * float64(i)), Label: n})
	}
	p.X.Tick.Marker = plot.ConstantTicks(ticks)

	x, horizon := v.around(turn)
	land := Band{X: x, Low: make([]float64, len(x)), High: horizon, Color: Land.Tint(0.75)}
	var top float64
	var labels Labels
	labels.OnPoint, labels.Backed = true, true
	var marks Points
	marks.Color, marks.Radius = Panels.Color(), 2.2
	var path Line
	for n, s := range v.Paths {
		path = Line{Y: s.HeightDeg, Style: Panels.Solid(Medium)}
		if s.Solstice {
			path.Style.Width = Bold
		}
		for _, b := range s.BearingDeg {
			path.X = append(path.X, turn(b))
		}
		p.Add(path)
		peak := 0
		for i, h := range s.HeightDeg {
			if h > s.HeightDeg[peak] {
				peak = i
			}
			if s.Hour != nil && i > 0 && math.Floor(s.Hour[i]) != math.Floor(s.Hour[i-1]) {
				marks.X, marks.Y = append(marks.X, path.X[i]), append(marks.Y, h)
			}
		}
		if len(s.HeightDeg) > 0 {
			top = max(top, s.HeightDeg[peak])
			// The names stand on their own paths, by turns at noon and beside it,
			// since paths of neighbouring months lie close.
			at := len(path.X) * []int{50, 27, 73}[n%3] / 100
			labels.X, labels.Y = append(labels.X, path.X[at]), append(labels.Y, s.HeightDeg[at])
			labels.Text = append(labels.Text, s.Name)
		}
	}
	p.Add(marks, land, labels)
	p.Y.Max = min(90, max(top, largest(horizon))+9)
	p.X.Min, p.X.Max = 40, 320
	c := Chart{
		Name:    "skyline",
		Title:   "Which hours of sun the hills take",
		Plot:    p,
		Numbers: v.numbers(),
		Legend:  []LegendEntry{{"hills", land}, {"the sun's path", Line{Style: draw.LineStyle{Color: path.Style.Color, Width: Medium}}}},
		Caption: "Where a path runs behind the hills, the sun is hidden. The thick paths are the longest and the shortest day" +
			"; look along the bearing with a compass and a level to check the hills.",
		Alt: fmt.Sprintf("The hills, up to %.0f degrees high, and the sun's paths of %d days.", largest(horizon), len(v.Paths)),
	}
	if len(marks.X) > 0 {
		c.Legend = append(c.Legend, LegendEntry{"full hours, standard time", marks})
	}
	return c
}

// around returns the hills from 0 to 360 along the turned axis, rising, joined
// at the ends.
func (v HorizonLine) around(turn func(float64) float64) (x, h []float64) {
	if len(v.BearingDeg) == 0 {
		return []float64{0, 360}, []float64{0, 0}
	}
	at := func(deg float64) float64 { return interpolateAround(v.BearingDeg, v.HeightDeg, deg) }
	for d := 0.0; d <= 360; d++ {
		deg := d
		if v.South {
			deg = math.Mod(d+180, 360)
		}
		x, h = append(x, d), append(h, max(0, at(deg)))
	}
	return x, h
}

// interpolateAround reads a line that is closed around the compass.
func interpolateAround(bearing, height []float64, deg float64) float64 {
	n := len(bearing)
	for i := range n {
		j := (i + 1) % n
		a, b := bearing[i], bearing[j]
		if b <= a {
			b += 360
		}
		for _, d := range []float64{deg, deg + 360} {
			if d >= a && d <= b {
				if b == a {
					return height[i]
				}
				return height[i] + (height[j]-height[i])*(d-a)/(b-a)
			}
		}
	}
	return height[0]
}
