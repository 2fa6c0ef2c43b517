package weather_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/weather"
)

// A track's sun is the sun: its samples against Position at the same moments of
// the year in the middle of its phase.
func TestTrackAgainstPosition(t *testing.T) {
	p := weather.Place{LatDeg: 43.5, LonDeg: -123.3, UTCOffsetH: -8}
	y := yearFrom(p, 2021, time.March, 1) // to February 2022: phase 0 itself
	const samples = 4
	tr := weather.NewTrack(p, y, samples)
	for h := 0; h < y.Hours(); h += 7 {
		from, to := tr.Path.FirstSample[h], tr.Path.FirstSample[h+1]
		if to-from != samples {
			continue // sunrise or sunset: which samples are missing is not told
		}
		for k := range samples {
			at := y.Time(h).Add(time.Duration(float64(time.Hour) * (float64(k) + 0.5) / samples))
			want := weather.Position(at, p)
			i := int(from) + k
			zenith := math.Acos(tr.Path.Up[i]) / degree
			azimuth := math.Mod(math.Atan2(tr.Path.East[i], tr.Path.North[i])/degree+360, 360)
			if math.Abs(zenith-want.ZenithDeg) > 0.01 || math.Abs(azimuth-want.AzimuthDeg)*math.Sin(zenith*degree) > 0.01 {
				t.Fatalf("%v: zenith %.4f°, azimuth %.4f°; Position has %.4f°, %.4f°", at, zenith, azimuth, want.ZenithDeg, want.AzimuthDeg)
			}
		}
	}
}

// Years of one phase of the leap cycle share their sun to the last bit, so that
// one track serves them all; years of other phases have their own.
func TestYearsOfAPhaseShareATrack(t *testing.T) {
	p := weather.Place{LatDeg: 50, LonDeg: 10, UTCOffsetH: 1}
	tracks := map[[2]int]*weather.Track{}
	for number := 1990; number < 2050; number++ {
		y := yearFrom(p, number, time.October, 1)
		tr := weather.NewTrack(p, y, 4)
		key := [2]int{y.Days, y.Phase()}
		if tracks[key] == nil {
			tracks[key] = tr
		}
		for d := range tr.ClearKWh {
			if tr.ClearKWh[d] != tracks[key].ClearKWh[d] {
				t.Fatalf("%d, day %d: %v kWh/m², another year of phase %v has %v", number, d, tr.ClearKWh[d], key, tracks[key].ClearKWh[d])
			}
		}
	}
	if len(tracks) < 5 || len(tracks) > 16 {
		t.Errorf("60 years take %d tracks", len(tracks))
	}
}

// The sun of a track is the year's own: its declination, hour by hour, within
// 0.05° of Position's in every year, leap days too.
func TestDeclinationOfEveryHour(t *testing.T) {
	p := weather.Place{LatDeg: -38, LonDeg: 145, UTCOffsetH: 10}
	sinF, cosF := math.Sincos(p.LatDeg * degree)
	worst := 0.0
	for number := 1990; number <= 2050; number++ {
		y := yearFrom(p, number, time.January, 1)
		tr := weather.NewTrack(p, y, 4)
		for h := 0; h < y.Hours(); h += 5 {
			from, to := tr.Path.FirstSample[h], tr.Path.FirstSample[h+1]
			if to-from != 4 {
				continue
			}
			got := math.Asin(sinF*tr.Path.Up[from+1]+cosF*tr.Path.North[from+1]) / degree
			at := y.Time(h).Add(time.Duration(1.5 / 4 * float64(time.Hour)))
			off := math.Abs(got - weather.Position(at, p).DeclinationDeg)
			worst = math.Max(worst, off)
			if off > 0.05 {
				t.Fatalf("%v: declination %.3f°, %.3f° off", at, got, off)
			}
		}
	}
	t.Logf("worst %.3f°", worst)
}

// A track's day is the almanac's less what refraction and the sun's upper half
// add to it.
func TestDaylightOfEveryYear(t *testing.T) {
	p := weather.Place{LatDeg: 50, LonDeg: 10, UTCOffsetH: 1}
	for year := 1990; year < 2050; year += 7 {
		y := yearFrom(p, year, time.October, 1)
		tr := weather.NewTrack(p, y, 4)
		for d := 0; d < y.Days; d += 20 {
			midnight := y.Start.AddDate(0, 0, d)
			own := weather.SunSpans(p, midnight, func(float64) float64 { return 0 })[0].Hours()
			// A visible day is longer by refraction and half the disc.
			if got := tr.DaylightH[d]; own-got < 0.1 || own-got > 0.3 {
				t.Fatalf("%v: the day has %.2f h, the track %.2f h of centre above the level", midnight, own, got)
			}
		}
	}
}

func TestHoursAreTheDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := weather.Place{
			LatDeg:     rapid.Float64Range(-90, 90).Draw(t, "latitude"),
			LonDeg:     rapid.Float64Range(-180, 180).Draw(t, "longitude"),
			ElevationM: rapid.Float64Range(0, 4000).Draw(t, "elevation"),
		}
		p.UTCOffsetH = math.Round(p.LonDeg / 15)
		y := yearFrom(p, rapid.IntRange(2015, 2016).Draw(t, "year"), time.October, 1)
		tr := weather.NewTrack(p, y, 4)
		factors := make([]float64, y.Days)
		for d := range factors {
			factors[d] = rapid.Float64Range(0, 1).Draw(t, "factor")
			if d >= 20 {
				factors[d] = factors[d-20]
			}
		}
		sky := new(weather.Sky).Hours(nil, tr, factors)
		for h := range sky.GHI {
			g, b, d := sky.GHI[h], sky.DNI[h], sky.DHI[h]
			if g < 0 || b < 0 || d < -1e-9 || math.IsNaN(g+b+d) {
				t.Fatalf("hour %d: GHI %g, DNI %g, DHI %g W/m²", h, g, b, d)
			}
			if diff := g - d - b*tr.Path.CosZenith[h]; math.Abs(diff) > 1e-9 {
				t.Fatalf("hour %d: GHI − DHI − DNI cos z = %g W/m²", h, diff)
			}
			if b > tr.Path.ExtraterrestrialNormalWM2[h/24] {
				t.Fatalf("hour %d: a beam of %g W/m², outside the air %g", h, b, tr.Path.ExtraterrestrialNormalWM2[h/24])
			}
			if g > tr.ExtraterrestrialWM2[h] {
				t.Fatalf("hour %d: %g W/m² on the level, outside the air %g", h, g, tr.ExtraterrestrialWM2[h])
			}
		}
		for d, kWh := range weather.DayKWh(nil, sky.GHI) {
			if want := factors[d] * tr.ClearKWh[d]; math.Abs(kWh-want) > 1e-9 {
				t.Fatalf("day %d: the hours add up to %g kWh/m², the day has %g", d, kWh, want)
			}
		}
	})
}

// Midnight sun, polar night, and the sun in the north at noon south of it.
func TestEndsOfTheEarth(t *testing.T) {
	tromso := weather.Place{LatDeg: 69.65, LonDeg: 18.95, UTCOffsetH: 1}
	tr := weather.NewTrack(tromso, yearFrom(tromso, 2021, time.January, 1), 4)
	if tr.DaylightH[171] != 24 || tr.DaylightH[355] != 0 || tr.ClearKWh[355] != 0 {
		t.Errorf("69.65° N: %.1f h of sun on 21 June, %.1f h on 22 December", tr.DaylightH[171], tr.DaylightH[355])
	}
	if !math.IsNaN(tr.SunriseH[171]) || !math.IsNaN(tr.SunriseH[355]) {
		t.Errorf("69.65° N: sunrise at %.2f h under the midnight sun, at %.2f h in the polar night", tr.SunriseH[171], tr.SunriseH[355])
	}
	r := madeRecord(tromso, 3, true)
	var table weather.SunTable
	for m, kWh := range weather.ClearSunHours(tromso) {
		table.SunHours[m] = kWh / 2
	}
	s := mustCalibrate(t, tromso, r, table, weather.SkyOptions{Variability: 1})
	for m, got := range monthMeans(r, s.SunHours(nil, r.Start, s.Factors(nil, r, 0))) {
		if want := table.SunHours[m]; math.Abs(got-want) > 0.005*want+1e-6 {
			t.Errorf("69.65° N, %v: %.4f sun hours, the table has %g", time.Month(m+1), got, want)
		}
	}
	table.SunHours[11] = 0.5
	if _, err := weather.Calibrate(tromso, r, table, weather.SkyOptions{}); err == nil {
		t.Error("69.65° N: half a sun hour in the polar night is no error")
	}
	for _, c := range []struct {
		latDeg float64
		month  time.Month
		north  bool
	}{{-35, time.June, true}, {-35, time.December, true}, {35, time.June, false}, {5, time.June, true}, {5, time.December, false}} {
		p := weather.Place{LatDeg: c.latDeg}
		noon := weather.Noon(p, time.Date(2021, c.month, 21, 0, 0, 0, 0, time.UTC))
		az := weather.Position(noon, p).AzimuthDeg
		if isNorth := az < 10 || az > 350; isNorth != c.north {
			t.Errorf("%g° in %v: the noon sun stands at %.1f°", c.latDeg, c.month, az)
		}
	}
}

// A year moved by half a year and to the other half of the globe has nearly the
// same sun: the orbit makes the southern summer some 7 % stronger.
func TestTheHemispheresMirror(t *testing.T) {
	north := weather.Place{LatDeg: 43, LonDeg: 0}
	south := weather.Place{LatDeg: -43, LonDeg: 0}
	a := weather.NewTrack(north, yearFrom(north, 2022, time.October, 1), 4)
	b := weather.NewTrack(south, yearFrom(south, 2022, time.April, 1), 4)
	for d := range a.ClearKWh {
		if math.Abs(a.ClearKWh[d]/b.ClearKWh[d]-1) > 0.12 {
			t.Fatalf("day %d: %.3f kWh/m² in the north, %.3f in the south", d, a.ClearKWh[d], b.ClearKWh[d])
		}
	}
}
