package report

import (
	"fmt"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// bank is the chapter on the bank's charge and its deficit spells.
func (v Year) bank() Section {
	y, s := v.Year, v.Summary
	bank := y.Bus.Bank
	charge := plots.ChargeThroughYear(plots.Charge{
		Start: y.In.Start, SoC: y.SoC, UnmetW: y.UnmetW, UnmetThresholdW: sim.UnmetThresholdW,
		FloorSoC: bank.FloorSoC, ComfortSoC: bank.ComfortSoC,
	})
	spells := sim.Spells(y)
	drawn := plots.Spells{
		Start: y.In.Start, Days: y.In.Hours() / 24, From: livesOn(y.In.Kinds()),
		UsableWh: (1 - bank.FloorSoC) * bank.CapacityWh,
	}
	for _, d := range spells {
		drawn.Spells = append(drawn.Spells, plots.Spell{StartHour: d.Start, Hours: d.Hours, DepthWh: d.DepthWh, UnmetWh: d.UnmetWh})
	}
	sec := Section{
		ID:    "bank",
		Title: "The bank",
		Figures: []Figure{
			{charge, "hours.csv"},
			{plots.DeficitSpells(drawn), "deficits.csv"},
		},
	}
	if bank.CapacityWh <= 0 {
		return Section{ID: "bank", Title: "The bank", Text: []string{"The site has no bank: every hour stands on its own sources."}}
	}
	sec.Text = append(sec.Text, fmt.Sprintf("The bank holds %s between full and its floor at %s. Its lowest charge was %s; it was below %s, the charge that you want to keep (comfort charge), for %s.",
		measure.Energy(drawn.UsableWh), measure.Percent(bank.FloorSoC), measure.Percent(s.MinSoC), measure.Percent(bank.ComfortSoC),
		measure.Plural(s.LowHours, "hour", "hours")))
	if w := s.Wear; w.LifeUsed > 0 {
		text := fmt.Sprintf("The %s took as much out of it as %s full cycles and used %s of its cycle life", v.span(), measure.Digits(w.FullCycles, 3), measure.Percent(w.LifeUsed))
		if w.LifeYearsHigh > 0 {
			pace := "at this pace"
			if v.Unfinished() {
				pace += ", were the whole year like it,"
			}
			text += fmt.Sprintf("; "+pace+" it lasts some %s to %s years", measure.Digits(w.LifeYearsLow, 2), measure.Digits(w.LifeYearsHigh, 2))
		}
		sec.Text = append(sec.Text, text+".")
	}
	if n := s.Wear.WeeksNotFull; n > 0 {
		text := fmt.Sprintf("In %s it never got full.", measure.Plural(n, "week", "weeks"))
		if so := bank.Kind().SeldomFull; so != "" {
			text += " " + so
		}
		sec.Text = append(sec.Text, text)
	}
	if len(spells) > 0 {
		sec.Tables = []Table{v.spellTable(spells)}
	}
	return sec
}

// spellTable lists the deepest deficit spells.
func (v Year) spellTable(spells []sim.Spell) Table {
	t := Table{
		Caption: "The deepest deficit spells",
		Head:    []string{"from", "days", "depth, kWh", "unmet, kWh", "unmet hours"},
		Note: fmt.Sprintf("%s in the %s, most of them ordinary nights. %s Unmet: what your own bank left.",
			measure.Plural(len(spells), "spell", "spells"), v.span(), spellNote),
		Data: "deficits.csv",
	}
	for _, d := range deepest(spells, 6) {
		t.Rows = append(t.Rows, []string{v.at(d.Start).Format("2 Jan 2006"), fmt.Sprintf("%.1f", float64(d.Hours)/24),
			kWh(d.DepthWh), kWh(d.UnmetWh), measure.Count(d.UnmetHours)})
	}
	return t
}
