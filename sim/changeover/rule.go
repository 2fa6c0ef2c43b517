package changeover

import (
	"time"

	"sunrill/sim"
)

// daily is what a person at the creek can know of a water year, day by day.
// Everything at day d is what is known at 00:00 of d: d itself is not.
type daily struct {
	start     time.Time
	flow      []float64 // m³/s of day d; at 00:00 of d known to d-1
	rain      []float64 // mm since the year's start
	sun       []float64 // mean sun hours of the sunDays days before; of fewer at the year's start
	lengthens []bool    // the days grow longer: from midwinter to midsummer
	totalMM   float64
}

// sunDays is the stretch over which a rule looks at the sun hours.
const sunDays = 14

func newDaily(in *sim.Input, south bool) *daily {
	days := in.Hours() / 24
	d := &daily{
		start: in.Start,
		flow:  append([]float64(nil), in.FlowM3S...),
		rain:  make([]float64, days+1), sun: make([]float64, days+1), lengthens: make([]bool, days+1),
	}
	sum := 0.0
	for i := range days {
		d.rain[i+1] = d.rain[i]
		if in.RainMM != nil {
			d.rain[i+1] += in.RainMM[i]
		}
		if in.SunHours != nil {
			sum += in.SunHours[i]
			n := i + 1
			if n > sunDays {
				n = sunDays
				sum -= in.SunHours[i-sunDays]
			}
			d.sun[i+1] = sum / float64(n)
		}
	}
	for i := range d.lengthens {
		// The solstices fall on 20 to 22 June and December.
		t := in.Start.AddDate(0, 0, i)
		first := t.Month() < time.June || t.Month() == time.June && t.Day() <= 20
		last := t.Month() == time.December && t.Day() > 20
		d.lengthens[i] = (first || last) != south
	}
	d.totalMM = d.rain[days]
	return d
}

func (d *daily) days() int { return len(d.lengthens) - 1 }

// opening is one half of a rule. Its zero value opens at the year's start.
type opening struct {
	flowM3S float64 // open when the stream has been at least this
	days    int     // on so many days running; 0: the stream does not decide
	rainMM  float64 // open after so much rain since the year's start; 0: the rain does not decide
}

// closing is the other half: the first of its two reasons closes. Its zero
// value leaves the valve open to the year's end.
type closing struct {
	flowM3S  float64 // close when the stream has been below this
	days     int     // on so many days running; 0: the stream does not decide
	sunHours float64 // close when the mean sun hours of the last sunDays days reach this in the lengthening days; 0: the sun does not decide
}

// next fills dst with, for each day, the first day from it on at whose 00:00
// the valve is opened; days()+1 stands for none. Only days before that moment
// are looked at.
func (o opening) next(dst []int16, d *daily) []int16 {
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
	default:
		for i := range days {
			dst[i] = int16(i)
		}
	}
	return dst
}

// byFlow fills dst with, for each day on whose 00:00 the valve is opened, the
// day on which the stream closes it again; days()+1 stands for none.
func (c closing) byFlow(dst []int16, d *daily) []int16 {
	days := d.days()
	dst = grow(dst, days+1)
	next := int16(days + 1) // the first day, from i+c.days on, after days enough of low flow
	run := runs(d.flow, func(q float64) bool { return q < c.flowM3S })
	for i := days; i >= 0; i-- {
		if at := i + c.days; at <= days && run(at) >= c.days {
			next = int16(at)
		}
		dst[i] = next
	}
	return dst
}

// bySun does the same for the sun.
func (c closing) bySun(dst []int16, d *daily) []int16 {
	days := d.days()
	dst = grow(dst, days+1)
	next := int16(days + 1)
	for i := days; i >= 0; i-- {
		dst[i] = next
		if d.lengthens[i] && d.sun[i] >= c.sunHours {
			next = int16(i)
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
