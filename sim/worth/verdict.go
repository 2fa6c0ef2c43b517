package worth

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/measure"
)

// wanting names the prices without which the ways cannot be told apart.
func (c *comparison) wanting() []string {
	var names []string
	if c.Prices == nil {
		return nil
	}
	list := c.Prices.list()
	for _, i := range []int{penstockPrice, turbinePrice, worksPrice, panelPrice, bankPrice, generatorPrice, fuelPrice} {
		for _, m := range c.r.Missing {
			if m == list[i].name {
				names = append(names, m)
			}
		}
	}
	return names
}

// judge writes the verdict and what it hangs on.
func (c *comparison) judge() {
	r := c.r
	hydro, now := r.Way(WithHydro), r.Way(WithoutHydro)
	best := cheapest(rivals(r))
	hours := measure.HoursNumber

	light := fmt.Sprintf("it cuts the unmet hours of a mean year from %s to %s", hours(now.UnmetMean), hours(hydro.UnmetMean))
	if hours(now.UnmetMean) == hours(hydro.UnmetMean) {
		light = fmt.Sprintf("it leaves the unmet hours of a mean year at %s", hours(now.UnmetMean))
	}
	if saved := now.FuelL - hydro.FuelL; r.Stands && saved > 0 {
		light += fmt.Sprintf(" and saves %s of fuel", r.System.Volume(saved/1000))
	}
	if hydro.CostAYear == nil {
		r.Worth = hydro.UnmetMean < now.UnmetMean && len(rivals(r)) == 0
		r.Verdict = "No prices are given, so only the light can be compared: hydro" + strings.TrimPrefix(light, "it") + "; " + others(r) + "."
	} else {
		price := c.extra(hydro)
		switch {
		case best == nil:
			r.Worth = hydro.UnmetMean < now.UnmetMean
			r.Verdict = fmt.Sprintf("Hydro is worth it: %s, %s, and no other way that was tried does as well.", light, price)
		case *hydro.CostAYear <= *best.CostAYear:
			r.Worth = true
			just := ""
			if c.close(hydro, best) {
				just = ", but only just"
			}
			r.Verdict = fmt.Sprintf("Hydro is worth it%s: %s, %s; the cheapest other way to that, %s, %s.", just, light, price, describe(best), c.extra(best))
		case best == now:
			r.Verdict = fmt.Sprintf("Hydro is not worth it: %s, %s.", light, price)
		default:
			just := ""
			if c.close(hydro, best) {
				just = " quite"
			}
			r.Verdict = fmt.Sprintf("Hydro is not%s the cheapest way: %s, %s; %s does as well and %s.", just, light, price, describe(best), c.extra(best))
		}
	}
	if wanting := c.wanting(); len(wanting) > 0 {
		r.Verdict = fmt.Sprintf("This is no verdict on money yet, for a price is not given (%s). On the prices that are: %s",
			strings.Join(namesIn(r.System, wanting), "; "), r.Verdict)
	}
	c.doubt(hydro, now, best)
}

// close reports whether two ways cost so nearly the same beyond today's that
// the models cannot tell them apart.
func (c *comparison) close(a, b *Way) bool {
	const near = 0.1
	now := *c.r.Way(WithoutHydro).CostAYear
	x, y := *a.CostAYear-now, *b.CostAYear-now
	return math.Abs(x-y) <= near*math.Max(math.Abs(x), math.Abs(y))
}

// extra says what a way costs beyond today's.
func (c *comparison) extra(w *Way) string {
	v := *w.CostAYear - *c.r.Way(WithoutHydro).CostAYear
	than := "more"
	if v < 0 {
		v, than = -v, "less"
	}
	if w.Name == WithHydro {
		return fmt.Sprintf("for %s a year %s than today", c.money(v), than)
	}
	return fmt.Sprintf("costs %s a year %s than today", c.money(v), than)
}

// money writes a sum with three digits, and no cents from ten on.
func (c *comparison) money(v float64) string {
	if math.Abs(v) >= 10 {
		v = math.Round(v)
	}
	return measure.Digits(v, 3) + " " + c.r.Currency
}

// doubt writes what the verdict hangs on.
func (c *comparison) doubt(hydro, now, best *Way) {
	r := c.r
	say := func(format string, a ...any) { r.Uncertainty = append(r.Uncertainty, fmt.Sprintf(format, a...)) }
	hours := measure.HoursNumber

	switch n := len(c.Years); {
	case n == 1:
		say("This is one year of record only: others can turn the verdict.")
	case now.UnmetWorst == 0:
		say("None of the %d years of record leaves an unmet hour, with hydro or without.", n)
	default:
		say("Even with hydro the worst of the %d years of record leaves %s unmet hours; without it the worst leaves %s.", n, hours(hydro.UnmetWorst), hours(now.UnmetWorst))
	}
	if m := r.MadeUp; m != nil {
		if m.WithoutP95 == 0 {
			say("Of %d made-up years, no more than one in twenty leaves unmet hours even without hydro.", m.Years)
		} else {
			say("Of %d made-up years hydro halves the unmet hours, or better, in %d; one year in five leaves more than %s unmet hours with it and more than %s without.",
				m.Years, m.HelpedInYears, hours(m.WithP80), hours(m.WithoutP80))
		}
	}
	if hydro.CostAYear != nil && best != nil {
		var turns []string
		for _, t := range r.TurningPoints {
			if t.Within {
				name, _, at := t.In(r.System)
				turns = append(turns, fmt.Sprintf("%s (at %s)", name, c.money(at)))
			}
		}
		if turns == nil {
			say("No single price turns this verdict within 20 %% of what you gave.")
		} else {
			say("Within 20 %% of what you gave, one of these prices alone turns the verdict: %s.", strings.Join(turns, ", "))
		}
	}
	if h := hydro.LabourH - now.LabourH; h > 0 {
		labour := fmt.Sprintf("Hydro asks for %s of your own a year at the intake and the pipe", measure.Plural(int(math.Round(h)), "hour", "hours"))
		switch q := c.Prices; {
		case q.LabourPerH == nil || *q.LabourPerH == 0:
			say("%s; they are not counted in money.", labour)
		default:
			say("%s; at your price that is %s of what it costs a year.", labour, c.money(h**q.LabourPerH))
		}
	}
	if len(r.Missing) > 0 {
		say("Not given and so left out of the sums: %s.", strings.Join(namesIn(r.System, r.Missing), "; "))
	}
	r.waterWords(say)
}

// waterWords says what the creek with other water was found to do.
func (r *Result) waterWords(say func(format string, a ...any)) {
	k := r.Creek
	mean := func(times float64) string {
		if k.FlowM3S == 0 {
			return ""
		}
		return fmt.Sprintf(", %s in a mean %s", r.System.Flow(times*k.FlowM3S), k.Name())
	}
	times := func(f float64) string { return measure.Digits(f, 3) }
	switch k.Pays {
	case PaysNever:
		say("Run with more water in the creek, up to twice what it has, hydro as described did not pay either.")
	case PaysAlways:
		say("Run with less and less water in the creek, down to %s times what it has, hydro as described always paid.", times(leastWater/0.7))
	case PaysWith:
		has := "the flow that it has"
		if k.FlowM3S > 0 {
			has = r.System.Flow(k.FlowM3S)
		}
		if k.Enough > 1 {
			say("Run with %s times the water%s where it has %s, hydro as described would pay; with %s times the water it does not yet.", times(k.Enough), mean(k.Enough), has, times(k.Short))
		} else {
			say("Run with %s times the water%s where it has %s, hydro as described still pays; with %s times the water it no longer does.", times(k.Enough), mean(k.Enough), has, times(k.Short))
		}
	}
}

// others says in words what the other ways would take.
func others(r *Result) string {
	var say []string
	for _, name := range []string{MorePanels, BiggerBank, PanelsAndBank} {
		if w := r.Way(name); w != nil {
			if w.Found {
				say = append(say, describe(w)+" would do as well")
			} else {
				say = append(say, w.Note)
			}
		}
	}
	if say == nil && len(r.LeftOut) > 0 {
		say = append(say, r.LeftOut[0].Why)
	}
	return strings.Join(say, "; ")
}

// describe names a way with its sizes.
func describe(w *Way) string {
	switch w.Name {
	case MorePanels:
		return fmt.Sprintf("%.1f kW of panels", w.PanelKW)
	case BiggerBank:
		return fmt.Sprintf("a bank of %.1f kWh", w.BankKWh)
	case PanelsAndBank:
		return fmt.Sprintf("%.1f kW of panels with a bank of %.1f kWh", w.PanelKW, w.BankKWh)
	case GeneratorInstead:
		return fmt.Sprintf("a generator running %s hours a year", measure.Digits(w.RunningH, 2))
	}
	return "the house " + w.Name
}
