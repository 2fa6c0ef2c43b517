package plots

import (
	"fmt"
	"math"
	"time"
)

// Charge is how full the bank is, hour by hour.
type Charge struct {
	Start                time.Time
	SoC                  []float64 // at the end of each hour, 0 to 1
	UnmetW               []float64 // an hour; nil: none
	UnmetThresholdW      float64   // above it an hour counts as unmet
	FloorSoC, ComfortSoC float64   // 0 to 1; 0: not drawn
}

// ChargeThroughYear draws the daily low, mean and high of the bank's charge,
// its floor and comfort lines, and the days with unmet hours.
func ChargeThroughYear(v Charge) Chart {
	percent := scaled(v.SoC, func(s float64) float64 { return 100 * s })
	low, mean, high := DailyBand(percent)
	days := len(mean)
	p := New("", "charge of the bank, %")
	YearAxis(p, v.Start, days)
	p.Y.Min, p.Y.Max = 0, 100

	band := Band{Low: low, High: high, Color: Bank.Tint(0.4), Steps: true}
	line := Line{Y: mean, Style: Bank.Solid(Medium)}
	p.Add(band, line)
	c := Chart{
		Name:   "charge",
		Title:  "How full the bank is through the year",
		Plot:   p,
		Legend: []LegendEntry{{"lowest to fullest of each day", band}, {"mean of the day", line}},
	}
	if v.ComfortSoC > 0 {
		r := Rule{At: 100 * v.ComfortSoC, Style: Limit.Solid(Fine)}
		r.Style.Dashes = dash(1.5, 2.5)
		p.Add(r)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("comfort, %.0f %%", 100*v.ComfortSoC), r})
	}
	if v.FloorSoC > 0 {
		r := Rule{At: 100 * v.FloorSoC, Style: Limit.Stroke(Medium)}
		p.Add(r)
		c.Legend = append(c.Legend, LegendEntry{fmt.Sprintf("floor, %.0f %%", 100*v.FloorSoC), r})
	}
	dark := darkDays(v.UnmetW, v.UnmetThresholdW)
	unmetDays := 0
	var rug []Box
	for _, d := range dark {
		unmetDays += int(d.X1 - d.X0)
		rug = append(rug, Box{d.X0, d.X1, 0, 4.5})
	}
	if len(rug) > 0 {
		b := Bars{Boxes: rug, Color: Unmet.Color()}
		p.Add(b)
		c.Legend = append(c.Legend, LegendEntry{"day with unmet hours", b})
	}
	lowest, when := math.Inf(1), 0
	for d, s := range low {
		if s < lowest {
			lowest, when = s, d
		}
	}
	c.Caption = "The band is tall where the bank empties by night and fills by day, and sinks where dull days follow one another. " +
		"At the floor the house is cut off, so that the bank is not ruined."
	if days > 0 {
		c.Alt = fmt.Sprintf("Daily band of the bank's charge over %d days. Lowest: %.0f %% on %s. Days with unmet hours: %d.",
			days, lowest, v.Start.AddDate(0, 0, when).Format("2 January 2006"), unmetDays)
	}
	return c
}

// darkDays returns the runs of days that have an unmet hour, as boxes along x.
func darkDays(unmetW []float64, thresholdW float64) []Box {
	var runs []Box
	for d := range len(unmetW) / 24 {
		dark := false
		for _, w := range unmetW[24*d : 24*d+24] {
			dark = dark || w > thresholdW
		}
		if !dark {
			continue
		}
		if n := len(runs); n > 0 && runs[n-1].X1 == float64(d) {
			runs[n-1].X1++
		} else {
			runs = append(runs, Box{X0: float64(d), X1: float64(d + 1)})
		}
	}
	return runs
}
