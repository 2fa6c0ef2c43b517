package changeover

import "time"

// calendar turns days of one water year, or of several laid over each other,
// into dates. Several years share the dates that every year has: a 29 February
// is then no date to open or close on, though its weather counts.
type calendar struct {
	start time.Time // 00:00 of a year that has these dates
	days  int
}

func yearDays(start time.Time) int {
	return int(start.AddDate(1, 0, 0).Sub(start).Hours()/24 + 0.5)
}

// leapDay returns the day of the water year that is a 29 February, or a day
// beyond the year.
func leapDay(start time.Time, days int) int {
	for d := range days {
		if t := start.AddDate(0, 0, d); t.Month() == time.February && t.Day() == 29 {
			return d
		}
	}
	return days + 1
}

// inYear takes a pair of this calendar to a water year of other length.
func (c calendar) inYear(p Pair, t *Table) Pair {
	if c.days == t.Days {
		return p
	}
	leap := t.leap
	if p.Open >= leap {
		p.Open++
	}
	if p.Close >= leap {
		p.Close++
	}
	return p
}

// time is 00:00 of a day. The day after the last is the date on which the year
// began.
func (c calendar) time(day int) time.Time { return c.start.AddDate(0, 0, day) }
