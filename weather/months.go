package weather

import (
	"slices"
	"time"
)

// DarkestPair returns the first of the two neighbouring months that together
// have the least sun.
func DarkestPair(sunHours [12]float64) time.Month {
	best := 0
	pair := func(m int) float64 { return sunHours[m] + sunHours[(m+1)%12] }
	for m := range sunHours {
		if pair(m) < pair(best) {
			best = m
		}
	}
	return time.Month(best + 1)
}

// InMonths marks the hours of y that lie in the given months.
func InMonths(y Year, months ...time.Month) []bool {
	marked := make([]bool, y.Hours())
	for d := range y.Days {
		if slices.Contains(months, y.Start.AddDate(0, 0, d).Month()) {
			for h := 24 * d; h < 24*d+24; h++ {
				marked[h] = true
			}
		}
	}
	return marked
}

// median returns the middle value of key over items, which must not be empty.
func median[T any](items []T, key func(T) float64) float64 {
	v := make([]float64, len(items))
	for i, x := range items {
		v[i] = key(x)
	}
	slices.Sort(v)
	if n := len(v); n%2 == 0 {
		return (v[n/2-1] + v[n/2]) / 2
	}
	return v[len(v)/2]
}
