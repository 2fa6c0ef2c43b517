package changeover

import (
	"time"

	"sunrill/sim"
)

// daily is what a person at the creek can know of a water year, day by day.
// Everything at day d is what is known at 00:00 of d: d itself is not. What the
// bank's meter shows depends on the day of opening and stands in the [Table].
type daily struct {
	start     time.Time
	flow      []float64 // m³/s of day d; at 00:00 of d known to d-1
	rain      []float64 // mm since the year's start
	lengthens []bool    // the days grow longer: from midwinter to midsummer
	totalMM   float64
}

func newDaily(in *sim.Input, south bool) *daily {
	days := in.Hours() / 24
	d := &daily{
		start: in.Start,
		flow:  append([]float64(nil), in.FlowM3S...),
		rain:  make([]float64, days+1), lengthens: make([]bool, days+1),
	}
	for i := range days {
		d.rain[i+1] = d.rain[i]
		if in.RainMM != nil {
			d.rain[i+1] += in.RainMM[i]
		}
	}
	for i := range d.lengthens {
		d.lengthens[i] = lengthens(in.Start.AddDate(0, 0, i), south)
	}
	d.totalMM = d.rain[days]
	return d
}

// lengthens reports whether the days grow longer: from 21 December to 20 June
// in the north.
func lengthens(t time.Time, south bool) bool {
	first := t.Month() < time.June || t.Month() == time.June && t.Day() <= 20
	last := t.Month() == time.December && t.Day() > 20
	return (first || last) != south
}

func (d *daily) days() int { return len(d.lengthens) - 1 }

// opening is one half of a rule. Its zero value opens at the year's start.
type opening struct {
	flowM3S float64 // open when the stream has been at least this
	days    int     // on so many days running; 0: the stream does not decide
	rainMM  float64 // open after so much rain since the year's start; 0: the rain does not decide
	date    int     // open on this day of the calendar; 0: the calendar does not decide
}

// ebb closes when the stream has been low. Its zero value never closes.
type ebb struct {
	flowM3S float64 // close when the stream has been below this
	days    int     // on so many days running since the opening; 0: the stream does not decide
}

// spring closes when the sun carries the house again. Its zero value never
// closes.
type spring struct {
	date  int // close on this day of the calendar; 0: the calendar does not decide
	full  int // close when the bank's meter has shown full at noon on so many days running since the opening; 0: the meter does not decide
	since int // counted from this day of the calendar on
}

// next fills dst with, for each day, the first day from it on at whose 00:00
// the valve is opened; days()+1 stands for none. Only days before that moment
// are looked at. in takes a day of the calendar to one of the year.
func (o opening) next(dst []int16, d *daily, in func(day int) int) []int16 {
	days := d.days()
	none := int16(days + 1)
	dst = grow(dst, days+1)
	dst[days] = none
	switch {
	case o.days > 0:
		run := runs(d.flow, func(q float64) bool { return q >= o.flowM3S })
		for i := days - 1; i >= 0; i-- {
			dst[i] = dst[i+1]
			if run(i) >= o.days {
				dst[i] = int16(i)
			}
		}
	case o.rainMM > 0:
		at := none
		for i := days - 1; i >= 0 && d.rain[i] >= o.rainMM; i-- {
			at = int16(i)
		}
		for i := range days {
			dst[i] = none
			if int16(i) <= at {
				dst[i] = at
			}
		}
	case o.date > 0:
		at := in(o.date)
		for i := range days {
			dst[i] = none
			if i <= at {
				dst[i] = int16(at)
			}
		}
	default:
		for i := range days {
			dst[i] = int16(i)
		}
	}
	return dst
}

// closes fills dst with, for each day on whose 00:00 the valve is opened, the
// day on which the stream closes it again; days()+1 stands for none.
func (c ebb) closes(dst []int16, d *daily) []int16 {
	days := d.days()
	dst = grow(dst, days+1)
	next := int16(days + 1) // the first day, from i+c.days on, after days enough of low flow
	run := runs(d.flow, func(q float64) bool { return q < c.flowM3S })
	for i := days; i >= 0; i-- {
		if at := i + c.days; c.days > 0 && at <= days && run(at) >= c.days {
			next = int16(at)
		}
		dst[i] = next
	}
	return dst
}

// closes does the same for the calendar and the bank's meter.
func (c spring) closes(dst []int16, d *daily, t *Table, in func(day int) int) []int16 {
	days := d.days()
	dst = grow(dst, days+1)
	for i := range dst {
		dst[i] = int16(days + 1)
	}
	switch {
	case c.date > 0:
		at := in(c.date)
		for i := range at {
			dst[i] = int16(at)
		}
	case c.full > 0:
		since := in(c.since)
		for o := range days {
			run := 0
			for d := max(o, since); d < days; d++ {
				if run++; !t.full.at(o*days + d) {
					run = 0
				}
				if run >= c.full {
					dst[o] = int16(d + 1)
					break
				}
			}
		}
	}
	return dst
}

// runs returns a function that tells for how many days before day i, that
// run of them unbroken, ok holds.
func runs(daily []float64, ok func(float64) bool) func(i int) int {
	n := make([]int, len(daily)+1)
	for i, q := range daily {
		if ok(q) {
			n[i+1] = n[i] + 1
		}
	}
	return func(i int) int { return n[i] }
}

func grow(s []int16, n int) []int16 {
	if cap(s) < n {
		return make([]int16, n)
	}
	return s[:n]
}

// bits is a set of small numbers.
type bits []uint64

func newBits(n int) bits { return make(bits, (n+63)/64) }

func (b bits) set(i int) { b[i/64] |= 1 << (i % 64) }

func (b bits) at(i int) bool { return b[i/64]>>(i%64)&1 == 1 }
