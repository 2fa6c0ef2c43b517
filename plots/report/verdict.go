package report

import (
	"cmp"
	"fmt"
	"slices"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// Verdict says in sentences how the year went, the worst first, and whether
// the first of them is bad news.
func (v Year) Verdict() Verdict {
	var sentences []string
	bad := false
	y, s := v.Year, v.Summary
	say := func(format string, args ...any) { sentences = append(sentences, fmt.Sprintf(format, args...)) }

	if s.HazardHours > 0 {
		bad = true
		say("Danger: in %s %s gave more than house, bank and dump load of %s can take: %s, first at %s. A turbine without load runs away. Fit a bigger dump load before the valve is opened.",
			measure.Plural(s.HazardHours, "hour", "hours"), runaways(s.Given), measure.Power(y.Bus.DumpW), v.dates(runs(y.OverDumpW)), v.at(s.FirstHazardHour).Format("15:04"))
	}
	if s.UnmetHours > 0 {
		bad = true
		fraction := 0.0
		if s.Tally.DemandWh > 0 {
			fraction = s.Tally.UnmetWh / s.Tally.DemandWh
		}
		say("%s did not carry the house for %s on %s.", v.sources(), measure.Plural(s.UnmetHours, "hour", "hours"), measure.Plural(s.UnmetDays, "day", "days"))
		say("The longest dark spell lasted %s; %s were missing, %s of what the house asked for.",
			measure.Plural(s.LongestUnmetH, "hour", "hours"), measure.Energy(s.Tally.UnmetWh), measure.Percent(fraction))
	} else {
		say("%s carried the house through every hour of the %s.", v.sources(), v.span())
	}
	if v.Unfinished() {
		say("The season is not over: the records end on %s, and so does this run. Its sums are those of %s, no year’s, and enter no mean of years. What may come is for \"sunrill outlook\".",
			v.day(y.In.Hours()-1), measure.Plural(y.In.Hours()/24, "day", "days"))
	}
	if s.UnmetHours > 0 {
		if text := why(v.Why); text != "" {
			say("%s", text)
		}
	}
	if s.OverHours > 0 {
		text := fmt.Sprintf("In %s the house asked for more than the inverter can carry: %s.", measure.Plural(s.OverHours, "hour", "hours"), v.dates(runs(y.In.OverW)))
		if left, tried := v.Why.Without(sim.InverterLimit); tried && left < float64(s.UnmetHours) {
			text += fmt.Sprintf(" With an inverter that carries it, %s of the %s would be left.", measure.Hours(left), measure.Count(s.UnmetHours))
		} else if tried {
			text += " A bigger inverter alone would not help: the bank and the sources fall short in these hours too."
		}
		say("%s", text)
	}
	if month, hours, of := v.worstMonth(); hours > 0 && s.UnmetHours > 0 {
		say("The worst month was %s: %s%s in the dark.", month, measure.Plural(hours, "hour", "hours"), of)
	}
	bank := y.Bus.Bank
	if d := s.DeepestDeficit; bank.CapacityWh > 0 && d.DepthWh > 0 {
		usable := (1 - bank.FloorSoC) * bank.CapacityWh
		if d.DepthWh > usable*1.001 {
			say("The deepest deficit was %s, from %s and %s long; the bank gives %s.", measure.Energy(d.DepthWh), v.day(d.Start), length(d.Hours), measure.Energy(usable))
		} else {
			say("The deepest deficit was %s of the bank’s %s, from %s and %s long; the lowest charge was %s.", measure.Energy(d.DepthWh), measure.Energy(usable),
				v.day(d.Start), length(d.Hours), measure.Percent(s.MinSoC))
		}
	}
	if s.DryPipeStops > 0 {
		say("The intake ran short %s: dry-pipe stops are hard on machine and pipe.", measure.Plural(s.DryPipeStops, "time", "times"))
	}
	if s.Visits > 0 {
		say("Setting nozzles took %s up to the turbine.", measure.Plural(s.Visits, "walk", "walks"))
	}
	if s.GeneratorHours > 0 {
		service := ""
		if g := y.Bus.Generator; s.Services > 0 {
			service = fmt.Sprintf("; it fell due for service %s, every %.0f hours", measure.Plural(s.Services, "time", "times"), g.ServiceHours)
		}
		say("The generator ran for %s in %s and burned %s%s.", measure.Plural(s.GeneratorHours, "hour", "hours"),
			measure.Plural(s.GeneratorStarts, "start", "starts"), v.System.Volume(s.FuelL/1000), service)
	}
	t := s.Tally
	if left := t.DumpWh + t.OverDumpWh + t.CurtailedWh; left > 0 {
		text := measure.Energy(left) + " were left over"
		if heat := sim.UsefulHeat(y, v.UsefulHeatWhDay); heat > 0 {
			text += fmt.Sprintf(", of which the dump load could give %s to the water tank", measure.Energy(heat))
		}
		say("%s.", text)
	}
	return Verdict{sentences, bad}
}

// sources names what the house lives on: "Sun, creek and bank".
func (v Year) sources() string {
	var parts []string
	for _, y := range v.Summary.Given {
		if y.Wh > 0 {
			parts = append(parts, y.From)
		}
	}
	if v.Summary.GeneratorWh > 0 {
		parts = append(parts, "generator")
	}
	if v.Year.Bus.Bank.CapacityWh > 0 {
		parts = append(parts, "bank")
	}
	if len(parts) == 0 {
		return "Nothing"
	}
	return capital(listed(parts))
}

// worstMonth returns the month with the most unmet hours.
func (v Year) worstMonth() (name string, hours int, of string) {
	for _, p := range v.Year.Months() {
		if p.UnmetHours > hours {
			hours, name = p.UnmetHours, p.Start.Format("January 2006")
			of = fmt.Sprintf(" of its %s", measure.Count(24*p.Days))
		}
	}
	return
}

// length writes a time in hours or days.
func length(hours int) string {
	if hours < 72 {
		return measure.Plural(hours, "hour", "hours")
	}
	return measure.Plural((hours+12)/24, "day", "days")
}

// deepest returns the n deepest spells, the deepest first.
func deepest(spells []sim.Spell, n int) []sim.Spell {
	by := slices.Clone(spells)
	slices.SortStableFunc(by, func(a, b sim.Spell) int { return cmp.Compare(b.DepthWh, a.DepthWh) })
	return by[:min(n, len(by))]
}
