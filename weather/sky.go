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
	// WetDayShare is the sun of a wet day (1 mm and more) over that of a dry
	// one, mean over the record; 0 means 0.6. Not used where the record has
	// temperatures.
	WetDayShare float64
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
	rainRate float64 // a of the rain law
	byRain   [12]float64
	byRange  [12]float64 // zero where the record has no temperatures
	hasRange bool
	rangeK   [12]float64 // mean daily range of the month
	beamOdds [12]float64 // on each day's beam; see Hours; zero: left alone
	response *response
	of       *calibration // what it was calibrated on; shared by its draws
}

// calibration is what every draw of a sky is calibrated on.
type calibration struct {
	record Record
	table  SunTable
	months [12][]dayRef
	track  *Track
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
	// keptShare is how closely the months' means are kept: what a table may lie
	// above the clear sky before it is impossible.
	keptShare = 0.005

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
	most := clearKWh * (1 + keptShare)
	if clearKWh < darkMonthKWh {
		most = clearKWh + dawnKWh
	}
	return sunHours > most+1e-9
}

// Calibrate fits the daily factors to the record: one number a month scales
// them, so that the month's mean over all days of the record is the table's.
// The error is an [ImpossibleSunError] where a clear sky is darker than that.
// The record must not be empty.
func Calibrate(p Place, r Record, t SunTable, o SkyOptions) (*Sky, error) {
	if o.WetDayShare == 0 {
		o.WetDayShare = defaultWetDayShare
	}
	tr := calendarTrack(p)
	s := &Sky{opt: o, rainRate: fitRainRate(r.RainMM, o.WetDayShare), response: newResponse(tr, o)}
	s.hasRange = r.TMinC != nil && r.TMaxC != nil
	if s.hasRange {
		s.rangeK = monthRanges(r)
	}
	s.of = &calibration{record: r, table: t, months: monthDays(r), track: tr}
	if err := s.possible(s.of.months, t); err != nil {
		return nil, err
	}
	s.fit()
	return s, nil
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

// fit finds the months' scales and beam under the seed of s.
func (s *Sky) fit() {
	r, t, months := s.of.record, s.of.table, s.of.months
	shape, z := s.rainShape(nil, r), s.residuals(nil, r, 0, rainOdds)
	s.byRain = s.scales(months, t, shape, z)
	scale := &s.byRain
	if s.hasRange {
		shape, z = s.rangeShape(shape, r), s.residuals(z, r, 0, rangeOdds)
		s.byRange = s.scales(months, t, shape, z)
		scale = &s.byRange
	}
	if s.opt.OnPanel == nil { // on the panels the table alone says how much
		s.beamOdds = fitBeamOdds(s.of.track, months, scaled(shape, scale, z, r))
	}
}

// Factors returns each day's share of a clear sky's sunshine, 0 to 1, with the
// calibration that s holds. fromDay moves the days whose residuals are drawn: 0
// for the record's own days; made-up years that share their dates give
// different numbers to have different skies. Where the record that s was
// calibrated on had temperatures but r has none, the rain steers r's days.
// The last day of r lacks the next morning: for the same bytes whichever years
// are run, hand in the whole record and slice the result.
func (s *Sky) Factors(dst []float64, r Record, fromDay int) []float64 {
	scale, spread := &s.byRain, rainOdds
	if s.hasRange && r.TMinC != nil && r.TMaxC != nil {
		scale, spread = &s.byRange, rangeOdds
		dst = s.rangeShape(dst, r)
	} else {
		dst = s.rainShape(dst, r)
	}
	return scaled(dst, scale, s.residuals(nil, r, fromDay, spread), r)
}

// scaled turns the days' shapes into their factors, in place.
func scaled(shape []float64, scale *[12]float64, odds []float64, r Record) []float64 {
	day := newCalendar(r.Start)
	for i := range shape {
		shape[i] = blend(scale[day.month-1]*shape[i], odds[i])
		day.next()
	}
	return shape
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

// blend joins the expected share of a clear sky (capped at 1) and the
// residual's odds: odds of the sun, b/(1−b), are multiplied by e. So no day
// passes the clear sky, and a middling day scatters more than a bright one.
func blend(b, e float64) float64 {
	if b >= 1 {
		return 1
	}
	return b * e / (1 - b + b*e)
}

// scales finds, by halving, the number for each month that multiplies its
// days' shapes so that their sun hours meet the table.
func (s *Sky) scales(months [12][]dayRef, t SunTable, shape, odds []float64) [12]float64 {
	var out [12]float64
	shapes, days := 0.0, 0
	for m, refs := range months {
		if len(refs) == 0 {
			continue
		}
		want := t.SunHours[m] * float64(len(refs))
		sum := func(c float64) float64 {
			total := 0.0
			for _, d := range refs {
				total += s.response.sunHours(d.leapDay, blend(c*shape[d.index], odds[d.index]))
			}
			return total
		}
		lo, hi := 0.0, 1.0
		for hi < 1e9 && sum(hi) < want {
			lo, hi = hi, 2*hi
		}
		for range 40 {
			c := (lo + hi) / 2
			if sum(c) < want {
				lo = c
			} else {
				hi = c
			}
		}
		out[m] = hi
		shapes += hi
		days++
	}
	for m, refs := range months { // a month that the record lacks takes the others' mean
		if len(refs) == 0 && days > 0 {
			out[m] = shapes / float64(days)
		}
	}
	return out
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

// monthRanges returns each month's mean daily range of temperature in K.
func monthRanges(r Record) [12]float64 {
	var sum, n [12]float64
	day := newCalendar(r.Start)
	for i := range r.Days() {
		sum[day.month-1] += dayRange(r, i)
		n[day.month-1]++
		day.next()
	}
	for m := range sum {
		sum[m] /= math.Max(1, n[m])
	}
	return sum
}

// dayRange returns Bristow and Campbell's ΔT in K: the day's maximum less the
// mean of the minima of the mornings before and after.
func dayRange(r Record, i int) float64 {
	next := min(i+1, len(r.TMinC)-1)
	return math.Max(0, r.TMaxC[i]-(r.TMinC[i]+r.TMinC[next])/2)
}
