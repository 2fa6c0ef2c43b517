package site

import (
	"fmt"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/weather"
)

type rainRow struct {
	Date   files.Day   `csv:"date"`
	RainMM files.Maybe `csv:"rain_mm"`
	RainIn files.Maybe `csv:"rain_in"`
	TMinC  files.Maybe `csv:"tmin_c"`
	TMinF  files.Maybe `csv:"tmin_f"`
	TMaxC  files.Maybe `csv:"tmax_c"`
	TMaxF  files.Maybe `csv:"tmax_f"`
	Note   string      `csv:"note"`
}

// mm returns the day's rain in mm, as far as it is given, and the name of its
// column.
func (r rainRow) mm(s *files.Sheet) (rain files.Maybe, name string) {
	if s.Has["rain_in"] {
		return files.Maybe{Value: r.RainIn.Value * measure.MMPerInch, Given: r.RainIn.Given}, "rain_in"
	}
	return r.RainMM, "rain_mm"
}

var rainColumns = files.Columns{}.Must("date").OneOf("rain_mm", "rain_in").MayOneOf("tmin_c", "tmin_f").MayOneOf("tmax_c", "tmax_f").May("note").Most(maxDays, "a row a day, none twice; is it the right file?")

const (
	shortGapDays = 3
	maxDays      = 150_000 // four centuries
	greatestMM   = 2000    // a day; the greatest ever measured is about 1,800 (from memory)
)

// rainFile returns the name of the rain record.
func (l *loader) rainFile() string { return l.FileOf("rain", "file", "rain.csv") }

// rain reads [rain] and its record.
func (l *loader) rain() {
	t := l.tableOf("rain", "rain.csv")
	if t == nil {
		if !l.Given("rain") {
			l.MissingTable("rain", "write [rain] and below it file = \"rain.csv\", a row a day: date, rain_mm")
		}
		return
	}
	if l.rainByMonths(t) {
		return
	}
	file := t.File("file", files.Or("rain.csv", "its usual name"))
	if t.Has("gaps") && t.Choice("gaps", []string{"tell", "fill"}, files.Optional) == "fill" {
		l.o.FillGaps = true
	}
	t.Done()
	if file == "" {
		return
	}
	rows, s, ok := files.Rows[rainRow](l.Folder, file, "it holds a row a day: date, rain_mm, and if known tmin_c and tmax_c; where no gauge is near, months = \"rain-months.csv\" under [rain] makes do with the twelve months of a climate page", rainColumns)
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
	if !in || l.monthsForDays(s, days) {
		return
	}
	if r, told := l.record(s, days, rows); !told && ok {
		l.Tell(files.Problem{File: file, What: "tells the rain of no day", Hint: "write what the gauge held; 0 only where it was read and dry"})
	} else if ok {
		l.site.Rain = r
		l.slips(file)
	}
}

func (l *loader) rainRow(s *files.Sheet, i int, r rainRow) {
	rain, name := r.mm(s)
	if rain.Value < 0 {
		s.Wrong(i, name, "a day without rain has 0; a mark such as -999 for a missing day has to go: leave the cell empty", "rain cannot be negative")
	} else if rain.Value > greatestMM {
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

// record lays the rows out as a gapless record. A day without a row and a day
// whose rain is empty are gaps: missing is not dry. The record begins and ends
// with a day whose rain is known; told is false if there is none.
func (l *loader) record(s *files.Sheet, days []time.Time, rows []rainRow) (r weather.Record, told bool) {
	first, last := 0, len(rows)-1
	given := func(i int) bool {
		rain, _ := rows[i].mm(s)
		return rain.Given
	}
	for first <= last && !given(first) {
		first++
	}
	for last > first && !given(last) {
		last--
	}
	if first > last {
		return r, false
	}
	_, rainName := rainRow{}.mm(s)
	if cut := first + len(rows) - 1 - last; cut > 0 {
		l.warn("%s: %s is empty on the first or the last %s; the record is cut there", s.File, rainName, files.Count(cut, "day"))
	}
	start := days[first]
	n := int(days[last].Sub(start).Hours()/24) + 1
	y, m, d := start.Date()
	r = weather.Record{Start: time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone()), RainMM: make([]float64, n)}
	hasTemp := s.Has["tmin_c"] || s.Has["tmin_f"]
	if hasTemp {
		r.TMinC, r.TMaxC = make([]float64, n), make([]float64, n)
	}
	known, inRow := make([]bool, n), make([]bool, n)
	rowOf := make([]int, n)
	for i := first; i <= last; i++ {
		k := int(days[i].Sub(start).Hours() / 24)
		rain, _ := rows[i].mm(s)
		inRow[k], rowOf[k] = true, i
		known[k], r.RainMM[k] = rain.Given, rain.Value
		if hasTemp {
			tmin, tmax, _, _ := rows[i].temps(s)
			r.TMinC[k], r.TMaxC[k] = tmin.Value, tmax.Value
		}
	}
	if hasTemp {
		l.fillTemps(s, r, rows, inRow, rowOf)
	}
	l.fillRain(s, r, known, inRow, rowOf)
	if n < 365 {
		l.Tell(files.Problem{File: s.File, What: fmt.Sprintf("the record has %s; a run needs a whole year at least", files.Count(n, "day")), Hint: "add rows, from your own gauge or the nearest station's"})
	}
	return r, true
}

// fillRain fills gaps of up to three days from the days beside them, and, if
// the owner lets it, longer ones with the same days of another year. known says
// of which days the rain is told, inRow which have a row, and with it
// temperatures of their own.
func (l *loader) fillRain(s *files.Sheet, r weather.Record, known, inRow []bool, rowOf []int) {
	temps := [][]float64{r.TMinC, r.TMaxC}
	_, name := rainRow{}.mm(s)
	filledDays, filledGaps := 0, 0
	for k := 0; k < len(known); k++ {
		if known[k] {
			continue
		}
		end, rowless := k, true
		for ; !known[end]; end++ {
			rowless = rowless && !inRow[end]
		}
		columns := [][]float64{r.RainMM}
		if rowless {
			columns = append(columns, temps...)
		}
		span := r.Start.AddDate(0, 0, k).Format("2006-01-02") + " to " + r.Start.AddDate(0, 0, end-1).Format("2006-01-02")
		at, what := "date", fmt.Sprintf("%d days are missing before this row (%s)", end-k, span)
		if !rowless {
			at, what = name, fmt.Sprintf("%s is not known of the %d days before this row (%s)", name, end-k, span)
		}
		const neighbour = "fill in what a neighbour's gauge held; 0 only where a gauge was read and dry"
		switch {
		case end-k <= shortGapDays:
			bridge(columns, k, end)
			filledDays, filledGaps = filledDays+end-k, filledGaps+1
		case !l.o.FillGaps:
			s.Wrong(rowOf[end], at, neighbour+". Or write gaps = \"fill\" under [rain] (or give --fill-gaps) to take the same days of another year", "%s", what)
		case !borrow(r.Start, columns, known, k, end):
			s.Wrong(rowOf[end], at, "no other year has these days either: "+neighbour, "%s", what)
		default:
			l.warn("%s: the %d missing days %s are filled with the same days of another year", s.File, end-k, span)
		}
		if !rowless {
			l.tempsBetween(r, inRow, k, end)
		}
		k = end
	}
	if filledGaps > 0 {
		l.warn("%s: %s of 1 to %d days filled from the days beside them, %s in all", s.File, files.Count(filledGaps, "gap"), shortGapDays, files.Count(filledDays, "day"))
	}
}

// tempsBetween fills the temperatures of days without a row that lie among
// days k to end, of which others have one: from the days beside them, or, more
// than three, with the same days of another year.
func (l *loader) tempsBetween(r weather.Record, inRow []bool, k, end int) {
	for ; k < end; k++ {
		if inRow[k] {
			continue
		}
		to := k
		for ; !inRow[to]; to++ {
		}
		if temps := [][]float64{r.TMinC, r.TMaxC}; to-k <= shortGapDays || !borrow(r.Start, temps, inRow, k, to) {
			bridge(temps, k, to)
		}
		k = to
	}
}

// bridge fills days from k to end with the straight line between the days
// beside them.
func bridge(columns [][]float64, k, end int) {
	for _, v := range columns {
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
