package report

import (
	"fmt"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// inBrackets explains what [reach] writes.
const inBrackets = "In brackets: where it comes out in 8 of 10 sets of as many years, drawn again from the same."

// reach is how far a figure of a few years reaches, " (64–210)"; nothing where it
// reaches nowhere.
func reach(r sim.Range) string {
	if !(r.Low < r.High) {
		return ""
	}
	return fmt.Sprintf(" (%s–%s)", measure.HoursNumber(r.Low), measure.HoursNumber(r.High))
}
