package site

import (
	"fmt"
	"math"
	"strings"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/weather"
)

const (
	shortGapHours = 3
	hoursOfYear   = 365 * 24 // of a common year: the least that a record must hold
)

// series is a column of an hourly record, on its way to a gapless slice.
type series struct {
	name   string
	values []files.Maybe
	ofSun  bool // runs with the sun: a gap looks like the same hours of the days beside it
}

// grid lays the rows of an hourly record out as gapless slices, one a column.
// Gaps of up to three hours are filled and told; longer ones are problems.
func (l *loader) grid(s *files.Sheet, times []time.Time, columns []series) (start time.Time, out [][]float64, ok bool) {
	before := l.Told()
	if l.summerTime(s, times) || !s.InOrder("time", times, time.Hour) {
		return time.Time{}, nil, false
	}
	n := int(times[len(times)-1].Sub(times[0]).Hours()) + 1
	if n > (shortGapHours+1)*len(times) {
		// A stray date may be centuries away: tell the gap before making room.
		for i := 1; i < len(times); i++ {
			if gap := int(times[i].Sub(times[i-1]).Hours()) - 1; gap > shortGapHours {
				s.Wrong(i, "time", "is the date right?", "%s missing before this row", missingHours(gap))
			}
		}
		return time.Time{}, nil, false
	}
	out = make([][]float64, len(columns))
	filled := make([]bool, n) // in one column at least
	for c, col := range columns {
		out[c] = make([]float64, n)
		last := -1
		var dark [][2]int
		for i, v := range col.values {
			if !v.Given {
				continue
			}
			h := int(times[i].Sub(times[0]).Hours())
			if gap := h - last - 1; gap > 0 {
				if gap > shortGapHours || last < 0 {
					s.Wrong(i, col.name, fmt.Sprintf("fill it in, or cut the record there; up to %d hours are filled by themselves", shortGapHours), "%s missing before this row", missingHours(gap))
				} else {
					a, b := out[c][last], v.Value
					for k := 1; k <= gap; k++ {
						filled[last+k] = true
						out[c][last+k] = a + (b-a)*float64(k)/float64(gap+1)
					}
					if col.ofSun {
						dark = append(dark, [2]int{last + 1, h})
					}
				}
			}
			out[c][h], last = v.Value, h
		}
		for _, gap := range dark {
			asDaysBeside(out[c], gap[0], gap[1])
		}
		if last < n-1 {
			s.Wrong(len(times)-1, col.name, "cut the record where the values end", "%s missing at the end", missingHours(n-1-last))
		}
	}
	filledHours := 0
	for _, f := range filled {
		if f {
			filledHours++
		}
	}
	if filledHours > 0 {
		l.warn("%s: gaps of 1 to %d hours filled from the hours and days beside them, %s in all", s.File, shortGapHours, files.Count(filledHours, "hour"))
	}
	if n < hoursOfYear {
		l.Tell(files.Problem{File: s.File, What: fmt.Sprintf("the record has %s; a year has %d", files.Count(n, "hour"), hoursOfYear), Hint: "a run needs a whole year at least"})
	}
	t := times[0]
	start = time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), 0, 0, 0, l.site.Place.Zone())
	return start, out, l.Told() == before
}

// summerTime tells an hourly record whose clock was put forward and back.
func (l *loader) summerTime(s *files.Sheet, times []time.Time) bool {
	for _, j := range weather.SummerTimeJumps(times) {
		what := "an hour is skipped before %s"
		if j.ByH < 0 {
			what = "an hour is told twice before %s"
		}
		s.Wrong(j.Index, "time", "write standard time all year: take an hour off the stamps between the two changes", what+": the clock follows summer time", files.TimeText(times[j.Index], time.Hour))
	}
	return len(weather.SummerTimeJumps(times)) > 0
}

// clock holds a measured record against the sun.
func (l *loader) clock(s *files.Sheet, sun *weather.MeasuredSun) bool {
	if math.IsNaN(l.site.Place.LatDeg) || math.IsNaN(l.site.Place.LonDeg) {
		return false
	}
	c := weather.CheckClock(l.site.Place, sun.Start, sun.GHI)
	switch {
	case c.SummerTime:
		l.Tell(files.Problem{File: s.File, What: fmt.Sprintf("the clock follows summer time: from about %s to %s the sun runs an hour late", c.SummerFrom.Format("2006-01-02"), c.SummerTill.Format("2006-01-02")),
			Hint: "write standard time all year: take an hour off the stamps between the two changes"})
		return false
	case c.NightHours > 0:
		hint := "are latitude, longitude and utc_offset right, and the stamps in standard time?"
		switch {
		case c.ShiftH == -1:
			hint = "the stamps are an hour late: write stamp = \"ending\" if a row tells the hour that ends then, or take an hour off them"
		case c.ShiftH != 0:
			hint = fmt.Sprintf("the clock is off: %+g h on every stamp would bring the sun to its place; or utc_offset or longitude is wrong", c.ShiftH)
		}
		first := sun.Start.Add(time.Duration(c.FirstNight) * time.Hour)
		l.Tell(files.Problem{File: s.File, What: fmt.Sprintf("%s with more than %d W/m² while the sun is down, first at %s", files.Count(c.NightHours, "hour"), weather.NightLimitWM2, files.TimeText(first, time.Hour)), Hint: hint})
		return false
	}
	return true
}

// asDaysBeside fills hours from..to with the mean of the same hours of the day
// before and the day after, as far as there are such: a straight line would
// shine before sunrise.
func asDaysBeside(v []float64, from, to int) {
	for h := from; h < to; h++ {
		switch before, after := h-24, h+24; {
		case before >= 0 && after < len(v):
			v[h] = (v[before] + v[after]) / 2
		case before >= 0:
			v[h] = v[before]
		case after < len(v):
			v[h] = v[after]
		}
	}
}

func missingHours(n int) string {
	if n == 1 {
		return "1 hour is"
	}
	return fmt.Sprintf("%d hours are", n)
}

type sunHourRow struct {
	Time  files.Hour  `csv:"time"`
	GHI   files.Maybe `csv:"ghi_w_m2"`
	DNI   files.Maybe `csv:"dni_w_m2"`
	DHI   files.Maybe `csv:"dhi_w_m2"`
	TempC files.Maybe `csv:"temp_c"`
	TempF files.Maybe `csv:"temp_f"`
}

var sunHourColumns = files.Columns{}.Must("time", "ghi_w_m2").May("dni_w_m2", "dhi_w_m2").MayOneOf("temp_c", "temp_f")

// hourlySun reads a measured record of the sun.
func (l *loader) hourlySun(file string, ending, repeat bool) *weather.MeasuredSun {
	rows, s, ok := files.Rows[sunHourRow](l.Folder, file, "it holds a row an hour: time, ghi_w_m2, and if measured dni_w_m2, dhi_w_m2, temp_c", sunHourColumns)
	if s == nil || len(rows) == 0 {
		return nil
	}
	times := make([]time.Time, len(rows))
	ghi, dni, dhi, temp := make([]files.Maybe, len(rows)), make([]files.Maybe, len(rows)), make([]files.Maybe, len(rows)), make([]files.Maybe, len(rows))
	negative := 0
	sun := func(i int, name string, v files.Maybe) files.Maybe {
		switch {
		case !v.Given:
		case v.Value < -20 || v.Value > 1600:
			s.Wrong(i, name, "W/m², the mean of the hour; a mark for a missing value has to go: leave the cell empty", "%s is outside -20 to 1600", measure.Trim(v.Value))
			ok = false
		case v.Value < 0:
			negative++
			v.Value = 0
		}
		return v
	}
	for i, r := range rows {
		times[i] = r.Time.Time
		if ending && !times[i].IsZero() {
			times[i] = times[i].Add(-time.Hour)
		}
		ghi[i], dni[i], dhi[i] = sun(i, "ghi_w_m2", r.GHI), sun(i, "dni_w_m2", r.DNI), sun(i, "dhi_w_m2", r.DHI)
		temp[i] = r.TempC
		name := "temp_c"
		if s.Has["temp_f"] {
			temp[i], name = files.Maybe{Value: (r.TempF.Value - 32) * 5 / 9, Given: r.TempF.Given}, "temp_f"
		}
		if temp[i].Given && (temp[i].Value < -90 || temp[i].Value > 60) {
			s.Wrong(i, name, "is it the right unit?", "%.0f °C has never been measured on earth", temp[i].Value)
			ok = false
		}
	}
	if !ok {
		return nil
	}
	if negative > 0 {
		l.warn("%s: %s a little below 0 taken as 0: instruments do that at night", file, files.Count(negative, "value"))
	}
	columns := []series{{"ghi_w_m2", ghi, true}}
	add := func(name string, v []files.Maybe) int {
		if !s.Has[name] {
			return -1
		}
		columns = append(columns, series{name, v, !strings.HasPrefix(name, "temp")})
		return len(columns) - 1
	}
	iDNI, iDHI := add("dni_w_m2", dni), add("dhi_w_m2", dhi)
	iTemp := max(add("temp_c", temp), add("temp_f", temp))
	start, values, ok := l.grid(s, times, columns)
	if !ok {
		return nil
	}
	pick := func(i int) []float64 {
		if i < 0 {
			return nil
		}
		return values[i]
	}
	record := &weather.MeasuredSun{Start: start, GHI: values[0], DNI: pick(iDNI), DHI: pick(iDHI), TempC: pick(iTemp), Repeat: repeat}
	if !l.clock(s, record) {
		return nil
	}
	return record
}

type demandRow struct {
	Time    files.Hour  `csv:"time"`
	DemandW files.Maybe `csv:"demand_w"`
}

// demand reads the record of an own meter.
func (l *loader) demand(file string) *Hourly {
	rows, s, ok := files.Rows[demandRow](l.Folder, file, "it holds a row an hour: time, demand_w", files.Columns{}.Must("time", "demand_w"))
	if s == nil || len(rows) == 0 {
		return nil
	}
	times, watts := make([]time.Time, len(rows)), make([]files.Maybe, len(rows))
	for i, r := range rows {
		times[i], watts[i] = r.Time.Time, r.DemandW
		if r.DemandW.Value < 0 || r.DemandW.Value > 1e5 {
			s.Wrong(i, "demand_w", "watts, the mean of the hour", "%s is outside 0 to 100000", measure.Trim(r.DemandW.Value))
			ok = false
		}
	}
	if !ok {
		return nil
	}
	start, values, ok := l.grid(s, times, []series{{"demand_w", watts, false}})
	if !ok {
		return nil
	}
	return &Hourly{Start: start, Values: values[0]}
}
