package site

import (
	"fmt"
	"time"

	"sunrill/weather"
)

type rainRow struct {
	Date   dayCell `csv:"date"`
	RainMM number  `csv:"rain_mm"`
	RainIn number  `csv:"rain_in"`
	TMinC  maybe   `csv:"tmin_c"`
	TMinF  maybe   `csv:"tmin_f"`
	TMaxC  maybe   `csv:"tmax_c"`
	TMaxF  maybe   `csv:"tmax_f"`
}

var rainColumns = []column{
	{"date", "", true}, {"rain_mm", "rain", true}, {"rain_in", "rain", true},
	{"tmin_c", "tmin", false}, {"tmin_f", "tmin", false}, {"tmax_c", "tmax", false}, {"tmax_f", "tmax", false},
}

const (
	shortGapDays = 3
	greatestMM   = 2000 // a day; the greatest ever measured is about 1,800 (from memory)
)

// rainFile returns the name of the rain record.
func (l *loader) rainFile() string { return l.fileOf("rain", "file", "rain.csv") }

// fileOf returns the file that a key names, or its usual name.
func (l *loader) fileOf(table, key, usual string) string {
	if t, ok := l.tree[table].(map[string]any); ok {
		if f, ok := t[key].(string); ok {
			return f
		}
	}
	return usual
}

// rain reads [rain] and its record.
func (l *loader) rain() {
	t := l.table("rain")
	if t == nil {
		if _, there := l.tree["rain"]; !there {
			l.missingTable("rain", "write [rain] and below it file = \"rain.csv\", a row a day: date, rain_mm")
		}
		return
	}
	file := t.file("file", or("rain.csv", "its usual name"))
	t.done()
	if file == "" {
		return
	}
	rows, s, ok := readTable[rainRow](l, file, "it holds a row a day: date, rain_mm, and if known tmin_c and tmax_c", rainColumns)
	if s == nil {
		return
	}
	days := make([]time.Time, len(rows))
	for i, r := range rows {
		days[i] = r.Date.Time
		l.rainRow(s, i, r)
	}
	in := s.inOrder("date", days, 24*time.Hour)
	if hasMin, hasMax := s.has["tmin_c"] || s.has["tmin_f"], s.has["tmax_c"] || s.has["tmax_f"]; hasMin != hasMax {
		l.problems = append(l.problems, Problem{File: file, What: "has one of tmin and tmax only", Hint: "give both, or neither"})
		return
	}
	if !in {
		return
	}
	if r := l.record(s, days, rows); ok {
		l.site.Rain = r
	}
}

func (l *loader) rainRow(s *sheet, i int, r rainRow) {
	mm, name := float64(r.RainMM), "rain_mm"
	if s.has["rain_in"] {
		mm, name = float64(r.RainIn)*25.4, "rain_in"
	}
	if mm < 0 {
		s.wrong(i, name, "a day without rain has 0; a mark such as -999 for a missing day has to go: leave out the row", "rain cannot be negative")
	} else if mm > greatestMM {
		s.wrong(i, name, "is it the right unit?", "more rain than ever fell in a day")
	}
	tmin, tmax, nameMin, nameMax := r.temps(s)
	for _, k := range []struct {
		name string
		t    maybe
	}{{nameMin, tmin}, {nameMax, tmax}} {
		if k.t.given && (k.t.value < -90 || k.t.value > 60) {
			s.wrong(i, k.name, "is it the right unit? A mark for a missing value has to go: leave the cell empty", "%.0f °C has never been measured on earth", k.t.value)
		}
	}
	if tmin.given && tmax.given && tmin.value > tmax.value {
		s.wrong(i, nameMin, "are the two exchanged?", "the day's lowest temperature is above its highest")
	}
}

// temps returns the day's temperatures in °C, as far as they are given, and the
// names of their columns.
func (r rainRow) temps(s *sheet) (tmin, tmax maybe, nameMin, nameMax string) {
	tmin, tmax, nameMin, nameMax = r.TMinC, r.TMaxC, "tmin_c", "tmax_c"
	if s.has["tmin_f"] {
		tmin, nameMin = maybe{(r.TMinF.value - 32) * 5 / 9, r.TMinF.given}, "tmin_f"
	}
	if s.has["tmax_f"] {
		tmax, nameMax = maybe{(r.TMaxF.value - 32) * 5 / 9, r.TMaxF.given}, "tmax_f"
	}
	return tmin, tmax, nameMin, nameMax
}

// inOrder checks that times are all there, rise row by row and lie on whole
// steps.
func (s *sheet) inOrder(name string, times []time.Time, step time.Duration) bool {
	ok := true
	first := map[time.Time]int{}
	for i, t := range times {
		if t.IsZero() {
			ok = false // told when the cell was read
			continue
		}
		if j, again := first[t]; again {
			ok = false
			s.wrong(i, name, fmt.Sprintf("the first is on line %d; keep one of them", s.line(j)), "%s stands there twice", timeText(t, step))
			continue
		}
		first[t] = i
		if !t.Truncate(step).Equal(t) {
			ok = false
			s.wrong(i, name, "a row an hour, on the hour", "%s is not on the hour", timeText(t, time.Minute))
		}
		if i > 0 && t.Before(times[i-1]) {
			ok = false
			s.wrong(i, name, "sort the rows by time", "%s comes after %s", timeText(t, step), timeText(times[i-1], step))
		}
	}
	return ok
}

func timeText(t time.Time, step time.Duration) string {
	if step >= 24*time.Hour {
		return t.Format("2006-01-02")
	}
	return t.Format("2006-01-02 15:04")
}

// record lays the rows out as a gapless record.
func (l *loader) record(s *sheet, days []time.Time, rows []rainRow) weather.Record {
	n := int(days[len(days)-1].Sub(days[0]).Hours()/24) + 1
	y, m, d := days[0].Date()
	r := weather.Record{Start: time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone()), RainMM: make([]float64, n)}
	hasTemp := s.has["tmin_c"] || s.has["tmin_f"]
	if hasTemp {
		r.TMinC, r.TMaxC = make([]float64, n), make([]float64, n)
	}
	known := make([]bool, n)
	rowOf := make([]int, n)
	for i, row := range rows {
		k := int(days[i].Sub(days[0]).Hours() / 24)
		known[k], rowOf[k] = true, i
		r.RainMM[k] = float64(row.RainMM)
		if s.has["rain_in"] {
			r.RainMM[k] = float64(row.RainIn) * 25.4
		}
		if hasTemp {
			tmin, tmax, _, _ := row.temps(s)
			r.TMinC[k], r.TMaxC[k] = tmin.value, tmax.value
		}
	}
	if hasTemp {
		l.fillTemps(s, r, rows, known, rowOf)
	}
	filledDays, filledGaps := 0, 0
	for k := 0; k < n; k++ {
		if known[k] {
			continue
		}
		end := k
		for !known[end] {
			end++
		}
		span := days[0].AddDate(0, 0, k).Format("2006-01-02") + " to " + days[0].AddDate(0, 0, end-1).Format("2006-01-02")
		switch {
		case end-k <= shortGapDays:
			bridge(r, k, end)
			filledDays, filledGaps = filledDays+end-k, filledGaps+1
		case !l.o.FillGaps:
			s.wrong(rowOf[end], "date", "fill in what a neighbour measured, or let --fill-gaps take the same days of another year", "%d days are missing before this row (%s)", end-k, span)
		case !borrow(r.Start, [][]float64{r.RainMM, r.TMinC, r.TMaxC}, known, k, end):
			s.wrong(rowOf[end], "date", "no other year has these days either: fill in what a neighbour measured", "%d days are missing before this row (%s)", end-k, span)
		default:
			l.warn("%s: the %d missing days %s are filled with the same days of another year", s.file, end-k, span)
		}
		k = end
	}
	if filledGaps > 0 {
		l.warn("%s: %s of 1 to %d days filled from the days beside them, %s in all", s.file, count(filledGaps, "gap"), shortGapDays, count(filledDays, "day"))
	}
	if n < 365 {
		l.problems = append(l.problems, Problem{File: s.file, What: fmt.Sprintf("the record has %s; a run needs a whole year at least", count(n, "day")), Hint: "add rows, from your own gauge or the nearest station's"})
	}
	return r
}

// bridge fills days from k to end with the straight line between the days
// beside them.
func bridge(r weather.Record, k, end int) {
	for _, v := range [][]float64{r.RainMM, r.TMinC, r.TMaxC} {
		if v == nil {
			continue
		}
		a, b := v[k-1], v[end]
		for i := k; i < end; i++ {
			v[i] = a + (b-a)*float64(i-k+1)/float64(end-k+1)
		}
	}
}

// borrow fills days from k to end with the same days of the calendar of the
// nearest year in which all of them were recorded.
func borrow(start time.Time, columns [][]float64, known []bool, k, end int) bool {
	from := start.AddDate(0, 0, k)
	for away := 1; away < 200; away++ {
		for _, years := range []int{-away, away} {
			j := int(from.AddDate(years, 0, 0).Sub(start).Hours() / 24)
			if j < 0 || j+end-k > len(known) || !allTrue(known[j:j+end-k]) {
				continue
			}
			for _, v := range columns {
				if v != nil {
					copy(v[k:end], v[j:j+end-k])
				}
			}
			return true
		}
	}
	return false
}

func allTrue(b []bool) bool {
	for _, v := range b {
		if !v {
			return false
		}
	}
	return true
}
