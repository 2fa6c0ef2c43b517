package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

const (
	enoughReadings = 20  // from which fits to a known creek recover low flows well
	widestWeek     = 7   // days
	narrowFlows    = 4.0 // greatest over least reading that says little
	goodScore      = 0.8 // NSE of logarithms on readings held out
	fairScore      = 0.5
)

var seasons = map[stream.Season]string{stream.Winter: "winter", stream.Spring: "spring", stream.Summer: "summer", stream.Autumn: "autumn"}

// FitVerdict says in plain sentences what a fit of the creek is worth, the worst
// first.
func FitVerdict(f *stream.Fitted, u measure.System) []string {
	n := len(f.Used)
	first, last := f.Used[0].Date, f.Used[n-1].Date
	days := int(last.Sub(first).Hours()/24+0.5) + 1
	var unseen []string
	for _, s := range f.UnseenSeasons() {
		unseen = append(unseen, seasons[s])
	}
	var v []string
	say := func(format string, args ...any) { v = append(v, fmt.Sprintf(format, args...)) }

	for _, s := range f.Suspects {
		say("The reading of %s (%s) contradicts the others, which say %s. The likeliest slip: %s. It is left out until %s has it right: look at your notes.",
			s.Gauging.Date.Format("2 January 2006"), u.Flow(s.Gauging.FlowM3S), u.Flow(s.ModelM3S), slipText(s, u), inFile(s.Gauging.Line))
	}
	for _, s := range f.Unsure() {
		say("The reading of %s (%s) contradicts the others, which say %s, and no usual slip explains it. It is used, with little weight: look at %s, or measure again in such weather.",
			s.Gauging.Date.Format("2 January 2006"), u.Flow(s.Gauging.FlowM3S), u.Flow(s.ModelM3S), inFile(s.Gauging.Line))
	}
	switch {
	case days <= widestWeek:
		say("%d readings, all from one week (%s to %s): this says nothing about %s.",
			n, first.Format("2 January"), last.Format("2 January 2006"), oneOf(unseen))
	case len(unseen) > 0:
		say("%d readings over %d days, none from %s: the creek of those months is a guess.", n, days, oneOf(unseen))
	}
	if n < enoughReadings {
		say("%d readings are few for %d parameters: %d and more, spread over wet and dry weeks, make low flows sure.",
			n, len(f.Parameters), enoughReadings)
	}
	minimum, maximum := math.Inf(1), 0.0
	for _, g := range f.Used {
		minimum, maximum = math.Min(minimum, g.FlowM3S), math.Max(maximum, g.FlowM3S)
	}
	if minimum > 0 && maximum/minimum < narrowFlows {
		say("The greatest reading is only %.1f times the least: go out after a storm and in a dry spell.", maximum/minimum)
	}
	if f.LowM3S < minimum/2 {
		say("One day in twenty comes out below %s, less than half of the least reading: measure in the driest weeks.", u.Flow(f.LowM3S))
	}
	if !slices.ContainsFunc(f.Used, func(g stream.Gauging) bool { return g.Method != "float" }) {
		say("All readings are by float, good to 20 %%: a bucket or a weir would tell more.")
	}

	h := f.HeldOut
	test := fmt.Sprintf("On readings that it had not seen, each of the %d left out in turn", h.N)
	if len(unseen) > 0 {
		test += " and from the same seasons as the others"
	}
	switch {
	case h.N == 0:
		say("Readings from fewer than five weeks leave none to spare for a test: nobody knows how good this is on other days.")
	case math.IsNaN(h.NSELog):
		say("The %d readings are all alike: they are no test.", h.N)
	case h.NSELog >= goodScore:
		say("%s, it is good, %.2f of 1 (NSE of logarithms).", test, h.NSELog)
	case h.NSELog >= fairScore:
		say("%s, it is fair, %.2f of 1 (NSE of logarithms): plan with a margin.", test, h.NSELog)
	default:
		say("%s, it is poor, %.2f of 1 (NSE of logarithms): do not plan by it.", test, h.NSELog)
	}
	return v
}

func inFile(line int) string {
	if line == 0 {
		return "gaugings.csv"
	}
	return fmt.Sprintf("line %d of gaugings.csv", line)
}

// FitChoice says which of two models of the creek was taken and why.
func FitChoice(c *stream.Choice) string {
	switch {
	case math.IsNaN(c.Lead):
		return "Two models were tried, the curve and the catchment model. The readings are from too few weeks to test one against the other, so it is the catchment model: on gauged rivers it is right more often."
	case c.Best.Kind == stream.CurveKind:
		return fmt.Sprintf("Two models were tried on readings left out in turn. The curve is clearly better there (%.2f, the catchment model %.2f; 1 is perfect), so it is taken.", c.Curve, c.Catchment)
	case c.Lead > 0 && c.Curve > c.Catchment:
		return fmt.Sprintf("Two models were tried on readings left out in turn. The curve is a little better there (%.2f, the catchment model %.2f; 1 is perfect), but not clearly, so it is the catchment model: on gauged rivers it is right more often.", c.Curve, c.Catchment)
	case c.Lead > 0 || c.Curve > c.Catchment:
		return fmt.Sprintf("Two models were tried on readings left out in turn, and neither is clearly better (curve %.2f, catchment model %.2f; 1 is perfect), so it is the catchment model: on gauged rivers it is right more often.", c.Curve, c.Catchment)
	}
	return fmt.Sprintf("Two models were tried on readings left out in turn. The catchment model is taken: it tells more there (%.2f, the curve %.2f; 1 is perfect).", c.Catchment, c.Curve)
}

// RunoffText says in one sentence what runs off a catchment of an area.
func RunoffText(r stream.Runoff, areaM2 float64, u measure.System) string {
	area := u.Land(areaM2)
	if !r.Impossible() {
		return fmt.Sprintf("Of the rain on the catchment of %s, %.0f %% runs off by the creek.", area, 100*r.Fraction)
	}
	fraction := fmt.Sprintf("%.2g %% of", 100*r.Fraction)
	if r.Fraction > 1 {
		fraction = fmt.Sprintf("%.2g times", r.Fraction)
	}
	return fmt.Sprintf("This cannot be: the readings make the creek carry off %s the rain that falls on its %s, and it is 20 to 70 %% of it elsewhere. Look for: %s.",
		fraction, area, strings.Join(r.Slips, "; "))
}

// slipText says what the slip would be, with what the reading would have been.
func slipText(s stream.Suspect, u measure.System) string {
	var texts []string
	for _, slip := range append([]stream.Slip{*s.Slip}, s.Or...) {
		is := u.Flow(slip.Gauging.FlowM3S)
		if !slip.Gauging.Date.Equal(s.Gauging.Date) {
			is = slip.Gauging.Date.Format("2 January 2006")
		}
		texts = append(texts, slip.What+", "+is)
	}
	return strings.Join(texts, "; or ")
}

// oneOf writes "spring, summer or autumn".
func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
