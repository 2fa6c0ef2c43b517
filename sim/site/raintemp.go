package site

import (
	"sunrill/sim/files"
	"sunrill/weather"
)

// fillTemps fills days whose row tells no tmin or no tmax, as gaps in rain are
// filled: up to three days from the days beside them, longer runs, if the
// owner lets it, with the same days of another year. inRow says which days
// have a row, rowOf which one; the rest of the others is filled with the rain.
func (l *loader) fillTemps(s *files.Sheet, r weather.Record, rows []rainRow, inRow []bool, rowOf []int) {
	hasMin, hasMax := make([]bool, len(inRow)), make([]bool, len(inRow))
	known := make([]bool, len(inRow))
	cells := 0
	for k := range inRow {
		if inRow[k] {
			row := rows[rowOf[k]]
			hasMin[k], hasMax[k] = row.TMinC.Given || row.TMinF.Given, row.TMaxC.Given || row.TMaxF.Given
			known[k] = hasMin[k] && hasMax[k]
			if !known[k] {
				cells++
			}
		}
	}
	if cells == 0 {
		return
	}
	date := func(k int) string { return r.Start.AddDate(0, 0, k).Format("2006-01-02") }
	_, _, nameMin, nameMax := rainRow{}.temps(s)
	filled, any := 0, false
	for k := range known {
		any = any || known[k]
	}
	for k := 0; k < len(known); k++ {
		if known[k] {
			continue
		}
		end := k
		inside := 0 // days of the run that have a row
		first := -1
		for end < len(known) && !known[end] {
			if inRow[end] {
				if first < 0 {
					first = end
				}
				inside++
			}
			end++
		}
		if inside == 0 { // whole rows are missing: filled or told with the rain
			k = end
			continue
		}
		span := date(k) + " to " + date(end-1)
		name := nameMin
		if hasMin[first] {
			name = nameMax
		}
		switch {
		case !any:
			s.Wrong(rowOf[first], name, "write them, or delete both columns if they are not known", "no day has both %s and %s", nameMin, nameMax)
			return
		case end-k <= shortGapDays:
			bridgeTemps(r, hasMin, hasMax, k, end)
			filled += inside
		case !l.o.FillGaps:
			s.Wrong(rowOf[first], name, "fill in what a neighbour measured, or write gaps = \"fill\" under [rain] (or give --fill-gaps) to take the same days of another year", "%s or %s is empty on %d days (%s)", nameMin, nameMax, end-k, span)
		case !borrow(r.Start, [][]float64{r.TMinC, r.TMaxC}, known, k, end):
			s.Wrong(rowOf[first], name, "no other year has these days either: fill in what a neighbour measured", "%s or %s is empty on %d days (%s)", nameMin, nameMax, end-k, span)
		default:
			l.warn("%s: %s and %s of the %d days %s, where one or both are empty, are those of the same days of another year", s.File, nameMin, nameMax, end-k, span)
		}
		k = end
	}
	if filled > 0 {
		l.warn("%s: %s or %s is empty on %s; filled from the days beside, as gaps of 1 to %d days are", s.File, nameMin, nameMax, files.Count(filled, "day"), shortGapDays)
	}
}

// bridgeTemps fills what is missing of tmin and tmax on days k to end. What is
// given is kept: with one of the two known, the other keeps the distance that
// the days beside have. Where the
// record ends before a day beside is found, the day on the other side is
// taken.
func bridgeTemps(r weather.Record, hasMin, hasMax []bool, k, end int) {
	before, after := k-1, end
	if before < 0 {
		before = after
	}
	if after >= len(hasMin) {
		after = before
	}
	for i := k; i < end; i++ {
		w := float64(i-k+1) / float64(end-k+1)
		low := r.TMinC[before] + w*(r.TMinC[after]-r.TMinC[before])
		high := r.TMaxC[before] + w*(r.TMaxC[after]-r.TMaxC[before])
		switch {
		case hasMin[i]:
			r.TMaxC[i] = r.TMinC[i] + high - low
		case hasMax[i]:
			r.TMinC[i] = r.TMaxC[i] - (high - low)
		default:
			r.TMinC[i], r.TMaxC[i] = low, high
		}
	}
}
