package plots

import (
	"fmt"
	"math"
	"time"
)

// Metered is an owner's record laid beside the run, a value an hour.
type Metered struct {
	Start     time.Time
	What      Quantity  // Bank or a source
	Of        string    // of a source, whose: "the panels'"
	Name      string    // of a source, for the chart: "panels"
	Simulated []float64 // in W, or 0 to 1 for the bank
	Measured  []float64 // the same, NaN where nothing was recorded
}

// MeterBeside draws the simulated and the measured days over one another.
func MeterBeside(v Metered) Chart {
	unit, of, scale, name := "W, mean of the day", v.Of+" power", 1.0, "meter-"+v.Name
	if v.What == Bank {
		unit, of, scale, name = "charge, %, mean of the day", "the bank's charge", 100, "meter-charge"
	}
	simulated, measured := pairedDays(v.Simulated, v.Measured, scale)
	days := len(simulated)
	p := New("", unit)
	first, last := recorded(measured)
	run := Line{Y: simulated, Style: v.What.Solid(Medium)}
	seen := Points{Y: measured, Color: Measured.Color(), Radius: 2.2}
	p.Add(run, seen)
	YearAxis(p, v.Start, days)
	p.Y.Min = 0
	if v.What == Bank {
		p.Y.Max = 100
	} else {
		p.Y.Max *= 1.05
	}
	bias, off, n := 0.0, 0.0, 0
	for d := range measured {
		if !math.IsNaN(measured[d]) && !math.IsNaN(simulated[d]) {
			bias += simulated[d] - measured[d]
			off += math.Abs(simulated[d] - measured[d])
			n++
		}
	}
	c := Chart{
		Name:    name,
		Title:   "The meter beside the run: " + of,
		Plot:    p,
		Numbers: v.numbers(simulated, measured),
		Legend:  []LegendEntry{{"simulated", run}, {"measured", seen}},
		Caption: "Points that keep to one side of the line tell of a wrong figure in the site's description " +
			"(a loss, a head, a shadow); points on both sides are the weather that a model cannot know.",
		Alt: "No day has both a measured and a simulated value.",
	}
	if n > 0 {
		c.Alt = fmt.Sprintf("%d measured days from %s to %s. The run is %s on average and off by %.3g on an ordinary day (%s).", n,
			v.Start.AddDate(0, 0, first).Format("2 January 2006"), v.Start.AddDate(0, 0, last).Format("2 January 2006"),
			highOrLow(bias/float64(n)), off/float64(n), unit)
	}
	return c
}

// pairedDays returns daily means. A measured day counts if half of its hours
// were recorded; the simulated one is then the mean over the same hours.
func pairedDays(simulated, measured []float64, scale float64) (run, seen []float64) {
	for d := range len(simulated) / 24 {
		all, both, meter, n := 0.0, 0.0, 0.0, 0
		for h := 24 * d; h < 24*d+24; h++ {
			all += simulated[h]
			if h < len(measured) && !math.IsNaN(measured[h]) {
				both += simulated[h]
				meter += measured[h]
				n++
			}
		}
		if n >= 12 {
			run, seen = append(run, scale*both/float64(n)), append(seen, scale*meter/float64(n))
		} else {
			run, seen = append(run, scale*all/24), append(seen, math.NaN())
		}
	}
	return run, seen
}

func recorded(vs []float64) (first, last int) {
	first = -1
	for i, v := range vs {
		if !math.IsNaN(v) {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	return max(first, 0), last
}

func highOrLow(bias float64) string {
	if bias < 0 {
		return fmt.Sprintf("%.3g too low", -bias)
	}
	return fmt.Sprintf("%.3g too high", bias)
}
