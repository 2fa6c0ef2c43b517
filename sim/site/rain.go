package site

import (
	"fmt"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/weather"
)

type rainRow struct {
	Date   files.Day    `csv:"date"`
	RainMM files.Number `csv:"rain_mm"`
	RainIn files.Number `csv:"rain_in"`
	TMinC  files.Maybe  `csv:"tmin_c"`
	TMinF  files.Maybe  `csv:"tmin_f"`
	TMaxC  files.Maybe  `csv:"tmax_c"`
	TMaxF  files.Maybe  `csv:"tmax_f"`
}

var rainColumns = files.Columns{}.Must("date").OneOf("rain_mm", "rain_in").MayOneOf("tmin_c", "tmin_f").MayOneOf("tmax_c", "tmax_f")

const (
	shortGapDays = 3
	greatestMM   = 2000 // a day; the greatest ever measured is about 1,800 (from memory)
)

// rainFile returns the name of the rain record.
func (l *loader) rainFile() string { return l.FileOf("rain", "file", "rain.csv") }

// rain reads [rain] and its record.
func (l *loader) rain() {
	t := l.Table("rain")
	if t == nil {
		if !l.Given("rain") {
			l.MissingTable("rain", "write [rain] and below it file = \"rain.csv\", a row a day: date, rain_mm")
		}
		return
	}
	file := t.File("file", files.Or("rain.csv", "its usual name"))
	t.Done()
	if file == "" {
		return
	}
	rows, s, ok := files.Rows[rainRow](l.Folder, file, "it holds a row a day: date, rain_mm, and if known tmin_c and tmax_c", rainColumns)
	if s == nil {
		return
	}
	days := make([]time.Time, len(rows))
	for i, r := range rows {
		days[i] = r.Date.Time
		l.rainRow(s, i, r)
	}
	in := s.InOrder("date", days, 24*time.Hour)
	if hasMin, hasMax := s.Has["tmin_c"] || s.Has["tmin_f"], s.Has["tmax_c"] || s.Has["tmax_f"]; hasMin != hasMax {
		l.Tell(files.Problem{File: file, What: "has one of tmin and tmax only", Hint: "give both, or neither"})
		return
	}
	if !in {
		return
	}
	if r := l.record(s, days, rows); ok {
		l.site.Rain = r
	}
}

func (l *loader) rainRow(s *files.Sheet, i int, r rainRow) {
	mm, name := float64(r.RainMM), "rain_mm"
	if s.Has["rain_in"] {
		mm, name = float64(r.RainIn)*measure.MMPerInch, "rain_in"
	}
	if mm < 0 {
		s.Wrong(i, name, "a day without rain has 0; a mark such as -999 for a missing day has to go: leave out the row", "rain cannot be negative")
	} else if mm > greatestMM {
		s.Wrong(i, name, "is it the right unit?", "more rain than ever fell in a day")
	}
	tmin, tmax, nameMin, nameMax := r.temps(s)
	for _, k := range []struct {
		name string
		t    files.Maybe
	}{{nameMin, tmin}, {nameMax, tmax}} {
		if k.t.Given && (k.t.Value < -90 || k.t.Value > 60) {
			s.Wrong(i, k.name, "is it the right unit? A mark for a missing value has to go: leave the cell empty", "%.0f °C has never been measured on earth", k.t.Value)
		}
	}
	if tmin.Given && tmax.Given && tmin.Value > tmax.Value {
		s.Wrong(i, nameMin, "are the two exchanged?", "the day's lowest temperature is above its highest")
	}
}

// temps returns the day's temperatures in °C, as far as they are given, and the
// names of their columns.
func (r rainRow) temps(s *files.Sheet) (tmin, tmax files.Maybe, nameMin, nameMax string) {
	tmin, tmax, nameMin, nameMax = r.TMinC, r.TMaxC, "tmin_c", "tmax_c"
	if s.Has["tmin_f"] {
		tmin, nameMin = files.Maybe{Value: (r.TMinF.Value - 32) * 5 / 9, Given: r.TMinF.Given}, "tmin_f"
	}
	if s.Has["tmax_f"] {
		tmax, nameMax = files.Maybe{Value: (r.TMaxF.Value - 32) * 5 / 9, Given: r.TMaxF.Given}, "tmax_f"
	}
	return tmin, tmax, nameMin, nameMax
}

// record lays the rows out as a gapless record.
func (l *loader) record(s *files.Sheet, days []time.Time, rows []rainRow) weather.Record {
	n := int(days[len(days)-1].Sub(days[0]).Hours()/24) + 1
	y, m, d := days[0].Date()
	r := weather.Record{Start: time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone()), RainMM: make([]float64, n)}
	hasTemp := s.Has["tmin_c"] || s.Has["tmin_f"]
	if hasTemp {
		r.TMinC, r.TMaxC = make([]float64, n), make([]float64, n)
	}
	known := make([]bool, n)
	rowOf := make([]int, n)
	for i, row := range rows {
		k := int(days[i].Sub(days[0]).Hours() / 24)
		known[k], rowOf[k] = true, i
		r.RainMM[k] = float64(row.RainMM)
		if s.Has["rain_in"] {
			r.RainMM[k] = float64(row.RainIn) * measure.MMPerInch
		}
		if hasTemp {
			tmin, tmax, _, _ := row.temps(s)
			r.TMinC[k], r.TMaxC[k] = tmin.Value, tmax.Value
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
			s.Wrong(rowOf[end], "date", "fill in what a neighbour measured, or let --fill-gaps take the same days of another year", "%d days are missing before this row (%s)", end-k, span)
		case !borrow(r.Start, [][]float64{r.RainMM, r.TMinC, r.TMaxC}, known, k, end):
			s.Wrong(rowOf[end], "date", "no other year has these days either: fill in what a neighbour measured", "%d days are missing before this row (%s)", end-k, span)
		default:
			l.warn("%s: the %d missing days %s are filled with the same days of another year", s.File, end-k, span)
		}
		k = end
	}
	if filledGaps > 0 {
		l.warn("%s: %s of 1 to %d days filled from the days beside them, %s in all", s.File, files.Count(filledGaps, "gap"), shortGapDays, files.Count(filledDays, "day"))
	}
	if n < 365 {
		l.Tell(files.Problem{File: s.File, What: fmt.Sprintf("the record has %s; a run needs a whole year at least", files.Count(n, "day")), Hint: "add rows, from your own gauge or the nearest station's"})
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
