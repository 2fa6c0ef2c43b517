package report

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// money writes a sum with three digits, and no cents from ten on.
func (v Worth) money(sum float64) string {
	if math.Abs(sum) >= 10 {
		sum = math.Round(sum)
	}
	return measure.Digits(sum, 3) + " " + v.Result.Currency
}

// sum writes a sum of 1 or more in whole coins: "1,630 EUR".
func (v Worth) sum(sum float64) string {
	return measure.Digits(math.Round(sum), 3) + " " + v.Result.Currency
}

// grown judges hydro as described against what stands today with one thing grown
// at a time, for the light that hydro leaves.
func (v Worth) grown() string {
	r := v.Result
	hydro, now, best := r.Alternative(worth.WithHydro), r.Alternative(worth.WithoutHydro), r.Rival()
	hours := measure.HoursNumber

	light := fmt.Sprintf("it cuts the unmet hours of a mean year from %s to %s", hours(now.UnmetMean), hours(hydro.UnmetMean))
	if hours(now.UnmetMean) == hours(hydro.UnmetMean) {
		light = fmt.Sprintf("it leaves the unmet hours of a mean year at %s", hours(now.UnmetMean))
	}
	if saved := now.FuelL - hydro.FuelL; r.Stands && saved > 0 {
		light += fmt.Sprintf(" and saves %s of fuel", v.System.Volume(saved/1000))
	}
	var verdict string
	if hydro.CostAYear == nil {
		verdict = "No prices are given, so only the light can be compared: hydro" + strings.TrimPrefix(light, "it") + "; " + v.others() + "."
	} else {
		price := v.extra(hydro)
		switch {
		case best == nil:
			verdict = fmt.Sprintf("Hydro is worth it: %s, %s, and no other way that was tried does as well.", light, price)
		case *hydro.CostAYear <= *best.CostAYear:
			just := ""
			if v.close(hydro, best) {
				just = ", but only just"
			}
			verdict = fmt.Sprintf("Hydro is worth it%s: %s, %s; the cheapest other way to that, %s, %s.", just, light, price, v.describe(best), v.extra(best))
		case best == now:
			verdict = fmt.Sprintf("Hydro is not worth it: %s, %s.", light, price)
		default:
			just := ""
			if v.close(hydro, best) {
				just = " quite"
			}
			verdict = fmt.Sprintf("Hydro is not%s the cheapest way: %s, %s; %s does as well and %s.", just, light, price, v.describe(best), v.extra(best))
		}
	}
	if wanting := r.Wanting(); len(wanting) > 0 {
		verdict = fmt.Sprintf("This is no verdict on money yet, for a price is not given (%s). On the prices that are: %s",
			strings.Join(namesIn(v.System, wanting), "; "), verdict)
	}
	return verdict
}

// close reports whether two ways cost so nearly the same beyond today's that
// the models cannot tell them apart.
func (v Worth) close(a, b *worth.Alternative) bool {
	const near = 0.1
	now := *v.Result.Alternative(worth.WithoutHydro).CostAYear
	x, y := *a.CostAYear-now, *b.CostAYear-now
	return math.Abs(x-y) <= near*math.Max(math.Abs(x), math.Abs(y))
}

// extra says what a way costs beyond today's.
func (v Worth) extra(w *worth.Alternative) string {
	sum := *w.CostAYear - *v.Result.Alternative(worth.WithoutHydro).CostAYear
	than := "more"
	if sum < 0 {
		sum, than = -sum, "less"
	}
	if w.Name == worth.WithHydro {
		return fmt.Sprintf("for %s a year %s than today", v.money(sum), than)
	}
	return fmt.Sprintf("costs %s a year %s than today", v.money(sum), than)
}

// hangs says what the verdict hangs on.
func (v Worth) hangs() []string {
	r := v.Result
	hydro, now := r.Alternative(worth.WithHydro), r.Alternative(worth.WithoutHydro)
	var said []string
	say := func(format string, a ...any) { said = append(said, fmt.Sprintf(format, a...)) }
	hours := measure.HoursNumber

	switch n := len(r.Years); {
	case n == 1:
		say("This is one year of record only: others can turn the verdict.")
	case now.UnmetWorst == 0:
		say("None of the %d years of record leaves an unmet hour, with hydro or without.", n)
	default:
		say("Even with hydro the worst of the %d years of record leaves %s unmet hours; without it the worst leaves %s.", n, hours(hydro.UnmetWorst), hours(now.UnmetWorst))
	}
	if m := r.Synthetic; m != nil {
		if m.WithoutP95 == 0 {
			say("Of %d made-up years, no more than one in twenty leaves unmet hours even without hydro.", m.Years)
		} else {
			say("Of %d made-up years hydro halves the unmet hours, or better, in %d; one year in five leaves more than %s unmet hours with it and more than %s without.",
				m.Years, m.HelpedInYears, hours(m.WithP80), hours(m.WithoutP80))
		}
	}
	if h := hydro.LabourH - now.LabourH; h > 0 {
		labour := fmt.Sprintf("Hydro asks for %s of your own a year at the intake and the pipe", measure.Plural(int(math.Round(h)), "hour", "hours"))
		switch q := r.Prices; {
		case q.LabourPerH == nil || *q.LabourPerH == 0:
			say("%s; they are not counted in money.", labour)
		default:
			say("%s; at your price that is %s of what it costs a year.", labour, v.money(h**q.LabourPerH))
		}
	}
	if len(r.Missing) > 0 {
		say("Not given and so counted as nothing: %s.", strings.Join(namesIn(v.System, r.Missing), "; "))
	}
	if v.Invented && r.Prices != nil {
		say("All prices of this site are invented: put in your own before you go by any of this.")
	}
	return said
}

// others says in words what the other ways would take.
func (v Worth) others() string {
	r := v.Result
	var say []string
	for _, name := range []string{worth.MorePanels, worth.BiggerBank, worth.PanelsAndBank} {
		if w := r.Alternative(name); w != nil {
			if w.Found {
				say = append(say, v.describe(w)+" would do as well")
			} else {
				say = append(say, nothingGrows[name])
			}
		}
	}
	if say == nil && len(r.LeftOut) > 0 {
		say = append(say, reasons[r.LeftOut[0].Why])
	}
	return strings.Join(say, "; ")
}

// nothingGrows says of a way that is not found that nothing did.
var nothingGrows = map[string]string{
	worth.MorePanels:    "no number of panels up to ten times today's does it",
	worth.BiggerBank:    "no bank up to ten times today's does it",
	worth.PanelsAndBank: "no panels and bank up to ten times today's do it",
}

// reasons say why a way is not compared.
var reasons = map[worth.Reason]string{
	worth.NoNeed:        "what stands today leaves no more unmet hours than hydro would: nothing has to grow",
	worth.NoPanels:      "the site describes no [[array]] that could grow",
	worth.NoBank:        "the site describes no bank that could grow",
	worth.NoPanelsOrNot: "it takes an [[array]] and a [bank] that could grow",
	worth.InEveryWay:    "the generator that the site describes is part of every way",
}

// describe names a way with its sizes.
func (v Worth) describe(w *worth.Alternative) string {
	switch w.Name {
	case worth.MorePanels:
		return fmt.Sprintf("%.1f kW of panels", w.PanelW/1000)
	case worth.BiggerBank:
		return fmt.Sprintf("a bank of %.1f kWh", w.BankWh/1000)
	case worth.PanelsAndBank:
		return fmt.Sprintf("%.1f kW of panels with a bank of %.1f kWh", w.PanelW/1000, w.BankWh/1000)
	case worth.GeneratorInstead:
		return fmt.Sprintf("a generator running %s hours a year", measure.Digits(w.RunningH, 2))
	}
	return "the house " + w.Name
}

// nameIn returns the name of a price in a system of units, and how many of
// that system's units one unit of the price's own is.
func nameIn(sys measure.System, name string) (string, float64) {
	if sys == measure.US {
		switch name {
		case worth.PenstockPrice:
			return "penstock, per ft", sys.LengthAxis().Factor
		case worth.DiggingPrice:
			return "digging, per ft", sys.LengthAxis().Factor
		case worth.FuelPrice:
			return "fuel, per gal", sys.LitreAxis().Factor
		}
	}
	return name, 1
}

func namesIn(sys measure.System, names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i], _ = nameIn(sys, n)
	}
	return out
}
