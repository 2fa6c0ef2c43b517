package weather

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// SunTable is what a sun-hours table says of a place.
type SunTable struct {
	SunHours [12]float64 // mean of the month in kWh/m² a day, January first
}

// SkyOptions steer the daily factors. The zero value works: the default share
// of a wet day, no residual, sun hours on the level.
type SkyOptions struct {
	// WetDayFraction is the sun of a wet day (1 mm and more) over that of a dry
	// one, mean over the record; 0 means 0.65. Not used where the record has
	// temperatures.
	WetDayFraction float64
	// Variability multiplies what is left over beside rain and temperature:
	// 1 as measured, 0 none.
	Variability float64
	Seed        uint64
	// OnPanel is set where the sun hours were observed on the panels. It is
	// given a year's geometry and returns the function that turns that year's
	// hourly sky (GHI, DNI, DHI in W/m²) into radiation on the panels, shade
	// included, in W/m².
	OnPanel func(p Path) func(dst, ghi, dni, dhi []float64) []float64
}

// Sky turns days of rain and temperature into sunshine. It is calibrated once,
// on the whole record, and then serves any year, a made-up one included.
type Sky struct {
	opt      SkyOptions
	byRain   reading
	byRange  reading // where the record has temperatures
	response *response
	of       *calibration // what it was calibrated on; shared by its draws
}

// calibration is what every draw of a sky is calibrated on.
type calibration struct {
	law    *law
	record Record
	table  SunTable
	months [12][]dayRef
	track  *Track

	hasRange            bool
	outside             []float64   // extraterrestrial radiation over a clear day's; a value for each day of a leap year
	extraterrestrialKWh [12]float64 // outside the air, mean of the month's days in kWh/m²
	clearness           [12]float64 // mean of the month by the table
}

// ImpossibleSun is a month whose sun hours no sky can give.
type ImpossibleSun struct {
	Month              time.Month
	SunHours, ClearKWh float64 // as given, and under a sky that is always clear; kWh/m² a day
}

// ImpossibleSunError lists the months whose sun hours lie above a clear sky's.
type ImpossibleSunError struct {
	Months  []ImpossibleSun
	OnPanel bool
}

func (e *ImpossibleSunError) Error() string {
	where := "on the level"
	if e.OnPanel {
		where = "on the panels behind their horizon"
	}
	parts := make([]string, len(e.Months))
	for i, m := range e.Months {
		parts[i] = fmt.Sprintf("%s: %.2f sun hours, a sky that is always clear gives %.2f", m.Month, m.SunHours, m.ClearKWh)
	}
	return "more sun than a clear sky gives " + where + ": " + strings.Join(parts, "; ")
}

const (
	// keptFraction is how closely the months' means are kept: what a table may lie
	// above the clear sky before it is impossible.
	keptFraction = 0.005

	// A month at the edge of the polar night has the light of dawn and dusk
	// besides, which a sun below the level does not cast in this geometry: some
	// hundredths of a kWh/m² a day. A judgement.
	dawnKWh      = 0.05
	darkMonthKWh = 0.5 // below it, dawn counts
)

// MoreThanClear reports whether a month's sun hours lie above those of a sky
// that is always clear, both in kWh/m² a day, by more than half a percent or, at
// the edge of the polar night, by more than dawn and dusk give.
func MoreThanClear(sunHours, clearKWh float64) bool {
	maximum := clearKWh * (1 + keptFraction)
	if clearKWh < darkMonthKWh {
		maximum = clearKWh + dawnKWh
	}
	return sunHours > maximum+1e-9
}

// Calibrate fits the daily factors to the record: the slope of each month's
// spread of clearness is found so that the month's mean over all days of the
// record is the table's. The error is an [ImpossibleSunError] where a clear sky
// is darker than that. The record must not be empty.
func Calibrate(p Place, r Record, t SunTable, o SkyOptions) (*Sky, error) {
	return calibrate(&dayLaw, p, r, t, o)
}

func calibrate(l *law, p Place, r Record, t SunTable, o SkyOptions) (*Sky, error) {
	if o.WetDayFraction == 0 {
		o.WetDayFraction = defaultWetDayFraction
	}
	tr := calendarTrack(p)
	s := &Sky{opt: o, response: newResponse(tr, o)}
	s.of = &calibration{law: l, record: r, table: t, months: monthDays(r), track: tr, hasRange: r.TMinC != nil && r.TMaxC != nil}
	if err := s.possible(s.of.months, t); err != nil {
		return nil, err
	}
	s.measureMonths()
	s.byRain = s.readRain(o.WetDayFraction)
	if s.of.hasRange {
		// Only a record without temperatures is steered by the rain alone then:
		// its months have the table's sun over all skies.
		s.byRain.clearness = s.slopes(evenRanks(s.of.months))
		s.byRange = s.readRange()
	}
	s.fit()
	return s, nil
}

// measureMonths finds what the months' numbers alone tell.
func (s *Sky) measureMonths() {
	c := s.of
	c.outside = make([]float64, len(c.track.ClearKWh))
	for d, clear := range c.track.ClearKWh {
		if clear > 0 {
			c.outside[d] = c.track.ExtraterrestrialKWh[d] / clear
		}
	}
	day := newCalendar(c.track.Year.Start)
	var days, clear [12]float64
	var calendar [12][]int
	for d, kWh := range c.track.ExtraterrestrialKWh {
		m := day.month - 1
		c.extraterrestrialKWh[m] += kWh
		clear[m] += c.track.ClearKWh[d]
		days[m]++
		calendar[m] = append(calendar[m], d)
		day.next()
	}
	for m := range days {
		// The same factor on every day that gives the table's sun.
		lo, hi := 0.0, 1.0
		for range 20 {
			f, sum := (lo+hi)/2, 0.0
			for _, d := range calendar[m] {
				sum += s.response.sunHours(d, f)
			}
			if sum < c.table.SunHours[m]*days[m] {
				lo = f
			} else {
				hi = f
			}
		}
		if c.extraterrestrialKWh[m] > 0 {
			c.clearness[m] = hi * clear[m] / c.extraterrestrialKWh[m]
		}
		c.extraterrestrialKWh[m] /= days[m]
	}
	if s.opt.OnPanel != nil {
		s.measureBehindPanels()
	}
}

// measureBehindPanels mends the months' mean clearness where the sun hours were
// observed on the panels: dull and clear days together give panels another sun
// for their mean than days that are all alike. Each pass spreads the days about
// the mean of the last.
func (s *Sky) measureBehindPanels() {
	calendar := everyMonth()
	u := evenRanks(calendar)
	for range 4 {
		spread := s.slopesOver(calendar, u)
		for m, refs := range calendar {
			sum, outside := 0.0, 0.0
			for _, d := range refs {
				sum += s.of.factor(&spread[m], d.leapDay, u[d.index]) * s.of.track.ClearKWh[d.leapDay]
				outside += s.of.track.ExtraterrestrialKWh[d.leapDay]
			}
			if outside > 0 {
				s.of.clearness[m] = sum / outside
			}
		}
	}
}

// Draw returns the sky of draw number i, 0 or more: the same place, record and
// table under residuals of their own, those of the seed [DrawSeed]. Draw 0 is
// the sky itself as [Calibrate] made it. What does not depend on the seed (the
// sun's track, the panels' answer) is shared, so that a draw costs the search
// for the months' scales alone. A draw depends on the seed and on i, on no draw
// before it: alternatives compared within draw i have the same days.
//
// Draws may be made and used on several goroutines at once.
func (s *Sky) Draw(i int) *Sky {
	d := *s
	d.opt.Seed = DrawSeed(s.opt.Seed, i)
	if d.opt.Seed != s.opt.Seed {
		d.fit()
	}
	return &d
}

// DrawSeed returns the seed of draw number i: seed itself for 0, and for the
// rest numbers that neighbouring seeds do not share.
func DrawSeed(seed uint64, i int) uint64 {
	if i == 0 {
		return seed
	}
	return mix(mix(seed) ^ mix(^uint64(i)))
}

// fit finds the months' slopes under the seed of s.
func (s *Sky) fit() {
	g := s.reading(s.of.record)
	g.clearness = s.slopes(s.ranks(nil, g, s.of.record, 0))
}

// reading returns how the days of r are read.
func (s *Sky) reading(r Record) *reading {
	if s.of.hasRange && r.TMinC != nil && r.TMaxC != nil {
		return &s.byRange
	}
	return &s.byRain
}

// Factors returns each day's share of a clear sky's sunshine, 0 to 1, with the
// calibration that s holds. fromDay moves the days whose residuals are drawn: 0
// for the record's own days; synthetic years that share their dates give
// different numbers to have different skies. Where the record that s was
// calibrated on had temperatures but r has none, the rain steers r's days.
// The last day of r lacks the next morning: for the same bytes whichever years
// are run, hand in the whole record and slice the result.
func (s *Sky) Factors(dst []float64, r Record, fromDay int) []float64 {
	g := s.reading(r)
	return s.factors(s.ranks(dst, g, r, fromDay), g, r)
}

// factors turns the days' ranks into their factors, in place.
func (s *Sky) factors(u []float64, g *reading, r Record) []float64 {
	day := newCalendar(r.Start)
	for i := range u {
		u[i] = s.of.factor(&g.clearness[day.month-1], day.leapDay, u[i])
		day.next()
	}
	return u
}

// factor returns the fraction of a clear sky that a day of rank u has.
func (c *calibration) factor(of *Clearness, leapDay int, u float64) float64 {
	return math.Min(1, of.At(u)*c.outside[leapDay])
}

// SunHours returns each day's sun hours in kWh/m² where the table counts them:
// on the level, or on the panels. The first factor is that of day start.
func (s *Sky) SunHours(dst []float64, start time.Time, factors []float64) []float64 {
	dst = sized(dst, len(factors))
	day := newCalendar(start)
	for i, f := range factors {
		dst[i] = s.response.sunHours(day.leapDay, f)
		day.next()
	}
	return dst
}

// slopes finds, for each month, the spread of clearness under which the ranks of
// the record's days give the table's sun hours. A month that the record lacks
// takes ranks of its own, evenly spread.
func (s *Sky) slopes(u []float64) [12]Clearness {
	out := s.slopesOver(s.of.months, u)
	for m, refs := range s.of.months {
		if len(refs) == 0 {
			calendar := everyMonth()
			out[m] = s.slopesOver(calendar, evenRanks(calendar))[m]
		}
	}
	return out
}

// slopesOver does so for the months that have days, whose ranks are u.
func (s *Sky) slopesOver(months [12][]dayRef, u []float64) [12]Clearness {
	var out [12]Clearness
	for m, refs := range months {
		if len(refs) == 0 {
			continue
		}
		want := s.of.table.SunHours[m] * float64(len(refs))
		out[m] = s.of.law.clearnessOf(s.of.clearness[m]).meeting(want, func(c *Clearness) float64 {
			total := 0.0
			for _, d := range refs {
				total += s.response.sunHours(d.leapDay, s.of.factor(c, d.leapDay, u[d.index]))
			}
			return total
		})
	}
	return out
}

// everyMonth returns the days of a leap year by month.
func everyMonth() [12][]dayRef {
	var months [12][]dayRef
	day := newCalendar(time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC))
	for i := range 366 {
		months[day.month-1] = append(months[day.month-1], dayRef{i, day.leapDay})
		day.next()
	}
	return months
}

// evenRanks returns ranks that are evenly spread over each month's days, in an
// order that has nothing to do with the calendar.
func evenRanks(months [12][]dayRef) []float64 {
	n := 0
	for _, refs := range months {
		n += len(refs)
	}
	u := make([]float64, n)
	for _, refs := range months {
		for k, d := range refs {
			_, u[d.index] = math.Modf((float64(k) + 0.5) * math.Phi)
		}
	}
	return u
}

// possible compares the table with a sky that is clear on every day.
func (s *Sky) possible(months [12][]dayRef, t SunTable) error {
	var bad []ImpossibleSun
	for m, refs := range months {
		if len(refs) == 0 {
			continue
		}
		clear := 0.0
		for _, d := range refs {
			clear += s.response.sunHours(d.leapDay, 1)
		}
		clear /= float64(len(refs))
		if MoreThanClear(t.SunHours[m], clear) {
			bad = append(bad, ImpossibleSun{Month: time.Month(m + 1), SunHours: t.SunHours[m], ClearKWh: clear})
		}
	}
	if bad != nil {
		return &ImpossibleSunError{Months: bad, OnPanel: s.opt.OnPanel != nil}
	}
	return nil
}

// dayRef is a day of the record.
type dayRef struct{ index, leapDay int }

// monthDays sorts the record's days by calendar month.
func monthDays(r Record) [12][]dayRef {
	var months [12][]dayRef
	day := newCalendar(r.Start)
	for i := range r.Days() {
		months[day.month-1] = append(months[day.month-1], dayRef{i, day.leapDay})
		day.next()
	}
	return months
}

// ClearSunHours returns the sun hours of each month, in kWh/m² a day on the
// level, under a sky that is always clear: no table can lie above them. Two days
// as far from the month's middle as its days are on the root mean square tell
// the mean of anything that bends evenly through the month: far from the poles
// within 0.2 %.
func ClearSunHours(p Place) [12]float64 {
	var mean [12]float64
	for m := range mean {
		month := time.Month(m + 1)
		length := float64(monthLength(2021, month))
		early := math.Round((length+1)/2 - math.Sqrt((length*length-1)/12))
		for _, day := range [...]float64{early, length + 1 - early} {
			mean[m] += dayTrack(p, month, int(day)).ClearKWh[0] / 2
		}
	}
	return mean
}

// sized returns dst with length n, made new where it is too short.
func sized(dst []float64, n int) []float64 {
	if cap(dst) < n {
		return make([]float64, n)
	}
	return dst[:n]
}

// dayRange returns Bristow and Campbell's ΔT in K: the day's maximum less the
// mean of the minima of the mornings before and after.
func dayRange(r Record, i int) float64 {
	next := min(i+1, len(r.TMinC)-1)
	return math.Max(0, r.TMaxC[i]-(r.TMinC[i]+r.TMinC[next])/2)
}
