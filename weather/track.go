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
	FirstSample     []int32   // hours + 1
	East, North, Up []float64 // unit vector towards the sun, a value a sample
	CosZenith       []float64 // mean over the hour's samples; 0 at night
	BeyondAirWM2    []float64 // radiation outside the air, facing the sun; a value a day
}

// Track is the sun's geometry for one place and one length of year, made once
// and used for every year of the record: hour h of day d is that calendar
// day's in any year. It takes the years 2021 and 2022, which lie in the middle
// of the leap cycle; the declination of other years differs by up to 0.2°.
type Track struct {
	Place Place
	Year  Year // the year it was asked for; other years with that first day and length share it
	Path  Path

	Daylight []int32 // the hours with any sun, rising

	UpShare    []float64 // share of the hour with the sun up, 0 to 1; a value an hour
	ClearWM2   []float64 // clear-sky radiation on the level, mean of the hour
	OutsideWM2 []float64 // radiation on the level outside the air, mean of the hour

	ClearKWh   []float64 // a clear day's radiation on the level, kWh/m²; a value a day
	OutsideKWh []float64 // outside the air, kWh/m²; a value a day
	DaylightH  []float64 // hours with the sun's centre above the level; a value a day
	SunriseH   []float64 // hours after midnight; NaN where the sun does not rise or set
	SunsetH    []float64

	warmth           []float64 // of the hour; see AirTemperature
	coldest, warmest []float64 // hour of the day's minimum and maximum; a value a day
}

// NewTrack computes the sun's way through year y at p, with at least 4 samples
// an hour; fewer are raised to that.
func NewTrack(p Place, y Year, samplesPerHour int) *Track {
	n := max(minSamples, samplesPerHour)
	hours := y.Hours()
	tr := &Track{
		Place: p, Year: y,
		UpShare: make([]float64, hours), ClearWM2: make([]float64, hours), OutsideWM2: make([]float64, hours),
		ClearKWh: make([]float64, y.Days), OutsideKWh: make([]float64, y.Days),
		DaylightH: make([]float64, y.Days), SunriseH: make([]float64, y.Days), SunsetH: make([]float64, y.Days),
	}
	tr.Path = Path{
		FirstSample:  make([]int32, hours+1),
		East:         make([]float64, 0, hours*n*6/10),
		North:        make([]float64, 0, hours*n*6/10),
		Up:           make([]float64, 0, hours*n*6/10),
		CosZenith:    make([]float64, hours),
		BeyondAirWM2: make([]float64, y.Days),
	}
	for d := range y.Days {
		tr.day(d, n)
	}
	tr.setWarmth()
	for h, up := range tr.UpShare {
		if up > 0 {
			tr.Daylight = append(tr.Daylight, int32(h))
		}
	}
	return tr
}

// day fills in day d. Within the day the sine and cosine of the declination run
// straight between the two midnights, within 0.001° of the curve, and the hour
// angle turns evenly, by one rotation from each sample to the next.
func (tr *Track) day(d, n int) {
	p := tr.Place
	midnight := referenceDay(tr.Year.Start.AddDate(0, 0, d)) - p.UTCOffsetH/24
	a, b := equator(midnight), equator(midnight+1)
	hourAngle0 := siderealDeg(midnight) + p.LonDeg - a.rightAscensionDeg
	turn := 360.98564736629 - math.Mod(b.rightAscensionDeg-a.rightAscensionDeg+360, 360)
	distance := (a.distanceAU + b.distanceAU) / 2
	beyond := SolarConstantWM2 / (distance * distance)
	thin := thinAir(p.ElevationM)
	tr.Path.BeyondAirWM2[d] = beyond

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
			tr.UpShare[h]++
			tr.ClearWM2[h] += thin * ClearSky(up)
		}
		tr.Path.FirstSample[h+1] = int32(len(tr.Path.Up))
	}
	for h := 24 * d; h < 24*(d+1); h++ {
		if tr.UpShare[h] == 0 {
			continue
		}
		tr.OutsideWM2[h] = beyond * tr.Path.CosZenith[h] / float64(n)
		tr.Path.CosZenith[h] /= tr.UpShare[h]
		tr.UpShare[h] /= float64(n)
		tr.ClearWM2[h] /= float64(n)
		tr.DaylightH[d] += tr.UpShare[h]
		tr.ClearKWh[d] += tr.ClearWM2[h] / 1000
		tr.OutsideKWh[d] += tr.OutsideWM2[h] / 1000
	}
	if long := tr.SunsetH[d] - tr.SunriseH[d]; long > 0 { // finer than a count of samples
		tr.DaylightH[d] = long
	}
}

// referenceDay returns the days from J2000 to 00:00 UTC of the day that stands
// for t's calendar day in every year: of 2021 from March on and of 2022 before;
// 29 February lies midway between its neighbours.
func referenceDay(t time.Time) float64 {
	year, month, day, more := 2021, t.Month(), t.Day(), 0.0
	if month < time.March {
		year = 2022
		if month == time.February && day == 29 {
			day, more = 28, 0.62
		}
	}
	unix := time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix()
	return float64(unix-j2000Unix)/86400 + more
}

// calendarTrack is the track of the leap year 2020, 1 January on: day
// leapDay(t) of it is t's.
func calendarTrack(p Place) *Track {
	return NewTrack(p, Year{Start: time.Date(2020, 1, 1, 0, 0, 0, 0, p.Zone()), Days: 366}, minSamples)
}
