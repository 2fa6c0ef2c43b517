package weather_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// Sunrise and sunset of 2021 by an astronomical library that follows the IAU's
// standards, with the sun's centre 50′ below the level.
func TestSunriseAgainstAstronomicalTable(t *testing.T) {
	oregon := weather.Place{LatDeg: 45, LonDeg: -123, UTCOffsetH: -8}
	gulf := weather.Place{}
	for _, c := range []struct {
		p             weather.Place
		month         time.Month
		day           int
		rise, set     string
		riseDay, seti int // days after the local day, in UTC
	}{
		{oregon, time.March, 20, "14:14:22", "02:25:02", 0, 1},
		{oregon, time.June, 21, "12:25:22", "04:02:27", 0, 1},
		{oregon, time.December, 21, "15:47:20", "00:33:18", 0, 1},
		{gulf, time.March, 20, "06:04:09", "18:10:39", 0, 0},
		{gulf, time.June, 21, "05:58:10", "18:05:31", 0, 0},
		{gulf, time.December, 21, "05:54:24", "18:01:54", 0, 0},
	} {
		midnight := time.Date(2021, c.month, c.day, 0, 0, 0, 0, c.p.Zone())
		spans := weather.SunSpans(c.p, midnight, nil)
		if len(spans) != 1 {
			t.Fatalf("%v: %d spans of sun, want 1", midnight, len(spans))
		}
		near(t, spans[0].From, utc(t, c.month, c.day+c.riseDay, c.rise))
		near(t, spans[0].To, utc(t, c.month, c.day+c.seti, c.set))
	}
	canberra := weather.Place{LatDeg: -35, LonDeg: 149, UTCOffsetH: 10}
	for month, hours := range map[time.Month]float64{time.March: 12.144, time.June: 9.800, time.December: 14.516} {
		day := 21
		if month == time.March {
			day = 20
		}
		got := weather.SunSpans(canberra, time.Date(2021, month, day, 0, 0, 0, 0, canberra.Zone()), nil)[0].Hours()
		if math.Abs(got-hours) > 2.0/60 {
			t.Errorf("35° S in %v: the day has %.3f h, the table %.3f", month, got, hours)
		}
	}
}

// The example of Reda and Andreas (2008) as a public port's own test has it:
// sunrise 6.212 h, sunset 17.314 h, the sun's highest at 11.768 h.
func TestSunriseAgainstSPA(t *testing.T) {
	golden := weather.Place{LatDeg: 39.742476, LonDeg: -105.1786, UTCOffsetH: -7}
	midnight := time.Date(2003, 10, 17, 0, 0, 0, 0, golden.Zone())
	span := weather.SunSpans(golden, midnight, nil)[0]
	noon := weather.Noon(golden, midnight)
	for _, c := range []struct {
		name string
		got  time.Time
		want float64
	}{{"sunrise", span.From, 6.212}, {"sunset", span.To, 17.314}, {"noon", noon, 11.768}} {
		if h := c.got.Sub(midnight).Hours(); math.Abs(h-c.want) > 1.0/60 {
			t.Errorf("%s at %.3f h, want %.3f", c.name, h, c.want)
		}
	}
}

func utc(t *testing.T, month time.Month, day int, clock string) time.Time {
	t.Helper()
	at, err := time.Parse("15:04:05", clock)
	if err != nil {
		t.Fatal(err)
	}
	return time.Date(2021, month, day, at.Hour(), at.Minute(), at.Second(), 0, time.UTC)
}

func near(t *testing.T, got, want time.Time) {
	t.Helper()
	if d := got.Sub(want); d.Abs() > time.Minute {
		t.Errorf("%v, want %v: %v apart", got.UTC(), want, d)
	}
}

// A wall of 20° in the south and a gap in it: the winter sun shows in the gap
// alone, and before and after the wall.
func TestSunClearsTheHills(t *testing.T) {
	p := weather.Place{LatDeg: 43, LonDeg: -123, UTCOffsetH: -8}
	day := time.Date(2021, 12, 21, 0, 0, 0, 0, p.Zone())
	flat := weather.SunSpans(p, day, nil)[0]
	wall := func(bearing float64) float64 {
		if bearing > 140 && bearing < 220 && math.Abs(bearing-180) > 10 {
			return 30
		}
		return 0
	}
	spans := weather.SunSpans(p, day, wall)
	if len(spans) != 3 {
		t.Fatalf("%d spans of sun, want morning, gap and evening", len(spans))
	}
	for i, s := range spans {
		for _, at := range []time.Time{s.From, s.To} {
			b := weather.Position(at, p).AzimuthDeg
			edge := math.Min(math.Min(math.Abs(b-140), math.Abs(b-220)), math.Min(math.Abs(b-170), math.Abs(b-190)))
			if edge > 0.02 && at != flat.From && at != flat.To {
				t.Errorf("span %d ends at bearing %.2f°, which is no edge", i, b)
			}
		}
	}
	all := weather.SunSpans(p, day, func(float64) float64 { return 30 })
	if len(all) != 0 {
		t.Errorf("the sun stands 23.6° high and clears hills of 30°: %v", all)
	}
}

func TestMidnightSunAndPolarNight(t *testing.T) {
	tromso := weather.Place{LatDeg: 69.65, LonDeg: 18.95, UTCOffsetH: 1}
	june := weather.SunSpans(tromso, time.Date(2021, 6, 21, 0, 0, 0, 0, tromso.Zone()), nil)
	if len(june) != 1 || june[0].Hours() != 24 {
		t.Errorf("midsummer north of the polar circle: %v, want 24 hours", june)
	}
	if december := weather.SunSpans(tromso, time.Date(2021, 12, 21, 0, 0, 0, 0, tromso.Zone()), nil); len(december) != 0 {
		t.Errorf("midwinter north of the polar circle: %v, want none", december)
	}
}

// A hill in the west costs a December afternoon two hours of sun.
func ExampleSunSpans() {
	p := weather.Place{LatDeg: 43, LonDeg: -123, UTCOffsetH: -8}
	day := time.Date(2021, 12, 21, 0, 0, 0, 0, p.Zone())
	hill := func(bearingDeg float64) float64 {
		if bearingDeg > 180 {
			return 18
		}
		return 5
	}
	for _, s := range weather.SunSpans(p, day, hill) {
		fmt.Printf("%s to %s\n", s.From.Format("15:04"), s.To.Format("15:04"))
	}
	// Output: 08:16 to 14:14
}
