package series_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// An hourly sun record over a leap day is read, and its 29 February gives what
// the days about it give: the sun climbs by 1 % a day there. The record is a
// steady haze, 0.7 of what comes from outside times the sun's height, summed
// over each minute from the sun's position and by no track.
func TestHourlyRecordOverALeapDay(t *testing.T) {
	for _, place := range []weather.Place{
		{LatDeg: 44, LonDeg: -123, UTCOffsetH: -8},
		{LatDeg: -41, LonDeg: 173, UTCOffsetH: 12},
	} {
		start := time.Date(2011, 9, 1, 0, 0, 0, 0, place.Zone())
		var sun, rain strings.Builder
		sun.WriteString("time,ghi_w_m2\n")
		rain.WriteString("date,rain_mm\n")
		for d := range 800 {
			day := start.AddDate(0, 0, d)
			fmt.Fprintf(&rain, "%s,0\n", day.Format("2006-01-02"))
			for h := range 24 {
				hour, sum := day.Add(time.Duration(h)*time.Hour), 0.0
				for minute := 2; minute < 60; minute += 5 {
					s := weather.Position(hour.Add(time.Duration(minute)*time.Minute+30*time.Second), place)
					sum += math.Max(0, math.Sin(s.ElevationDeg()*math.Pi/180)) / 12
				}
				fmt.Fprintf(&sun, "%s,%.1f\n", hour.Format("2006-01-02 15:04"), 0.7*1361*sum)
			}
		}
		toml := fmt.Sprintf(`name = "Leap (invented)"
latitude = %g
longitude = %g
utc_offset = %g
[year]
start = "10-01"
[sun]
hourly = "sun-hourly.csv"
[rain]
[[array]]
power = "2 kW"
tilt = "40 deg"
[bank]
chemistry = "lfp"
capacity = "10 kWh"
[loads]
`, place.LatDeg, place.LonDeg, place.UTCOffsetH)
		fsys := fstest.MapFS{}
		for name, text := range map[string]string{"site.toml": toml, "sun-hourly.csv": sun.String(), "rain.csv": rain.String(), "loads.csv": "name,watts,hours\nlights,40,17-22\n"} {
			fsys[name] = &fstest.MapFile{Data: []byte(text), Mode: 0o644}
		}
		s, err := site.LoadFS(fsys, site.Options{})
		if err != nil {
			t.Fatalf("%g°: %v", place.LatDeg, err)
		}
		h, err := series.New(s)
		if err != nil {
			t.Fatal(err)
		}
		y := h.Years()[0]
		if y.Days != 366 {
			t.Fatalf("the first year has %d days", y.Days)
		}
		in := h.Open(y)
		leap := h.Record().Index(time.Date(2012, 2, 29, 0, 0, 0, 0, place.Zone())) - h.Record().Index(y.Start)
		day := func(d int) float64 { return total(in.W(sim.Panels)[24*d : 24*d+24]) }
		if beside := (day(leap-1) + day(leap+1)) / 2; math.Abs(day(leap)/beside-1) > 0.005 {
			t.Errorf("%g°: 29 February gives %.0f Wh, the days beside it %.0f and %.0f", place.LatDeg, day(leap), day(leap-1), day(leap+1))
		}
		for h := range 24 {
			w, before := in.W(sim.Panels)[24*leap+h], in.W(sim.Panels)[24*(leap-1)+h]
			if math.Abs(w-before) > 40 {
				t.Errorf("%g°: %.0f W at %d:00 of 29 February, %.0f the day before", place.LatDeg, w, h, before)
			}
		}
	}
}
