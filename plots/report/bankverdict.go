package report

import (
	"fmt"
	"strings"

	"sunrill/sim/measure"
	"sunrill/sim/sizing"
)

// bankVerdict says in a few sentences what the study means for the house.
func bankVerdict(r *sizing.Result) string {
	has := fmt.Sprintf("In four of five of the %d years your %s kWh bank leaves you short for up to %s, in the worst (%d) for %s",
		r.Years, short(r.PresentWh), measure.Hours(r.Present.UnmetP80)+reach(r.Present.P80Range), r.Present.WorstYear, measure.Hours(r.Present.UnmetWorst)+reach(r.Present.WorstRange))
	switch {
	case r.Years == 1 && r.PresentWh == 0:
		has = fmt.Sprintf("In the water year from %d you are short for %s without a bank", r.FirstYear, measure.Hours(r.Present.UnmetP80))
	case r.Years == 1:
		has = fmt.Sprintf("In the water year from %d your %s kWh bank leaves you short for %s", r.FirstYear, short(r.PresentWh), measure.Hours(r.Present.UnmetP80))
	case r.PresentWh == 0:
		has = fmt.Sprintf("Without a bank you are short for up to %s in four of five of the %d years, in the worst (%d) for %s",
			measure.Hours(r.Present.UnmetP80)+reach(r.Present.P80Range), r.Years, r.Present.WorstYear, measure.Hours(r.Present.UnmetWorst)+reach(r.Present.WorstRange))
	}
	if r.Present.UnmetWorst == 0 {
		in := fmt.Sprintf("the water year from %d", r.FirstYear)
		if r.Years > 1 {
			in = fmt.Sprintf("any of the %d years", r.Years)
		}
		has = fmt.Sprintf("Your %s kWh bank does not leave you short for an hour in %s", short(r.PresentWh), in)
		if r.PresentWh == 0 {
			has = "Even without a bank you are not short for an hour in " + in
		}
	}
	often := " a year"
	if r.Years > 1 {
		often = " in four years of five"
	}
	switch {
	case r.SizeWh != nil && *r.SizeWh == 0 && r.PresentWh == 0:
		return has + "."
	case r.SizeWh != nil && *r.SizeWh == 0 && r.Generator:
		return fmt.Sprintf("%s. The generator would keep it to %s%s without any bank: what a bank spares is its running and its fuel.", has, measure.Hours(r.TargetHours), often)
	case r.SizeWh != nil && *r.SizeWh == 0:
		return fmt.Sprintf("%s. Even no bank at all would keep it to %s%s.", has, measure.Hours(r.TargetHours), often)
	case r.SizeWh == nil && r.Present.UnmetP80 > 1.2*r.MinHours+1:
		return strings.TrimSpace(fmt.Sprintf("%s. No bank keeps it to %s%s: a bigger one gets down to %s at best. %s", has, measure.Hours(r.TargetHours), often, measure.Hours(r.MinHours), whyBank(r)))
	case r.SizeWh == nil:
		return strings.TrimSpace(fmt.Sprintf("%s. No bank of any size helps. %s", has, whyBank(r)))
	case *r.SizeWh <= r.PresentWh:
		return fmt.Sprintf("%s. %s kWh would do for %s%s.", has, short(*r.SizeWh), measure.Hours(r.TargetHours), often)
	}
	if r.Years == 1 {
		return fmt.Sprintf("%s. %s kWh bring that down to %s.", has, short(*r.SizeWh), measure.Hours(r.Size.UnmetWorst))
	}
	return fmt.Sprintf("%s. %s kWh bring that down to %s and, in the worst (%d), to %s.", has, short(*r.SizeWh),
		measure.Hours(r.Size.UnmetP80)+reach(r.Size.P80Range), r.Size.WorstYear, measure.Hours(r.Size.UnmetWorst)+reach(r.Size.WorstRange))
}

// whyBank says what leaves the house short whatever the bank, in hours of a mean
// year.
func whyBank(r *sizing.Result) string {
	text := why(r.Why)
	if text == "" || r.Years == 1 {
		return text
	}
	return text + " (Hours of a mean year, with a bank so big that more gains nothing.)"
}

// short writes an energy in Wh as a number of kWh with few digits.
func short(wh float64) string { return measure.Digits(wh/1000, 3) }
