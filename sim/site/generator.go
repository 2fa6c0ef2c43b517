package site

import (
	"fmt"
	"math"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
)

// usualStop is the charge at which a generator stops unless a high floor asks for
// more.
const usualStop = 0.8

// generatorCharge reads the charge at which a generator starts and stops. By
// default it starts above the bank's floor, so that it starts before the
// house goes short, and stops above that.
func (l *loader) generatorCharge(t *files.Table, g *sim.Generator) {
	floor := l.site.Bank.FloorSoC
	if math.IsNaN(floor) {
		floor = 0 // wrong, and told with the bank
	}
	percent := func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) }
	stop, why := usualStop, "the last fifth of the charge goes slowly: leave it to the sun"
	if high := (1 + floor) / 2; high > stop {
		stop, why = high, "half-way from the bank's floor to full"
	}
	readStop := func() { g.StopSoC = t.Quantity("stop_soc", measure.Fractions, 0.01, 1, files.Or(percent(stop), why)) }
	told := t.Has("stop_soc")
	if told {
		if readStop(); !math.IsNaN(g.StopSoC) {
			stop = g.StopSoC
		}
	}
	start, whyStart := floor+0.1, "ten points above the bank's floor, so that it starts before the house goes short"
	if near := (floor + stop) / 2; near < start {
		start, whyStart = near, "half-way from the bank's floor to where it stops, so that it starts before the house goes short"
	}
	startText := percent(start)
	if whole := math.Round(100*start) / 100; whole < floor+1e-6 || whole > stop-1e-6 {
		startText = fmt.Sprintf("%.5g %%", 100*math.Max(start, floor)) // stop_soc is just above the floor, or below it and told as wrong
	}
	g.StartSoC = t.Quantity("start_soc", measure.Fractions, 0, 0.99, files.Or(startText, whyStart))
	if high := (1 + g.StartSoC) / 2; g.StartSoC >= stop && !told {
		stop, why = high, "half-way from start_soc to full"
	}
	if !told {
		readStop()
	}
	switch {
	case g.StopSoC <= g.StartSoC && floor >= g.StopSoC && !t.Has("start_soc"):
		t.Wrong("stop_soc", "raise it, or lower the floor", "%s is not above the bank's floor, %s", percentText(g.StopSoC), percentText(floor))
	case g.StopSoC <= g.StartSoC:
		t.Wrong("stop_soc", "it stops well above the charge at which it starts", "%s is not above start_soc, %s", percentText(g.StopSoC), percentText(g.StartSoC))
	case g.StartSoC < floor:
		l.warn("the generator starts at %s of charge, below the bank's floor of %s: it starts only when the house goes short", percentText(g.StartSoC), percentText(floor))
	}
}
