package plots

import (
	"fmt"
	"image/color"
	"time"
)

// Hours is what was missing and what was left over, hour by hour.
type Hours struct {
	Start           time.Time
	UnmetW          []float64
	SurplusW        []float64 // dumped, held back or above the dump load's rating
	UnmetThresholdW float64
}

// HourMap draws a cell for each hour of the year: days across, hours up.
func HourMap(v Hours) Chart {
	days := len(v.UnmetW) / 24
	p := New("", "hour of the day")
	YearAxis(p, v.Start, days)
	p.Y.Min, p.Y.Max = 0, 24
	p.Y.Tick.Marker = HourTicks{}

	maxUnmet, maxSurplus := largest(v.UnmetW), largest(v.SurplusW)
	unmetHours, surplusHours := 0, 0
	for h, w := range v.UnmetW {
		if w > v.UnmetThresholdW {
			unmetHours++
		} else if v.SurplusW[h] > v.UnmetThresholdW {
			surplusHours++
		}
	}
	paint := func(day, hour int) color.NRGBA {
		h := 24*day + hour
		switch {
		case v.UnmetW[h] > v.UnmetThresholdW:
			return unmetShade(v.UnmetW[h] / maxUnmet)
		case v.SurplusW[h] > v.UnmetThresholdW:
			return surplusShade(v.SurplusW[h] / maxSurplus)
		}
		return white
	}
	p.Add(Heat{Columns: days, Rows: 24, Color: paint, X1: float64(days), Y1: 24})
	return Chart{
		Name:  "hour-map",
		Title: "When power is left over and when it is missing",
		Plot:  p,
		Legend: []LegendEntry{
			{fmt.Sprintf("unmet, up to %s W", grouped(maxUnmet, 0)), Swatch{unmetShade(0), unmetShade(0.5), unmetShade(1)}},
			{fmt.Sprintf("left over, up to %s W", grouped(maxSurplus, 0)), Swatch{surplusShade(0), surplusShade(0.5), surplusShade(1)}},
			{"neither", Swatch{white}},
		},
		Caption: "Each column is a day, midnight at its foot. Run the washing machine where it is light-coloured; " +
			"the dark marks are the hours to cut, to shift or to cover in another way.",
		Alt: fmt.Sprintf("Map of %d days by 24 hours. %s hours are unmet, %s hours have power left over.",
			days, grouped(float64(unmetHours), 0), grouped(float64(surplusHours), 0)),
	}
}

// The shades keep apart in greyscale: what is left over is light, what is
// missing dark. They come in eight steps, which keeps the picture small.
func unmetShade(fraction float64) color.NRGBA { return Unmet.Shade(0.6 + 0.35*eighths(fraction)) }

func surplusShade(fraction float64) color.NRGBA {
	return mix(Surplus.Tint(0.35+0.65*eighths(fraction)), black, 0.12*eighths(fraction))
}

func eighths(fraction float64) float64 { return float64(int(fraction*7+0.5)) / 7 }

func largest(vs []float64) float64 {
	maximum := 0.0
	for _, v := range vs {
		maximum = max(maximum, v)
	}
	return maximum
}
