package sim

// Worst returns the index of the worst of several years: the one with most
// unmet hours, then most unmet energy, then the lowest charge.
func Worst(years []Summary) int {
	worst := 0
	for i := range years {
		a, b := &years[i], &years[worst]
		switch {
		case a.UnmetHours != b.UnmetHours:
			if a.UnmetHours > b.UnmetHours {
				worst = i
			}
		case a.Tally.UnmetWh != b.Tally.UnmetWh:
			if a.Tally.UnmetWh > b.Tally.UnmetWh {
				worst = i
			}
		case a.MinSoC < b.MinSoC:
			worst = i
		}
	}
	return worst
}
