package sim

// UsefulHeat returns how much of the dump load's heat, in Wh over the year, a
// water tank can use that takes at most perDayWh a day. A tank keeps no heat
// for the next day here.
func UsefulHeat(y *Year, perDayWh float64) float64 {
	sum := 0.0
	for from := 0; from < len(y.DumpW); from += 24 {
		day := 0.0
		for _, w := range y.DumpW[from:min(from+24, len(y.DumpW))] {
			day += w
		}
		sum += min(day, perDayWh)
	}
	return sum
}
