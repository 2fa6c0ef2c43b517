package site

import (
	"strings"

	"sunrill/sim/files"
)

const greatestFillS = 86400 // a day: what fills more slowly is a drip

// timings reads "14.2 13.8 14.5": the seconds of one or more fills, apart by
// spaces. In a file whose columns are separated by semicolons a comma is
// decimal. Elsewhere it may stand between timings where it can be nothing
// else; a cell that can be read in two ways is refused.
func timings(s *files.Sheet, row int, cell string) (seconds []float64, ok bool) {
	words := strings.Fields(s.Decimals(cell))
	if !s.DecimalComma && strings.Contains(cell, ",") {
		var clear bool
		if words, clear = commaTimings(words); !clear {
			s.Wrong(row, "seconds", "put spaces between the timings and a point into each: \"14.2 13.8 14.5\"; a decimal comma is read where the columns are separated by semicolons",
				"%q may be read in two ways: is the comma decimal or between two timings?", files.Short(cell))
			return nil, false
		}
	}
	ok = true
	for _, word := range words {
		v, err := files.ParseNumber(word)
		if err != nil || !(v > 0) || v > greatestFillS {
			s.Wrong(row, "seconds", "the seconds that a fill took, above 0 and at most a day; several fills apart by spaces", "%q is no time of a fill", files.Short(word))
			ok = false
			continue
		}
		seconds = append(seconds, v)
	}
	if ok && len(seconds) == 0 {
		s.Wrong(row, "seconds", "the seconds that the fill took", "the seconds are missing")
		ok = false
	}
	return seconds, ok
}

// commaTimings splits words that have commas into timings. A comma before a
// space parts two. One inside a word does so if every timing of the cell has a
// decimal point, or if the word has three whole ones or more, an odd number of
// them, that lie as close as fills of one bucket do.
func commaTimings(words []string) (apart []string, clear bool) {
	points := true
	for _, w := range words {
		w = strings.TrimRight(w, ",")
		pieces := strings.Split(w, ",")
		for _, p := range pieces {
			points = points && strings.Contains(p, ".")
		}
		apart = append(apart, pieces...)
	}
	if points {
		return apart, true
	}
	for _, w := range words {
		w = strings.TrimRight(w, ",")
		if pieces := strings.Split(w, ","); len(pieces) > 1 && !wholeFills(pieces) {
			return nil, false
		}
	}
	return apart, true
}

// wholeFills tells whether pieces are whole seconds of fills of one bucket.
func wholeFills(pieces []string) bool {
	if len(pieces) < 3 || len(pieces)%2 == 0 {
		return false
	}
	minimum, maximum := 0.0, 0.0
	for i, p := range pieces {
		n, ok := files.Digits(p)
		if !ok || len(p) > 5 {
			return false
		}
		if v := float64(n); i == 0 {
			minimum, maximum = v, v
		} else {
			minimum, maximum = min(minimum, v), max(maximum, v)
		}
	}
	return minimum > 0 && maximum <= 2*minimum
}
