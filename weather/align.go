package weather

import "time"

// Aligned returns a gapless hourly record, whose first hour begins at start, on
// the hours of y: the record's own where it holds all of y, and then in its
// memory; else the same hour of the same day of the calendar in a year that it
// holds. A record of 365 days or more has them all; 29 February takes
// 28 February's where it has none of its own.
func Aligned(start time.Time, values []float64, y Year) []float64 {
	if from, ok := y.within(start, len(values)); ok {
		return values[from : from+y.Hours()]
	}
	return pick(values, y.onCalendar(start, len(values)))
}

// within tells at which hour y begins in a record of n hours from start on, and
// whether the record holds all of y.
func (y Year) within(start time.Time, n int) (from int, ok bool) {
	from = int(y.Start.Sub(start).Hours())
	return from, from >= 0 && from+y.Hours() <= n
}

// onCalendar returns, for each hour of y, the first hour with the same date and
// time of day in a record of n hours from start on.
func (y Year) onCalendar(start time.Time, n int) []int {
	var first [366][24]int
	for d := range first {
		for h := range first[d] {
			first[d][h] = -1
		}
	}
	day, hour := newCalendar(start), start.Hour()
	for i := range n {
		if slot := &first[day.leapDay][hour]; *slot < 0 {
			*slot = i
		}
		if hour++; hour == 24 {
			hour = 0
			day.next()
		}
	}
	for h := range first[leapDay29Feb] {
		if first[leapDay29Feb][h] < 0 {
			first[leapDay29Feb][h] = first[leapDay29Feb-1][h]
		}
	}
	index := make([]int, 0, y.Hours())
	day = newCalendar(y.Start)
	for range y.Days {
		index = append(index, first[day.leapDay][:]...)
		day.next()
	}
	return index
}

// pick returns the values at the given places.
func pick(values []float64, index []int) []float64 {
	out := make([]float64, len(index))
	for i, j := range index {
		out[i] = values[j]
	}
	return out
}
