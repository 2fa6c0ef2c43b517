package plots

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// Spell is a time in which a bank that is never too small would not be full.
type Spell struct {
	StartHour, Hours int
	DepthWh          float64 // how far below full it would fall
	UnmetWh          float64
}

// Spells are the deficit spells of a year.
type Spells struct {
	Start    time.Time
	Days     int
	From     string // what the sources live on: "sun and creek"
	Spells   []Spell
	UsableWh float64 // what the bank gives between full and its floor; 0: not drawn
}

// DeficitSpells draws each spell as a block: as wide as it lasts, as high as it
// is deep.
func DeficitSpells(v Spells) Chart {
	p := New("", "below full, kWh")
	YearAxis(p, v.Start, v.Days)
	p.Y.Min = 0
	var carried, failed []Box
	var deepest, longest Spell
	for _, s := range v.Spells {
		at := float64(s.StartHour) / 24
		b := Box{at, at + max(float64(s.Hours)/24, 0.5), 0, s.DepthWh / 1000}
		if s.UnmetWh > 0 {
			failed = append(failed, b)
		} else {
			carried = append(carried, b)
		}
		if s.DepthWh > deepest.DepthWh {
			deepest = s
		}
		if s.Hours > longest.Hours {
			longest = s
		}
	}
	ok := Bars{Boxes: carried, Color: Bank.Color()}
	bad := NewBars(Unmet, failed)
	p.Add(ok, bad)
	c := Chart{
		Name:   "deficit-spells",
		Title:  "How deep and how long " + v.From + " fall short",
		Plot:   p,
		Legend: []LegendEntry{{"carried by the bank: " + timesText(len(carried)), ok}},
	}
	if len(failed) > 0 {
		c.Legend = append(c.Legend, LegendEntry{"with unmet hours: " + timesText(len(failed)), bad})
	}
	p.Y.Max = max(deepest.DepthWh, v.UsableWh)/1000*1.13 + 1e-9
	if v.UsableWh > 0 {
		r := Rule{At: v.UsableWh / 1000, Style: Limit.Stroke(Medium)}
		p.Add(r)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("the bank, full to floor: %s kWh", short(v.UsableWh/1000)), r})
	}
	p.Add(deepestWords(v.Spells, float64(v.Days)))
	c.Caption = "A block begins when a bank that is never too small would start to fall and ends when it would be full again. Thin low blocks are ordinary nights. " +
		"A block that reaches above the dashed line is more than the bank can carry."
	c.Alt = fmt.Sprintf("%d spells, %d with unmet hours. The deepest is %s kWh, from %s; the longest lasts %d hours.", len(v.Spells), len(failed),
		short(deepest.DepthWh/1000), v.Start.Add(time.Duration(deepest.StartHour)*time.Hour).Format("2 January 2006"), longest.Hours)
	return c
}

// deepestWords writes depth and length on the three deepest spells, as far as
// the words do not run into one another.
func deepestWords(spells []Spell, days float64) Labels {
	byDepth := slices.Clone(spells)
	slices.SortStableFunc(byDepth, func(a, b Spell) int { return cmp.Compare(b.DepthWh, a.DepthWh) })
	w := Labels{Centred: true, Backed: true}
	for _, s := range byDepth[:min(3, len(byDepth))] {
		if s.DepthWh < 0.1*byDepth[0].DepthWh {
			break
		}
		at := (float64(s.StartHour) + float64(s.Hours)/2) / 24
		at = min(max(at, 0.12*days), 0.88*days)
		if slices.ContainsFunc(w.X, func(x float64) bool { return math.Abs(x-at) < 0.24*days }) {
			continue
		}
		long := fmt.Sprintf("%d h", s.Hours)
		if s.Hours >= 72 {
			long = fmt.Sprintf("%d days", s.Hours/24)
		}
		w.X, w.Y, w.Text = append(w.X, at), append(w.Y, s.DepthWh/1000), append(w.Text, short(s.DepthWh/1000)+" kWh, "+long)
	}
	return w
}

// short prints a number with as many digits as a person wants to read: one
// decimal below 10, none above 100.
func short(v float64) string {
	if v < 100 && v != float64(int(v)) {
		return grouped(v, 1)
	}
	return grouped(v, 0)
}

func timesText(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}
