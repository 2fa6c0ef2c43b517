package weather_test

import (
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// measuredYears is a made-up record of hourly sun over whole years.
func measuredYears(t testing.TB, p weather.Place, firstYear, years int) (weather.MeasuredSun, *weather.Track) {
	t.Helper()
	y := yearFrom(p, firstYear, time.January, 1)
	m := weather.MeasuredSun{Start: y.Start}
	for i := range years {
		y := yearFrom(p, firstYear+i, time.January, 1)
		tr := weather.NewTrack(p, y, 4)
		factors := make([]float64, y.Days)
		for d := range factors {
			factors[d] = 0.5 + 0.45*math.Sin(float64(d*(i+1)))
		}
		sky := new(weather.Sky).Hours(nil, tr, factors)
		m.GHI = append(m.GHI, sky.GHI...)
		m.DNI = append(m.DNI, sky.DNI...)
		m.DHI = append(m.DHI, sky.DHI...)
	}
	return m, weather.NewTrack(p, y, 4)
}

func TestMeasuredSunComesBack(t *testing.T) {
	m, tr := measuredYears(t, wetPlace, 2021, 1)
	full := weather.Measured(nil, tr, m)
	beam := weather.Measured(nil, tr, weather.MeasuredSun{GHI: m.GHI, DNI: m.DNI})
	diffuse := weather.Measured(nil, tr, weather.MeasuredSun{GHI: m.GHI, DHI: m.DHI})
	for h := range m.GHI {
		for name, got := range map[string]*weather.SkyHours{"all three": full, "GHI and DNI": beam, "GHI and DHI": diffuse} {
			if math.Abs(got.DNI[h]-m.DNI[h]) > 1e-6 || math.Abs(got.DHI[h]-m.DHI[h]) > 1e-6 || got.GHI[h] != m.GHI[h] {
				t.Fatalf("%s, hour %d: GHI %g, DNI %g, DHI %g; given %g, %g, %g", name, h,
					got.GHI[h], got.DNI[h], got.DHI[h], m.GHI[h], m.DNI[h], m.DHI[h])
			}
		}
	}
}

// GHI alone is split by Erbs' hourly law: at kT = 0.5 the sky has 0.65915 of it,
// whatever the hour; a meter that reads high at sunrise makes no beam stronger
// than outside the air; light at night is the sky's.
func TestMeasuredGHIAlone(t *testing.T) {
	y := yearFrom(wetPlace, 2021, time.January, 1)
	tr := weather.NewTrack(wetPlace, y, 4)
	ghi := make([]float64, y.Hours())
	for h := range ghi {
		ghi[h] = tr.ExtraterrestrialWM2[h] / 2
	}
	ghi[0] = 3                // midnight
	high := tr.Daylight[2000] // any hour
	ghi[high] = 3 * tr.ExtraterrestrialWM2[high]
	sky := weather.Measured(nil, tr, weather.MeasuredSun{GHI: ghi})
	for _, h32 := range tr.Daylight {
		h := int(h32)
		if h == int(high) {
			if sky.DNI[h] > tr.Path.ExtraterrestrialNormalWM2[h/24] {
				t.Errorf("three times the sun outside the air gives a beam of %.0f W/m²", sky.DNI[h])
			}
			continue
		}
		if fraction := sky.DHI[h] / ghi[h]; math.Abs(fraction-0.65915) > 5e-6 {
			t.Fatalf("hour %d: the sky's share is %.6f, want 0.65915", h, fraction)
		}
	}
	if sky.DHI[0] != 3 || sky.DNI[0] != 0 {
		t.Errorf("3 W/m² at midnight: beam %g, sky %g", sky.DNI[0], sky.DHI[0])
	}
}

func TestMeasuredYearsAreMatched(t *testing.T) {
	m, _ := measuredYears(t, wetPlace, 2015, 3)
	y := yearFrom(wetPlace, 2015, time.October, 1)
	if !m.Covers(y) || m.Covers(yearFrom(wetPlace, 2017, time.October, 1)) || m.Covers(yearFrom(wetPlace, 2014, time.October, 1)) {
		t.Fatal("2015 to 2017 cover the water year 2015 and neither 2014 nor 2017")
	}
	own := m.Year(y)
	if own.Hours() != y.Hours() || own.GHI[13] != m.GHI[273*24+13] {
		t.Errorf("the year from 1 October 2015 does not begin there")
	}
	one, _ := measuredYears(t, wetPlace, 2021, 1)
	one.Repeat = true
	again := one.Year(y)
	if again.Hours() != 366*24 {
		t.Fatalf("a repeated year has %d hours, want a leap year's", again.Hours())
	}
	for _, c := range []struct {
		day  time.Time
		from int
	}{
		{time.Date(2015, 10, 1, 0, 0, 0, 0, wetPlace.Zone()), 273},
		{time.Date(2016, 1, 1, 0, 0, 0, 0, wetPlace.Zone()), 0},
		{time.Date(2016, 2, 29, 0, 0, 0, 0, wetPlace.Zone()), 58}, // 28 February
		{time.Date(2016, 3, 1, 0, 0, 0, 0, wetPlace.Zone()), 59},
		{time.Date(2016, 9, 30, 0, 0, 0, 0, wetPlace.Zone()), 272},
	} {
		h := int(c.day.Sub(y.Start).Hours()) + 12
		if again.GHI[h] != one.GHI[c.from*24+12] {
			t.Errorf("noon of %v has %.1f W/m², the typical year %.1f", c.day, again.GHI[h], one.GHI[c.from*24+12])
		}
	}
}

func TestClockJumps(t *testing.T) {
	zone := wetPlace.Zone()
	spring := time.Date(2021, 3, 14, 2, 0, 0, 0, zone)
	autumn := time.Date(2021, 11, 7, 2, 0, 0, 0, zone)
	var stamps []time.Time
	for at := time.Date(2021, 1, 1, 0, 0, 0, 0, zone); at.Year() == 2021; at = at.Add(time.Hour) {
		wall := at
		if !at.Before(spring) && at.Before(autumn.Add(-time.Hour)) {
			wall = at.Add(time.Hour)
		}
		stamps = append(stamps, wall)
	}
	jumps := weather.SummerTimeJumps(stamps)
	if len(jumps) != 2 || jumps[0].ByH != 1 || jumps[1].ByH != -1 || stamps[jumps[0].Index].YearDay() != spring.YearDay() {
		t.Errorf("summer time's jumps: %v", jumps)
	}
	gap := append(append([]time.Time(nil), stamps[:100]...), stamps[101:1000]...)
	if all, summer := weather.ClockJumps(gap), weather.SummerTimeJumps(gap); len(all) != 1 || len(summer) != 0 {
		t.Errorf("a lone gap of an hour: jumps %v, of summer time %v", all, summer)
	}
}

// The clock check on a made-up sky, in both hemispheres and near the pole.
func TestClockCheckFindsTheShift(t *testing.T) {
	for _, p := range []weather.Place{wetPlace, {LatDeg: -35, LonDeg: 149, UTCOffsetH: 10}, {LatDeg: 1, LonDeg: 37, UTCOffsetH: 3}, {LatDeg: 66, LonDeg: 25, UTCOffsetH: 2}} {
		m, _ := measuredYears(t, p, 2021, 1)
		for _, late := range []int{-3, -1, 0, 1, 6} {
			c := weather.CheckClock(p, m.Start, rotated(m.GHI, late))
			if c.ShiftH != -float64(late) || c.SummerTime {
				t.Errorf("%g°, stamps %d h late: shift %+.1f h, summer time %v", p.LatDeg, late, c.ShiftH, c.SummerTime)
			}
			if (c.NightHours > 0) != (late != 0) || (c.FirstNight >= 0) != (late != 0) {
				t.Errorf("%g°, stamps %d h late: %d hours of sun at night, the first is %d", p.LatDeg, late, c.NightHours, c.FirstNight)
			}
		}
	}
	if c := weather.CheckClock(wetPlace, wetYearStart(), make([]float64, 8760)); c.ShiftH != 0 || c.NightHours != 0 || c.SummerTime {
		t.Errorf("a record without any sun: %+v", c)
	}
}

func wetYearStart() time.Time { return time.Date(2021, 1, 1, 0, 0, 0, 0, wetPlace.Zone()) }
