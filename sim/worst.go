package sim

import (
	"cmp"
	"slices"
)

// ByDarkness returns the indices of several years from the best to the worst:
// by unmet hours, then unmet energy, then the lowest charge. Of years that are
// alike in all of it the later comes first.
func ByDarkness(years []Summary) []int {
	order := make([]int, len(years))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &years[i], &years[j]
		return cmp.Or(cmp.Compare(a.UnmetHours, b.UnmetHours), cmp.Compare(a.Tally.UnmetWh, b.Tally.UnmetWh),
			cmp.Compare(b.MinSoC, a.MinSoC), cmp.Compare(j, i))
	})
	return order
}

// Worst returns the index of the worst of several years, see [ByDarkness]; the
// first of those that are alike.
func Worst(years []Summary) int {
	order := ByDarkness(years)
	return order[len(order)-1]
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
