package plots

import (
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
)

// Gain is what one change does to the dark hours of a mean year.
type Gain struct {
	Name          string
	Before, After float64 // dark hours of a mean year
}

// HoursSaved draws a level bar for each change: the dark hours that it saves
// and, behind, those that it leaves.
func HoursSaved(gains []Gain) Chart {
	n := len(gains)
	p := New("dark hours in a mean year", "")
	names := make(Names, n)
	var saved, left []Box
	right := 0.0
	var say []string
	for i, g := range gains {
		row := float64(n - 1 - i)
		names[n-1-i] = cutName(g.Name, 44)
		left = append(left, Box{0, g.After, row - 0.3, row + 0.3})
		saved = append(saved, Box{g.After, g.Before, row - 0.3, row + 0.3})
		right = max(right, g.Before, g.After)
		say = append(say, fmt.Sprintf("%s: %s, from %s", g.Name, grouped(g.After, 0), grouped(g.Before, 0)))
	}
	p.Y.Tick.Marker = names
	p.Y.Tick.Length = 0
	p.X.Tick.Marker = RoundTicks{Most: 5}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1.05*max(right, 1), -0.6, float64(n)-0.4
	c := Chart{Name: "hours-saved", Title: "What would help: dark hours with one change made", Plot: p, Height: 90 + 24*vg.Length(n)}
	dark, gone := NewBars(Unmet, left), Bars{Boxes: saved, Color: Unmet.Tint(0.25), Outline: Unmet.Solid(Fine)}
	p.Add(gone, dark)
	c.Legend = []LegendEntry{{"still dark", dark}, {"saved", gone}}
	c.Caption = "Each bar is as long as a mean year is dark today; the pale part is what the change saves. Each change was run by itself over all years: two of them together save less than their sum."
	c.Alt = "Dark hours in a mean year. " + strings.Join(say, "; ") + "."
	return c
}

// cutName keeps so many letters of a name.
func cutName(name string, maximum int) string {
	if letters := []rune(name); len(letters) > maximum {
		return string(letters[:maximum-1]) + "…"
	}
	return name
}
