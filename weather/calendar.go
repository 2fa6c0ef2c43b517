package weather

import "time"

// Place is where the site lies. East and north are positive.
type Place struct {
	LatDeg, LonDeg float64
	ElevationM     float64
	UTCOffsetH     float64 // of the site's standard time; no daylight saving
}

// Zone returns the site's standard time as a fixed zone.
func (p Place) Zone() *time.Location {
	return time.FixedZone("standard time", int(p.UTCOffsetH*3600))
}

// Record is a gapless daily record of rain and, where known, temperature.
type Record struct {
	Start        time.Time // 00:00 of the first day, standard time
	RainMM       []float64 // one value a day
	TMinC, TMaxC []float64 // one value a day, or nil where not recorded
}

// Days returns the length of the record in days.
func (r Record) Days() int { return len(r.RainMM) }

// Index returns the day of the record that t falls in; it may lie outside.
func (r Record) Index(t time.Time) int {
	return daysBetween(r.Start, t)
}

// Slice returns days from (included) to to (excluded); it shares memory.
func (r Record) Slice(from, to int) Record {
	s := Record{Start: r.Start.AddDate(0, 0, from), RainMM: r.RainMM[from:to]}
	if r.TMinC != nil {
		s.TMinC, s.TMaxC = r.TMinC[from:to], r.TMaxC[from:to]
	}
	return s
}

// Year is the run of whole days that one simulation covers, as a rule a water
// year. Hour h is the hour that begins h hours after Start, in the site's
// standard time; there is no daylight saving. Flows of energy are means over
// the hour; stocks are those at its end.
type Year struct {
	Start time.Time // 00:00 of the first day
	Days  int       // 365 or 366; fewer where the record breaks off
}

// Unfinished reports whether the record breaks off before the year is over.
func (y Year) Unfinished() bool { return y.Days < 365 }

// Hours returns 24 hours for each day.
func (y Year) Hours() int { return 24 * y.Days }

// Number returns the calendar year in which y starts: its name.
func (y Year) Number() int { return y.Start.Year() }

// Time returns the beginning of hour h.
func (y Year) Time(h int) time.Time { return y.Start.Add(time.Duration(h) * time.Hour) }

// WaterYears returns the whole years that begin on the given day of the
// calendar and that lie within the record, in order.
func WaterYears(r Record, month time.Month, day int) []Year {
	var ys []Year
	for n := r.Start.Year(); ; n++ {
		start := time.Date(n, month, day, 0, 0, 0, 0, r.Start.Location())
		end := time.Date(n+1, month, day, 0, 0, 0, 0, r.Start.Location())
		if r.Index(end) > r.Days() {
			return ys
		}
		if !start.Before(r.Start) {
			ys = append(ys, Year{Start: start, Days: daysBetween(start, end)})
		}
	}
}

func daysBetween(a, b time.Time) int {
	d := b.Sub(a).Hours() / 24
	n := int(d)
	if d < 0 && float64(n) != d {
		n--
	}
	return n
}

// leapDay returns t's place in a leap year's calendar, 0 (1 January) to 365.
func leapDay(t time.Time) int {
	return time.Date(2020, t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).YearDay() - 1
}

// calendar walks through the days without asking package time for each.
type calendar struct {
	year    int
	month   time.Month
	day     int
	leapDay int // place in a leap year, 0 to 365
}

func newCalendar(start time.Time) calendar {
	y, m, d := start.Date()
	return calendar{year: y, month: m, day: d, leapDay: leapDay(start)}
}

func (c *calendar) next() {
	c.day++
	c.leapDay++
	if c.day <= 28 || c.day <= monthLength(c.year, c.month) {
		return
	}
	if c.month == time.February && c.day == 29 {
		c.leapDay++ // a common year skips 29 February
	}
	c.day, c.month = 1, c.month+1
	if c.month > time.December {
		c.month, c.leapDay = time.January, 0
		c.year++
	}
}

func monthLength(year int, m time.Month) int {
	switch m {
	case time.April, time.June, time.September, time.November:
		return 30
	case time.February:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}
