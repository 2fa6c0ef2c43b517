package weather_test

import (
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// equationOfTimeMin is Spencer's series of 1971 for the equation of time, in
// minutes, for the n-th day of a year (from 0): good to half a minute. It is
// no part of the program. Ref: J. W. Spencer, Search 2 (1971) 172; from
// memory, as Duffie and Beckman give it, eq. 1.5.3.
func equationOfTimeMin(n float64) float64 {
	b := 2 * math.Pi * n / 365
	return 229.18 * (0.000075 + 0.001868*math.Cos(b) - 0.032077*math.Sin(b) - 0.014615*math.Cos(2*b) - 0.04089*math.Sin(2*b))
}

// Noon lies where the equation of time puts it, on every day of every year, 29
// February included, wherever the place and however far it is from its clock.
func TestNoonOfEveryDayAgainstEquationOfTime(t *testing.T) {
	for _, lat := range []float64{48, -37} {
		for _, place := range []struct{ lonDeg, utcH float64 }{{-157, -10}, {-123, -8}, {-66, -4}, {3, 0}, {82, 5.5}, {171, 12}} {
			p := weather.Place{LatDeg: lat, LonDeg: place.lonDeg, UTCOffsetH: place.utcH}
			for year := 1999; year <= 2051; year++ {
				start := time.Date(year, 1, 1, 0, 0, 0, 0, p.Zone())
				y := weather.Year{Start: start, Days: int(start.AddDate(1, 0, 0).Sub(start).Hours() / 24)}
				tr := weather.NewTrack(p, y, 4)
				for d := range y.Days {
					got := (tr.SunriseH[d] + tr.SunsetH[d]) / 2
					want := 12 - equationOfTimeMin(float64(d))/60 - (place.lonDeg-15*place.utcH)/15
					if off := 60 * math.Abs(got-want); !(off <= 2) {
						t.Fatalf("latitude %g°, longitude %g°, %s: noon at %.3f h, the equation of time says %.3f h (%.1f min apart)",
							lat, place.lonDeg, start.AddDate(0, 0, d).Format("2006-01-02"), got, want, off)
					}
				}
			}
		}
	}
}

// A track's declination keeps to the design's 0.05° of the sun's own place on
// every day from 1990 to 2050; [weather.Position] is held to an almanac apart.
func TestDeclinationOfEveryDay(t *testing.T) {
	p := weather.Place{LatDeg: 44, LonDeg: -123, UTCOffsetH: -8}
	sinF, cosF := math.Sincos(p.LatDeg * math.Pi / 180)
	const n = 4
	worst := 0.0
	for year := 1990; year <= 2050; year++ {
		start := time.Date(year, 1, 1, 0, 0, 0, 0, p.Zone())
		y := weather.Year{Start: start, Days: int(start.AddDate(1, 0, 0).Sub(start).Hours() / 24)}
		tr := weather.NewTrack(p, y, n)
		for d := range y.Days {
			h := 24*d + 12
			i := tr.Path.FirstSample[h]
			got := math.Asin(sinF*tr.Path.Up[i]+cosF*tr.Path.North[i]) * 180 / math.Pi
			at := start.Add(time.Duration(h)*time.Hour + time.Hour/(2*n))
			off := math.Abs(got - weather.Position(at, p).DeclinationDeg)
			worst = max(worst, off)
			if off > 0.05 {
				t.Fatalf("%s: declination %.3f°, %.3f° off", at, got, off)
			}
		}
	}
	if worst < 0.001 {
		t.Errorf("the worst is %.4f°: the track is no longer shared between years, say so in its comment", worst)
	}
}
