package report

import (
	"fmt"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// inBrackets explains what [reach] writes.
const inBrackets = "In brackets: where it comes out in 8 of 10 sets of as many years, drawn again from the same."

// fewYears adds what few years make unsure.
func fewYears(n int) string {
	if n > 30 {
		return ""
	}
	return fmt.Sprintf(" %d years make neither a 1-in-5 year nor a worst one sure: a worse one can come.", n)
}

// yearsReach is how far a share of the years' unmet hours reaches, as [reach]
// writes it.
func yearsReach(years []sim.Summary, share float64) string {
	var hours []float64
	for _, s := range years {
		hours = append(hours, float64(s.UnmetHours))
	}
	return reach(sim.NewSpread(hours).AtRange(share, len(hours), sim.Middle))
}

// reach is how far a figure of a few years reaches, " (64–210)"; nothing where it
// reaches nowhere.
func reach(r sim.Range) string {
	if !(r.Low < r.High) {
		return ""
	}
	return fmt.Sprintf(" (%s–%s)", measure.HoursNumber(r.Low), measure.HoursNumber(r.High))
}
