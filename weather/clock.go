package weather

import (
	"math"
	"math/cmplx"
	"time"
)

// NightLimitWM2 is the sunshine above which an hour without sun above the
// level horizon cannot be true: twilight gives less.
const NightLimitWM2 = 20

// ClockCheck is what the sun says of an hourly record's clock.
type ClockCheck struct {
	NightHours int // hours with the sun below the level horizon and more than [NightLimitWM2]
	FirstNight int // the first of them; -1: none

	// ShiftH is what added to every stamp brings the record's sunshine to the
	// sun's own hours, to half an hour: −1 for stamps at the hour's end. It is
	// a fault of the clock only where NightHours tells so too: hills and
	// morning fog also move the middle of the day.
	ShiftH float64

	// SummerTime tells that between the two days, in one year of the record,
	// the sunshine runs close to an hour late: the clock was put forward.
	SummerTime             bool
	SummerFrom, SummerTill time.Time
}

// CheckClock compares measured sunshine (GHI in W/m², a value an hour from
// start on) with the sun at p.
func CheckClock(p Place, start time.Time, ghi []float64) ClockCheck {
	c := ClockCheck{FirstNight: -1}
	tr := calendarTrack(p)
	day, hour := newCalendar(start), start.Hour()
	weeks := make([]clockWeek, 0, len(ghi)/168+1)
	for i, g := range ghi {
		if i%168 == 0 {
			weeks = append(weeks, clockWeek{from: start.Add(time.Duration(i) * time.Hour)})
		}
		outside := tr.ExtraterrestrialWM2[24*day.leapDay+hour]
		if outside == 0 && g > NightLimitWM2 {
			c.NightHours++
			if c.FirstNight < 0 {
				c.FirstNight = i
			}
		}
		turn := cmplx.Rect(1, 2*math.Pi*float64(hour)/24)
		w := &weeks[len(weeks)-1]
		w.seen += complex(math.Max(0, g), 0) * turn
		w.sun += complex(outside, 0) * turn
		if hour++; hour == 24 {
			hour = 0
			day.next()
		}
	}
	lates := weekLates(weeks)
	if len(lates) > 0 {
		c.ShiftH = -math.Round(2*median(lates, func(w clockWeek) float64 { return w.lateH })) / 2
		if c.ShiftH == 0 {
			c.ShiftH = 0 // no minus zero
		}
	}
	c.findSummerTime(lates)
	return c
}

// clockWeek compares a week's sunshine with the sun: both summed as pointers on
// a dial of 24 hours, whose direction is the middle of the day.
type clockWeek struct {
	from      time.Time
	seen, sun complex128
	lateH     float64 // by how much the sunshine is later than the sun
}

// weekLates fills in lateH and leaves out weeks without sun.
func weekLates(weeks []clockWeek) []clockWeek {
	kept := weeks[:0]
	for _, w := range weeks {
		if cmplx.Abs(w.seen) == 0 || cmplx.Abs(w.sun) == 0 {
			continue
		}
		w.lateH = cmplx.Phase(w.seen*cmplx.Conj(w.sun)) * 12 / math.Pi
		kept = append(kept, w)
	}
	return kept
}

const (
	summerWeeksMin = 8 // summer time lasts 20 to 35 weeks; 8 finds a cut record
	yearWeeks      = 52
	stepMinH       = 0.7
	stepMaxH       = 1.3
)

// findSummerTime looks, in each year of the record, for the run of weeks whose
// lateness differs most from the weeks around it, and calls it summer time where
// the difference is near one hour and sudden on both sides.
func (c *ClockCheck) findSummerTime(weeks []clockWeek) {
	for first := 0; first+summerWeeksMin <= len(weeks) && !c.SummerTime; first += yearWeeks {
		year := weeks[first:min(first+yearWeeks, len(weeks))]
		sums := make([]float64, len(year)+1)
		for i, w := range year {
			sums[i+1] = sums[i] + w.lateH
		}
		n := float64(len(year))
		best, from, till := 0.0, 0, 0
		for i := range year {
			for j := i + summerWeeksMin; j <= len(year) && j-i <= len(year)-summerWeeksMin; j++ {
				in := float64(j - i)
				inMean := (sums[j] - sums[i]) / in
				outMean := (sums[len(year)] - sums[j] + sums[i]) / (n - in)
				// what the split explains of the weeks' variance
				if v := (inMean - outMean) * in * (n - in) * (inMean - outMean); inMean > outMean && v > best {
					best, from, till = v, i, j
				}
			}
		}
		if best == 0 {
			continue
		}
		in := float64(till - from)
		step := (sums[till]-sums[from])/in - (sums[len(year)]-sums[till]+sums[from])/(n-in)
		if step < stepMinH || step > stepMaxH || !sudden(year, from) || !sudden(year, till) {
			continue
		}
		c.SummerTime, c.SummerFrom = true, year[from].from
		c.SummerTill = year[till-1].from.AddDate(0, 0, 7)
	}
}

// sudden tells whether the four weeks on either side of a cut differ by most of
// an hour. A cut at the record's edge counts as sudden.
func sudden(weeks []clockWeek, at int) bool {
	const side = 4
	if at < side || at+side > len(weeks) {
		return true
	}
	late := func(w clockWeek) float64 { return w.lateH }
	return math.Abs(median(weeks[at-side:at], late)-median(weeks[at:at+side], late)) > 0.5
}

// Jump is a place in a row of hourly stamps at which the clock does not move by
// one hour.
type Jump struct {
	Index int     // of the stamp after the jump
	ByH   float64 // what the clock moved more than an hour; −1: an hour told twice
}

// ClockJumps lists where hourly stamps jump. Summer time shows as a jump of +1
// in spring and of −1 in autumn.
func ClockJumps(stamps []time.Time) []Jump {
	var jumps []Jump
	for i := 1; i < len(stamps); i++ {
		if by := stamps[i].Sub(stamps[i-1]).Hours() - 1; by != 0 {
			jumps = append(jumps, Jump{i, by})
		}
	}
	return jumps
}

// SummerTimeJumps picks, out of the jumps of hourly stamps, those that come from
// a clock put forward and back: an hour told twice, and an hour skipped between
// midnight and 4:00 from 4 to 8 months before or after it. A lone gap of an hour
// is none.
func SummerTimeJumps(stamps []time.Time) []Jump {
	const month = 730.5 // hours
	var picked []Jump
	jumps := ClockJumps(stamps)
	for _, j := range jumps {
		if math.Abs(j.ByH) != 1 || stamps[j.Index-1].Hour() > 4 {
			continue
		}
		for _, k := range jumps {
			apart := math.Abs(stamps[k.Index].Sub(stamps[j.Index]).Hours())
			if k.ByH == -j.ByH && apart > 4*month && apart < 8*month && stamps[k.Index-1].Hour() <= 4 {
				picked = append(picked, j)
				break
			}
		}
	}
	return picked
}
