package plots

import (
	"fmt"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Spread is unmet hours in the median year, in 1 year of 5, in 1 of 20 and in
// the worst.
type Spread struct{ P50, P80, P95, Worst float64 }

// WinterRow is one scenario of a dry winter.
type WinterRow struct {
	Name    string
	Without Spread
	With    *Spread // nil: no hydro
}

// DryWinters draws the spread of unmet hours for each scenario, with and
// without hydro. without names what is left without it: "panels alone".
func DryWinters(rows []WinterRow, without string) Chart {
	p := New("unmet hours a year", "")
	names := make(Names, len(rows))
	hydro := false
	maximum := 1.0
	for i, r := range rows {
		names[len(rows)-1-i] = r.Name
		maximum = max(maximum, r.Without.Worst)
		if r.With != nil {
			hydro = true
			maximum = max(maximum, r.With.Worst)
		}
	}
	p.X.Min, p.X.Max = 0, maximum*1.04
	p.Y.Min, p.Y.Max = -0.6, float64(len(rows))-0.4
	p.Y.Tick.Marker = names
	p.Y.Tick.Length = 0

	alone := spreadMarks{of: Panels, shape: draw.BoxGlyph{}}
	with := spreadMarks{of: Hydro, shape: draw.CircleGlyph{}}
	for i, r := range rows {
		at := float64(len(rows) - 1 - i)
		up := 0.0
		if hydro {
			up = 0.17
		}
		alone.add(at+up, r.Without)
		if r.With != nil {
			with.add(at-up, *r.With)
		}
	}
	p.Add(alone)
	c := Chart{
		Name:   "drywinter-spread",
		Title:  "How many hours in the dark, by the winter's rain",
		Plot:   p,
		Height: 60 + 27*vg.Length(len(rows)),
		Legend: []LegendEntry{{without, alone}},
	}
	if hydro {
		p.Add(with)
		c.Legend = append(c.Legend, LegendEntry{"with the creek", with})
	}
	c.Caption = "The thick bar runs from the median year to 1 year in 5, with a mark at each end; the thin line goes on to 1 year in 20 and, past its tick, to the worst. Less rain is a brighter year for panels and a leaner one for the creek."
	if !hydro {
		c.Caption = "The thick bar runs from the median year to 1 year in 5, with a mark at each end; the thin line goes on to 1 year in 20 and, past its tick, to the worst. Less rain is a brighter year."
	}
	c.Alt = "Unmet hours in 1 year of 5:"
	for i, r := range rows {
		if i > 0 {
			c.Alt += ";"
		}
		c.Alt += fmt.Sprintf(" %s, %.0f on %s", r.Name, r.Without.P80, without)
		if r.With != nil {
			c.Alt += fmt.Sprintf(" and %.0f with the creek", r.With.P80)
		}
	}
	c.Alt += "."
	return c
}

// ChargeFan is the lowest charge of each week over many years.
type ChargeFan struct {
	Start                   time.Time
	Median, OneIn5, OneIn20 []float64 // SoC, 0 to 1, a value a week
	FloorSoC                float64
	Of                      string // written above the drawing where there are two
}

// ChargeFans draws one fan, or two one above the other.
func ChargeFans(years int, fans ...ChargeFan) Chart {
	c := Chart{
		Name:    "drywinter-charge",
		Numbers: fanNumbers(fans),
		Title:   fmt.Sprintf("How low the bank gets in %s made-up years", grouped(float64(years), 0)),
		Height:  40 + 190*vg.Length(len(fans)),
		Caption: "The lowest charge of each week. In half of the years it stays above the line, in 1 year of 5 it falls below the darker band, in 1 of 20 below the lighter one. " +
			"At the floor the house is in the dark.",
	}
	var ps []*plot.Plot
	fractions := make([]float64, len(fans))
	for i, f := range fans {
		p := New("", "lowest charge, %")
		const week, days = 7, 365
		var x []float64
		for w := range f.Median {
			x = append(x, week*(float64(w)+0.5))
		}
		YearAxis(p, f.Start, days)
		p.X.Label.Text = "month"
		if i < len(fans)-1 {
			p.X.Tick.Marker = MonthTicks{Start: f.Start, Days: days, Silent: true}
			p.X.Label.Text = ""
		}
		p.Y.Min, p.Y.Max = 0, 100
		pct := func(v []float64) []float64 { return scaled(v, func(s float64) float64 { return 100 * s }) }
		median, p20, p5 := pct(f.Median), pct(f.OneIn5), pct(f.OneIn20)
		wide := Band{X: x, Low: p5, High: p20, Color: Bank.Tint(0.3)}
		near := Band{X: x, Low: p20, High: median, Color: Bank.Tint(0.65)}
		line := Line{X: x, Y: median, Style: Bank.Solid(Bold)}
		line.Style.Color = Bank.Shade(0.85)
		floor := Rule{At: 100 * f.FloorSoC, Style: Limit.Stroke(Medium)}
		p.Add(wide, near, line, floor)
		if f.Of != "" {
			p.Add(Labels{X: []float64{0}, Y: []float64{8}, Text: []string{f.Of}, Backed: true})
		}
		if i == 0 {
			c.Legend = []LegendEntry{{"median", line}, {"to 1 year in 5", near}, {"to 1 in 20", wide}, {"floor", floor}}
		}
		ps, fractions[i] = append(ps, p), 1
		low, when := 1.0, 0
		for w, s := range f.OneIn5 {
			if s < low {
				low, when = s, week*w
			}
		}
		if i > 0 {
			c.Alt += " "
		}
		if f.Of != "" {
			c.Alt += f.Of + ": "
		}
		c.Alt += fmt.Sprintf("the 1-in-5 charge is lowest, %.0f %%, in the week from %s.", 100*low, f.Start.AddDate(0, 0, when).Format("2 January"))
	}
	c.Draw = Stack(fractions, ps...)
	return c
}
