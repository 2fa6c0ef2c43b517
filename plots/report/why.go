package report

import (
	"fmt"
	"strings"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// limitWords says of each limit what is short, what it was lifted to, and what to
// do about it.
var limitWords = map[sim.Limit]struct{ short, lifted, cure string }{
	sim.InverterLimit: {"the inverter carries too little at once", "with an inverter without limit", "spread the loads over the day or fit a bigger inverter"},
	sim.ColdLimit:     {"cold cells give less and take little or no charge", "with the cells kept warm", "bring the bank into a warm place"},
	sim.RateLimit:     {"the bank takes or gives too little in an hour", "with a bank that takes and gives any power", "a stronger charger or cells that bear more current help"},
	sim.SizeLimit:     {"the bank holds too little", fmt.Sprintf("with %d times the bank", sim.LiftedSize), "a bigger bank helps"},
	sim.SourceLimit:   {"the sources give too little over weeks", "with twice of what the sources give", "more panels or more water help"},
}

// why says what leaves the house dark and what was tried to know it, the first
// cause first; "" where nothing is known.
func why(d *sim.Diagnosis) string {
	if d == nil || d.UnmetHours <= 0 {
		return ""
	}
	if len(d.Causes) == 0 {
		var tried []string
		for _, a := range d.Alone {
			tried = append(tried, limitWords[a.Limit].lifted)
		}
		return fmt.Sprintf("No one cause was found: %s, it stays at %s or nearly so.", strings.Join(tried, ", or "), measure.Hours(d.UnmetHours))
	}
	var b strings.Builder
	for i, c := range d.Causes {
		w := limitWords[c.Limit]
		left := measure.HoursNumber(c.UnmetHours)
		if left == "0" {
			left = "none"
		}
		if i == 0 {
			fmt.Fprintf(&b, "The cause, by trying: %s. %s %s of the %s dark hours would be left: %s.", w.short, capital(w.lifted), left, measure.HoursNumber(d.UnmetHours), w.cure)
			continue
		}
		fmt.Fprintf(&b, " %s besides, %s: %s.", capital(w.lifted), left, w.cure)
	}
	return b.String()
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
