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

// PeakDemand returns the greatest firm demand at the bus in any hour of the
// years, in W, the inverter's excess left out.
func PeakDemand(years []*Input) float64 {
	peak := 0.0
	for _, in := range years {
		for h, w := range in.DemandW {
			if in.OverW != nil {
				w -= in.OverW[h]
			}
			peak = max(peak, w)
		}
	}
	return peak
}
