package weather

import (
	"math"
	"time"
)

// monthCount gathers one calendar month over many years, a value at a time, so
// that its size does not grow with them.
type monthCount struct {
	months, days, wet int
	spells, spellDays int
	sumMM, squareMM   float64 // of the totals of whole months
	sumC              float64
}

// count adds a record, whose days are those of the given calendar, to the
// twelve months. A month cut off by an end of the record counts for its days
// but not for the spread of totals, nor does a spell that the record cuts off
// count for the mean spell.
func count(months *[12]monthCount, r Record, days []calendarDay) {
	total, spell, begun := 0.0, 0, -1
	whole := false // the month at hand was seen from its first day
	for d, mm := range r.RainMM {
		day := days[d]
		m := &months[day.month]
		m.days++
		if day.number == 1 {
			total, whole = 0, true
		}
		total += mm
		if r.TMinC != nil {
			m.sumC += (r.TMinC[d] + r.TMaxC[d]) / 2
		}
		switch {
		case isWet(mm):
			m.wet++
			if spell == 0 && d > 0 {
				begun = day.month
			}
			spell++
		case spell > 0:
			if begun >= 0 {
				months[begun].spells++
				months[begun].spellDays += spell
			}
			spell, begun = 0, -1
		}
		if day.number == day.of && whole {
			m.months++
			m.sumMM += total
			m.squareMM += total * total
		}
	}
}

// calendarDay is a day of the calendar without its year.
type calendarDay struct {
	month  int // 0 is January
	number int // of the month, from 1
	of     int // days of the month
}

func calendarDays(start time.Time, days int) []calendarDay {
	c := make([]calendarDay, days)
	for d := range c {
		day := start.AddDate(0, 0, d)
		last := time.Date(day.Year(), day.Month()+1, 0, 0, 0, 0, 0, time.UTC)
		c[d] = calendarDay{int(day.Month()) - 1, day.Day(), last.Day()}
	}
	return c
}

func (m monthCount) wetFraction() float64 { return ratio(float64(m.wet), m.days) }
func (m monthCount) wetSpell() float64    { return ratio(float64(m.spellDays), m.spells) }
func (m monthCount) meanMM() float64      { return ratio(m.sumMM, m.months) }
func (m monthCount) meanC() float64       { return ratio(m.sumC, m.days) }

func (m monthCount) stdDevMM() float64 {
	if m.months < 2 {
		return 0
	}
	n := float64(m.months)
	return math.Sqrt(max(m.squareMM-m.sumMM*m.sumMM/n, 0) / (n - 1))
}

func ratio(sum float64, n int) float64 {
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}
