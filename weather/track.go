package weather

import (
	"math"
	"time"
)

// minSamples is the least number of sun positions an hour: sunrise and the
// hills' edge fall inside hours.
const minSamples = 4

// Path is the sun's way through the hours of a year as plain slices, for
// whoever needs the geometry. The samples of hour h are
// FirstSample[h] ≤ i < FirstSample[h+1]; only those with the sun's centre above
// the level horizon are kept, so a night hour has none. Each sample stands for
// an equal part of the hour.
type Path struct {
	FirstSample               []int32   // hours + 1
	East, North, Up           []float64 // unit vector towards the sun, a value a sample
	CosZenith                 []float64 // mean over the hour's samples; 0 at night
	ExtraterrestrialNormalWM2 []float64 // extraterrestrial radiation, facing the sun; a value a day
}

// Track is the sun's geometry for one place and one year. The sun stands at
// the middle of the year's phase of the leap cycle ([Year.Phase]), so that all
// years of the same first day, length and phase share a track: its declination
// is within 0.05° of the year's own between 1990 and 2050, its noon within a few
// seconds.
type Track struct {
	Place Place
	Year  Year // the year it was asked for; others with that first day, length and phase share it
	Path  Path

	Daylight []int32 // the hours with any sun, rising

	UpFraction          []float64 // fraction of the hour with the sun up, 0 to 1; a value an hour
	ClearWM2            []float64 // clear-sky radiation on the level, mean of the hour
	ExtraterrestrialWM2 []float64 // radiation on the level outside the air, mean of the hour

	ClearKWh            []float64 // a clear day's radiation on the level, kWh/m²; a value a day
	ExtraterrestrialKWh []float64 // outside the air, kWh/m²; a value a day
	DaylightH           []float64 // hours with the sun's centre above the level; a value a day
	SunriseH            []float64 // hours after midnight; NaN where the sun does not rise or set
	SunsetH             []float64

	warmth           []float64 // of the hour; see AirTemperature
	coldest, warmest []float64 // hour of the day's minimum and maximum; a value a day
}

// NewTrack computes the sun's way through year y at p, with at least 4 samples
// an hour; fewer are raised to that.
func NewTrack(p Place, y Year, samplesPerHour int) *Track {
	first := referenceDay(y.Start) + float64(y.Phase())/phasesADay
	return newTrack(p, y, samplesPerHour, func(d int) float64 { return first + float64(d) })
}

// newTrack takes, for day d of y, the sun's place among the stars of another
// day: days from J2000 to its 00:00 UTC, whole or not. The clock stays y's.
func newTrack(p Place, y Year, samplesPerHour int, sunOf func(d int) float64) *Track {
	n := max(minSamples, samplesPerHour)
	hours := y.Hours()
	tr := &Track{
		Place: p, Year: y,
		UpFraction: make([]float64, hours), ClearWM2: make([]float64, hours), ExtraterrestrialWM2: make([]float64, hours),
		ClearKWh: make([]float64, y.Days), ExtraterrestrialKWh: make([]float64, y.Days),
		DaylightH: make([]float64, y.Days), SunriseH: make([]float64, y.Days), SunsetH: make([]float64, y.Days),
	}
	tr.Path = Path{
		FirstSample:               make([]int32, hours+1),
		East:                      make([]float64, 0, hours*n*6/10),
		North:                     make([]float64, 0, hours*n*6/10),
		Up:                        make([]float64, 0, hours*n*6/10),
		CosZenith:                 make([]float64, hours),
		ExtraterrestrialNormalWM2: make([]float64, y.Days),
	}
	for d := range y.Days {
		tr.day(d, n, sunOf(d)-p.UTCOffsetH/24)
	}
	tr.setWarmth()
	for h, up := range tr.UpFraction {
		if up > 0 {
			tr.Daylight = append(tr.Daylight, int32(h))
		}
	}
	return tr
}

// day fills in day d, whose midnight has the sun of midnight, in days from J2000.
// Within the day the sine and cosine of the declination run straight between the
// two midnights, within 0.001° of the curve, and the hour angle turns evenly: by
// the clock, the longitude and the equation of time, none of which asks for the
// time of day of the moment that the sun's place is taken from.
func (tr *Track) day(d, n int, midnight float64) {
	p := tr.Place
	a, b := equator(midnight), equator(midnight+1)
	hourAngle0 := p.LonDeg - 15*p.UTCOffsetH - 180 + a.equationDeg
	turn := 360 + b.equationDeg - a.equationDeg
	distance := (a.distanceAU + b.distanceAU) / 2
	beyond := SolarConstantWM2 / (distance * distance)
	thin := thinAir(p.ElevationM)
	tr.Path.ExtraterrestrialNormalWM2[d] = beyond

	step := 1 / float64(24*n)
	sinF, cosF := math.Sincos(p.LatDeg * degree)
	sinA, cosA := math.Sincos(a.declinationDeg * degree)
	sinB, cosB := math.Sincos(b.declinationDeg * degree)
	sinH, cosH := math.Sincos((hourAngle0 + turn*step/2) * degree)
	sinTurn, cosTurn := math.Sincos(turn * step * degree)
	wasUp := 0.0
	tr.SunriseH[d], tr.SunsetH[d] = math.NaN(), math.NaN()
	for i := range 24 * n {
		x := (float64(i) + 0.5) * step
		if i > 0 {
			sinH, cosH = sinH*cosTurn+cosH*sinTurn, cosH*cosTurn-sinH*sinTurn
		}
		sinD, cosD := sinA+x*(sinB-sinA), cosA+x*(cosB-cosA)
		up := sinF*sinD + cosF*cosD*cosH
		if i > 0 && (up > 0) != (wasUp > 0) { // crossed the horizon since the last sample
			at := 24 * (x - step*up/(up-wasUp))
			if up > 0 {
				tr.SunriseH[d] = at
			} else {
				tr.SunsetH[d] = at
			}
		}
		wasUp = up
		h := 24*d + i/n
		if up > 0 {
			q := &tr.Path
			q.East = append(q.East, -cosD*sinH)
			q.North = append(q.North, cosF*sinD-sinF*cosD*cosH)
			q.Up = append(q.Up, up)
			q.CosZenith[h] += up
			tr.UpFraction[h]++
			tr.ClearWM2[h] += thin * ClearSky(up)
		}
		tr.Path.FirstSample[h+1] = int32(len(tr.Path.Up))
	}
	for h := 24 * d; h < 24*(d+1); h++ {
		if tr.UpFraction[h] == 0 {
			continue
		}
		tr.ExtraterrestrialWM2[h] = beyond * tr.Path.CosZenith[h] / float64(n)
		tr.Path.CosZenith[h] /= tr.UpFraction[h]
		tr.UpFraction[h] /= float64(n)
		tr.ClearWM2[h] /= float64(n)
		tr.DaylightH[d] += tr.UpFraction[h]
		tr.ClearKWh[d] += tr.ClearWM2[h] / 1000
		tr.ExtraterrestrialKWh[d] += tr.ExtraterrestrialWM2[h] / 1000
	}
	if long := tr.SunsetH[d] - tr.SunriseH[d]; long > 0 { // finer than a count of samples
		tr.DaylightH[d] = long
	}
}

// phasesADay is how finely the leap cycle is told: the sun of a track is at most
// a sixteenth of a day, 0.025° of declination, from the year's own.
const phasesADay = 8

// tropicalDays is the time from one March equinox to the next, the mean of four
// kinds of year. Ref: [Meeus] ch. 27.
const tropicalDays = 365.2422

// Phase returns how far the sun of y's first day is ahead of that calendar day's
// in 2021 and 2022, in eighths of a day: the place of y in the leap cycle.
// Between 1990 and 2050 that is -8 to 8.
func (y Year) Phase() int {
	ref := referenceDay(y.Start)
	start := float64(midnightUnix(y.Start)-j2000Unix) / 86400
	ahead := start - ref
	ahead -= tropicalDays * math.Round(ahead/tropicalDays)
	return int(math.Round(phasesADay * ahead))
}

// referenceDay returns the days from J2000 to 00:00 UTC of t's calendar day in
// 2021, from March on, or in 2022 before: the middle of the leap cycle.
// 29 February is 1 March.
func referenceDay(t time.Time) float64 {
	year := 2021
	if t.Month() < time.March {
		year = 2022
	}
	return float64(time.Date(year, t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).Unix()-j2000Unix) / 86400
}

// midnightUnix returns 00:00 UTC of t's calendar day.
func midnightUnix(t time.Time) int64 {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).Unix()
}

// leapDay29Feb is 29 February's place in a leap year's calendar.
const leapDay29Feb = 31 + 28

// calendarTrack is the track of a calendar that stands for all years, 1 January
// on: day leapDay(t) of it is t's. It has the sun of the years 2021 and 2022;
// 29 February lies midway between its neighbours.
func calendarTrack(p Place) *Track {
	y := Year{Start: time.Date(2020, 1, 1, 0, 0, 0, 0, p.Zone()), Days: 366}
	return newTrack(p, y, minSamples, func(d int) float64 {
		if d == leapDay29Feb {
			// From 28 February 2022 to the sun of 1 March 2021 it is a day and
			// what a year has above 365.
			return referenceDay(y.Start.AddDate(0, 0, d-1)) + (1+tropicalDays-365)/2
		}
		return referenceDay(y.Start.AddDate(0, 0, d))
	})
}

// dayTrack is the track of one day of that calendar, not 29 February.
func dayTrack(p Place, month time.Month, day int) *Track {
	y := Year{Start: time.Date(2021, month, day, 0, 0, 0, 0, p.Zone()), Days: 1}
	return newTrack(p, y, minSamples, func(int) float64 { return referenceDay(y.Start) })
}
