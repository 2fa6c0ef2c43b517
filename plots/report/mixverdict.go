package report

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// valve tells how the valve is worked where hydro is weighed.
func (v Worth) valve() string {
	j := v.Result.Valve
	if !j.Best {
		return "The valve is worked as the site describes it: no fixed dates leave fewer unmet hours."
	}
	dates := "open all year"
	if j.Open != nil {
		dates = fmt.Sprintf("open from %d %s to %d %s", j.Open.Day, j.Open.Month, j.Close.Day, j.Close.Month)
	}
	return fmt.Sprintf("Hydro is judged by its best fixed dates, the valve %s, not by your own: they leave %s unmet hours in a mean year, your own %s (“sunrill changeover”).",
		dates, measure.HoursNumber(j.UnmetHours), measure.HoursNumber(j.OwnUnmetHours))
}

// through says of a mix with the creek by what it comes.
func (v Worth) through(w *worth.Waterway) string {
	if w == nil {
		return "the creek"
	}
	pipe := "the pipe described"
	if w.BoreRatio != 1 {
		pipe = "a pipe of " + v.System.Bore(w.BoreM)
	}
	return "the creek through " + pipe + " with " + v.fitted(w)
}

// fitted says what is at the end of a pipe.
func (v Worth) fitted(w *worth.Waterway) string {
	switch n := len(w.NozzlesM); {
	case n == 0:
		return "a spear valve for " + v.System.Flow(w.SpearM3S)
	case n == 1:
		return "a nozzle of " + v.System.Bore(w.NozzlesM[0])
	}
	a := v.System.BoreAxis()
	var bores []string
	for _, d := range w.NozzlesM {
		bores = append(bores, strings.TrimSuffix(v.System.Bore(d), " "+a.Unit))
	}
	return "nozzles of " + listed(bores) + " " + a.Unit
}

// mix names a mix with its parts.
func (v Worth) mix(w *worth.Alternative) string {
	parts := []string{fmt.Sprintf("%.1f kW of panels", w.PanelW/1000), fmt.Sprintf("a bank of %.1f kWh", w.BankWh/1000)}
	if w.PanelW == 0 {
		parts[0] = "no panels"
	}
	if w.BankWh == 0 {
		parts[1] = "no bank"
	}
	if w.Generator {
		generator := "a generator"
		if w.FuelL >= 0.5 {
			generator += fmt.Sprintf(" (%s of fuel)", v.System.Volume(w.FuelL/1000))
		}
		parts = append(parts, generator)
	}
	if w.Hydro {
		parts = append(parts, v.through(w.Waterway))
	}
	return listed(parts)
}

// aim writes the target.
func (v Worth) aim() string {
	t := v.Result.Mixes.Target
	aim := fmt.Sprintf("at most %s in the one-in-five year and in a mean one", measure.Plural(int(math.Round(t.UnmetHours)), "unmet hour", "unmet hours"))
	switch {
	case t.FuelL == 0:
		aim += ", and no fuel"
	case !math.IsInf(t.FuelL, 1):
		aim += fmt.Sprintf(", and %s of fuel a year", v.System.Volume(t.FuelL/1000))
	}
	return aim
}

// mixed judges the mixes in sentences, the answer first.
func (v Worth) mixed() []string {
	m := v.Result.Mixes
	cost := func(w *worth.Alternative) string { return v.mix(w) + ", for " + v.sum(*w.CostAYear) + " a year" }
	var say []string
	aim := v.aim()
	// What leads: the verdict, or that there is none.
	settled := func(verdict string) string {
		if v.settled() {
			return verdict
		}
		return fmt.Sprintf("Whether hydro is worth it for %s: %s. By the middle values", aim, Odds(v.Result.Sure.Mixes.Worth, v.Result.Sure.Draws))
	}
	switch {
	case m.With == nil && m.Without == nil:
		say = append(say, fmt.Sprintf("Nothing that was tried keeps to %s.", aim))
	case m.Without == nil:
		say = append(say, fmt.Sprintf("%s nothing without the creek that was tried keeps to %s; the cheapest with it is %s.", settled("Hydro is worth it:"), aim, cost(m.With)))
	case m.With == nil:
		say = append(say, fmt.Sprintf("%s the cheapest is %s; nothing with the creek that was tried keeps to that.", settled("Hydro is not worth it: for "+aim), cost(m.Without)))
	default:
		apart := measure.Digits(math.Round(math.Abs(*m.With.CostAYear-*m.Without.CostAYear)), 2) + " " + v.Result.Currency
		if m.Worth() {
			say = append(say, fmt.Sprintf("%s the cheapest mix is %s; the cheapest without the creek, %s, costs %s a year more.", settled("Hydro is worth it for "+aim+":"), cost(m.With), v.mix(m.Without), apart))
		} else {
			unworthy := settled("Hydro is not in the cheapest mix for " + aim + ": that")
			if !v.settled() {
				unworthy += " the cheapest mix"
			}
			say = append(say, fmt.Sprintf("%s is %s; the cheapest with the creek, %s, costs %s a year more.", unworthy, cost(m.Without), v.mix(m.With), apart))
		}
	}
	say = append(say, v.sureOfMixes()...)
	if m.With != nil || m.Without != nil {
		say = append(say, v.turning())
	}
	if !m.Target.Told {
		say = append(say, "The light that is wanted was not told: it is what hydro as described leaves. --target \"20 h\" tells your own, --fuel \"50 L\" the fuel that you bear.")
	}
	say = append(say, v.valve(), v.gridded())
	if m.With != nil && m.With.Waterway != nil && m.With.Waterway != &m.Waterways[0] {
		say = append(say, "That pipe and those nozzles are not the ones described, and were not looked at for pressure, surge or speed: write them into penstock.bore and turbine.nozzles and run “sunrill check” before you buy any.")
	}
	return say
}

// settled tells whether the draws are of one mind with the middle values, as far
// as there are any: likely at least.
func (v Worth) settled() bool {
	u := v.Result.Sure
	if u == nil || u.Mixes == nil {
		return true
	}
	n := u.Mixes.Worth
	if !v.Result.Mixes.Worth() {
		n = u.Draws - n
	}
	return 20*n >= 15*u.Draws
}

// gridded says what was tried.
func (v Worth) gridded() string {
	m := v.Result.Mixes
	g := m.Grid
	sizes := func(what string, of []float64, unit string) string {
		if len(of) == 1 {
			return fmt.Sprintf("%s of %.1f %s", what, of[0]/1000, unit)
		}
		return fmt.Sprintf("%d sizes of %s from %.1f to %.1f %s", len(of), what, of[0]/1000, of[len(of)-1]/1000, unit)
	}
	text := fmt.Sprintf("%s mixes were weighed: %s, %s, each with a generator and without, without the creek and with it",
		measure.Count(m.Tried), sizes("panels", g.PanelsW, "kW"), sizes("bank", g.BanksWh, "kWh"))
	if n := len(m.Waterways); n > 1 {
		pipes := map[float64]bool{}
		minimum, maximum := math.Inf(1), 0.0
		for _, w := range m.Waterways {
			pipes[w.BoreM] = true
			minimum, maximum = min(minimum, w.BoreM), max(maximum, w.BoreM)
		}
		text += fmt.Sprintf(" through %d pipes from %s to %s, each with nozzles as described, narrower and wider", len(pipes), v.System.Bore(minimum), v.System.Bore(maximum))
		if m.Waterways[0].NozzlesM == nil {
			text = strings.Replace(text, "each with nozzles as", "each with a spear valve as", 1)
		}
	}
	return text + "; those that were sure to cost more than the best, or to leave more dark, were not run."
}

// sureOfMixes says how sure it is that the creek is in the cheapest mix.
func (v Worth) sureOfMixes() []string {
	u := v.Result.Sure
	if u == nil || u.Mixes == nil {
		return nil
	}
	known := u.Mixes.Known()
	text := fmt.Sprintf("How sure that the creek is in the cheapest mix: %s, over draws of %s, every price by itself and every mix weighed anew in each.", Odds(u.Mixes.Worth, u.Draws), v.Doubts.What())
	if len(known.Draws) > 0 {
		mid, from, to := ranged(known)
		text += fmt.Sprintf(" Against the cheapest mix without it, a year with it is %s in the middling draw, and in 8 of 10 between %s and %s.", v.cheaper(mid), v.cheaper(from), v.cheaper(to))
	}
	only, never := 0, 0
	for _, saved := range u.Mixes.Saved.Draws {
		switch {
		case math.IsInf(saved, 1):
			only++
		case math.IsInf(saved, -1):
			never++
		}
	}
	if only > 0 {
		text += fmt.Sprintf(" In %d of the draws nothing without the creek keeps to the light.", only)
	}
	if never > 0 {
		text += fmt.Sprintf(" In %d of the draws nothing with the creek keeps to it.", never)
	}
	return []string{text}
}

// cheaper says of a number of what is saved, maybe with a minus, that it is
// cheaper or dearer.
func (v Worth) cheaper(number string) string {
	than := " cheaper"
	number, dear := strings.CutPrefix(number, "-")
	if dear {
		than = " dearer"
	}
	return number + " " + v.Result.Currency + than
}

// maxTurns is how many turning points are told in words.
const maxTurns = 4

// turning says what alone would turn the verdict.
func (v Worth) turning() string {
	turns := v.Result.Turns
	if len(turns) == 0 {
		return "Nothing alone turns this, not five times of it nor a fifth: no price, life, rate, own hour, nor the water or the head."
	}
	var near, far []string
	for _, t := range turns {
		name, given, at := v.turnWords(t)
		words := fmt.Sprintf("%s at %s (now %s)", name, at, given)
		if t.Within() {
			near = append(near, words)
		} else if len(far) < maxTurns {
			far = append(far, words)
		}
	}
	if near != nil {
		return fmt.Sprintf("Within 20 %% of what you gave, one of these alone turns it, every mix weighed again: %s.", strings.Join(near, "; "))
	}
	return fmt.Sprintf("Nothing within 20 %% of what you gave turns this alone; the nearest that do, every mix weighed again: %s.", strings.Join(far, "; "))
}

// turnWords returns the name of what turns the verdict, as it is and where it
// turns it, in the household's units.
func (v Worth) turnWords(t worth.TurningPoint) (name, given, at string) {
	name, per := nameIn(v.System, t.Name)
	write := func(x float64) string {
		switch t.Name {
		case worth.DiscountRate:
			return measure.Digits(100*x, 2) + " % a year"
		case worth.LifeOfPanels, worth.LifeOfTurbine, worth.LifeOfPipe, worth.LifeOfInverter:
			return measure.Digits(x, 2) + " years"
		case worth.LifeOfGenerator, worth.HoursOfBuilding, worth.HoursOfHydro, worth.HoursOfWalk, worth.HoursOfGenerator:
			return measure.Digits(x, 2) + " h"
		case worth.WaterOfCreek:
			return v.System.Flow(x)
		case worth.HeadOfPipe:
			return v.System.Length(x)
		}
		return measure.Digits(x/per, 3) + " " + v.Result.Currency
	}
	if t.Name == worth.WaterOfCreek {
		name += " (mean of " + v.Result.Creek.Month.String() + ")"
	}
	return name, write(t.Given), write(t.TurnsAt)
}
