package report

import (
	"fmt"

	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/scenario"
)

// winterVerdict says in a sentence or two what a dry winter does to the house.
func winterVerdict(r *scenario.Result) string {
	all := r.Find(scenario.NameSynthetic)
	if all == nil || r.Synthetic != nil && !r.Synthetic.Fits() {
		all = r.Find(scenario.NameRecord)
	}
	return howShort(r, all) + generatorText(all)
}

// generatorText says how long the generator runs, if there is one.
func generatorText(s *scenario.Scenario) string {
	alone := s.Without.GeneratorHours
	switch {
	case alone == 0:
		return ""
	case s.With == nil:
		return fmt.Sprintf(" The generator runs %s a year.", measure.Hours(alone))
	}
	return fmt.Sprintf(" The generator runs %s a year, without the creek %s.", measure.Hours(s.With.GeneratorHours), measure.Hours(alone))
}

// howShort says how short the house goes, with the creek where there is one: in
// the worst year on record and, by all the years of a scenario, in one year of
// five; then the same without the creek.
func howShort(r *scenario.Result, all *scenario.Scenario) string {
	record := r.Find(scenario.NameRecord)
	one := r.Record.Years == 1
	worst := fmt.Sprintf("the worst year on record (%s)", waterYear(r.Record.WorstYear))
	none := "In none of the years on record will you be short"
	switch {
	case one:
		worst = fmt.Sprintf("the one year that was run (%s)", waterYear(r.Record.WorstYear))
	case r.Record.Chosen:
		worst = fmt.Sprintf("the worst of the %d years that were run (%s)", r.Record.Years, waterYear(r.Record.WorstYear))
		none = fmt.Sprintf("In none of the %d years that were run are you short", r.Record.Years)
	}
	now, best := record.Best().UnmetWorst, all.Best().UnmetP80
	nowHours := measure.Hours(now) + brackets(record.Best().WorstRange)
	bestHours := func(or string) string {
		return measure.Hours(best) + or + brackets(all.Best().P80Range)
	}
	var v string
	switch {
	case now == 0 && best == 0:
		never := none
		if one {
			never = fmt.Sprintf("In %s you are not short", worst)
		}
		switch maximum := all.Best().UnmetWorst; {
		case all == record:
			v = never + "."
		case maximum == 0:
			v = fmt.Sprintf("%s, nor in any of the %s.", never, syntheticYears(all.Years))
		default:
			v = fmt.Sprintf("%s, nor in four of five of the %s; the worst of those leaves you short for %s%s.", never, syntheticYears(all.Years), measure.Hours(maximum), brackets(all.Best().WorstRange))
		}
	case all == record && one: // one in five of one year says no more
		v = fmt.Sprintf("In %s you are short for %s.", worst, measure.Hours(now))
	case best == 0:
		v = fmt.Sprintf("In %s you are short for %s, in four years of five for none.", worst, nowHours)
	default:
		v = fmt.Sprintf("In %s you are short for %s, in one year of five for %s.", worst, nowHours, bestHours(" or more"))
	}
	if all.With == nil {
		return v
	}
	alone, often := record.Without.UnmetWorst, all.Without.UnmetP80
	switch {
	case alone == now && often == best:
		return v + " That is with the creek at work; without it, it is the same."
	case all == record && one:
		return fmt.Sprintf("%s That is with the creek at work; without it, it would be %s.", v, measure.Hours(alone))
	}
	return fmt.Sprintf("%s That is with the creek at work; without it, the worst would be %s%s, and one year of five %s or more%s.", v,
		measure.Hours(alone), brackets(record.Without.WorstRange), measure.Hours(often), brackets(all.Without.P80Range))
}

// brackets returns how far a figure of few years reaches, " (64 to 210)".
func brackets(r sim.Range) string {
	if !(r.Low < r.High) {
		return ""
	}
	return fmt.Sprintf(" (%s to %s)", measure.HoursNumber(r.Low), measure.HoursNumber(r.High))
}

func syntheticYears(n int) string { return measure.Plural(n, "made-up year", "made-up years") }

// waterYear names the water year that starts in a calendar year: "2011–12".
func waterYear(start int) string { return fmt.Sprintf("%d–%02d", start, (start+1)%100) }
