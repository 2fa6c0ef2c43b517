package stream

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	enoughReadings = 20  // from which the known-truth tests of this package recover low flows well
	widestWeek     = 7   // days
	narrowFlows    = 4.0 // greatest over least reading that says little
	goodScore      = 0.8 // NSE of logarithms on readings held out
	fairScore      = 0.5
)

// Verdict says in plain sentences what the fit is worth, the worst first. write
// writes a flow in m³/s with its unit; nil writes L/s.
func (f *Fitted) Verdict(write func(m3S float64) string) []string {
	if write == nil {
		write = func(m3S float64) string { return fmt.Sprintf("%.2g L/s", 1000*m3S) }
	}
	n := len(f.Used)
	first, last := f.Used[0].Date, f.Used[n-1].Date
	days := dayNumber(last) - dayNumber(first) + 1
	unseen := unseenSeasons(f.Used, f.southern)
	var v []string
	say := func(format string, args ...any) { v = append(v, fmt.Sprintf(format, args...)) }

	for _, s := range f.Suspects {
		say("The reading of %s (%s) contradicts the others, which say %s. The likeliest slip: %s. It is left out until %s has it right: look at your notes.",
			s.Gauging.Date.Format("2 January 2006"), write(s.Gauging.FlowM3S), write(s.ModelM3S), s.Says(write), inFile(s.Gauging.Line))
	}
	for _, s := range f.unsure {
		say("The reading of %s (%s) contradicts the others, which say %s, and no usual slip explains it. It is used, with little weight: look at %s, or measure again in such weather.",
			s.Gauging.Date.Format("2 January 2006"), write(s.Gauging.FlowM3S), write(s.ModelM3S), inFile(s.Gauging.Line))
	}
	switch {
	case days <= widestWeek:
		say("%d readings, all from one week (%s to %s): this says nothing about %s.",
			n, first.Format("2 January"), last.Format("2 January 2006"), list(unseen))
	case len(unseen) > 0:
		say("%d readings over %d days, none from %s: the creek of those months is a guess.", n, days, list(unseen))
	}
	if n < enoughReadings {
		say("%d readings are few for %d parameters: %d and more, spread over wet and dry weeks, make low flows sure.",
			n, len(f.Parameters), enoughReadings)
	}
	least, most := math.Inf(1), 0.0
	for _, g := range f.Used {
		least, most = math.Min(least, g.FlowM3S), math.Max(most, g.FlowM3S)
	}
	if least > 0 && most/least < narrowFlows {
		say("The greatest reading is only %.1f times the least: go out after a storm and in a dry spell.", most/least)
	}
	if f.lowM3S < least/2 {
		say("One day in twenty comes out below %s, less than half of the least reading: measure in the driest weeks.", write(f.lowM3S))
	}
	if !slices.ContainsFunc(f.Used, func(g Gauging) bool { return g.Method != "float" }) {
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

// unseenSeasons returns the seasons without a reading, from winter on.
func unseenSeasons(gs []Gauging, south bool) []string {
	names := [...]string{"winter", "spring", "summer", "autumn"}
	var seen [4]bool
	for _, g := range gs {
		season := int(g.Date.Month()) % 12 / 3 // December to February first
		if south {
			season = (season + 2) % 4
		}
		seen[season] = true
	}
	var unseen []string
	for i, name := range names {
		if !seen[i] {
			unseen = append(unseen, name)
		}
	}
	return unseen
}

func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
