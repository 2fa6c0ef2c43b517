package report

import (
	"fmt"
	"strings"

	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/plans"
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

// badYears writes the hours of one year of five and of the worst, each with how
// far it reaches: "95 hours (56–109) in one year of five, 120 hours (95–120) in the
// worst". Under draws the worst is that of all of them.
func badYears(p80, worst string, a plans.Again, years, draws int) string {
	if draws > 1 {
		return fmt.Sprintf("%s%s in one year of five, %s in the worst under any draw%s", p80, reach(a.P80), worst, worstOf(a, years))
	}
	return fmt.Sprintf("%s%s in one year of five, %s%s in the worst", p80, reach(a.P80), worst, reach(a.Worst))
}

// worstOf says where the worst of as many years as were run comes out.
func worstOf(a plans.Again, years int) string {
	if !(a.Worst.Low < a.Worst.High) {
		return ""
	}
	return fmt.Sprintf(" (the worst of %d years%s)", years, strings.TrimSuffix(strings.Replace(reach(a.Worst), " (", ": ", 1), ")"))
}

// yearsReach is how far a share of the years' unmet hours reaches, as [reach]
// writes it.
func yearsReach(years []sim.Summary, fraction float64) string {
	var hours []float64
	for _, s := range years {
		hours = append(hours, float64(s.UnmetHours))
	}
	return reach(sim.NewSpread(hours).AtRange(fraction, len(hours), sim.Middle))
}

// reach is how far a figure of a few years reaches, " (64–210)"; nothing where it
// reaches nowhere.
func reach(r sim.Range) string {
	if !(r.Low < r.High) {
		return ""
	}
	return fmt.Sprintf(" (%s–%s)", measure.HoursNumber(r.Low), measure.HoursNumber(r.High))
}
