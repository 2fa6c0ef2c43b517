package weather_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// FAO-56 example 8: 3 September (day 246) at 20° S; the book prints
// Ra = 32.2 MJ/m².
func ExampleExtraterrestrialDay() {
	fmt.Printf("Ra %.1f MJ/m²\n", weather.ExtraterrestrialDay(-20, 246))
	// Output: Ra 32.2 MJ/m²
}

// daylightHours is N, the length of the day in hours by the hour angle of the
// setting sun: FAO-56 eq. 34.
func daylightHours(latDeg float64, dayOfYear int) float64 {
	return 24 / math.Pi * weather.SunsetHourAngle(latDeg*degree, weather.FAODeclination(dayOfYear))
}

func TestFAO56ExamplesPublished(t *testing.T) {
	lat20S := -20 * degree
	for _, c := range []struct {
		source    string
		got, want float64
		tol       float64
	}{
		{"FAO-56 example 8, dr", weather.InverseDistance(246), 0.985, 0.0005},
		{"FAO-56 example 8, declination", weather.FAODeclination(246), 0.120, 0.0005},
		{"FAO-56 example 8, sunset hour angle", weather.SunsetHourAngle(lat20S, weather.FAODeclination(246)), 1.527, 0.0005},
		{"FAO-56 example 8, Ra", weather.ExtraterrestrialDay(-20, 246), 32.2, 0.05},
		{"FAO-56 example 9, N", daylightHours(-20, 246), 11.7, 0.05},
		{"FAO-56 example 10, Ra", weather.ExtraterrestrialDay(-22.9, 135), 25.1, 0.05},
		{"FAO-56 example 10, N", daylightHours(-22.9, 135), 10.9, 0.05},
		{"FAO-56 example 15, Ra of Lyon in July", weather.ExtraterrestrialDay(45.0+43.0/60, 196), 40.6, 0.05},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s: got %.4f, the source prints %g", c.source, c.got, c.want)
		}
	}
}

// The row of 48° N, January to June, is printed in FAO-56 annex 2, tables 2.6
// (Ra in MJ/m² a day) and 2.7 (hours of daylight).
func TestFAO56AnnexTables(t *testing.T) {
	days := [6]int{15, 46, 74, 105, 135, 166}
	ra := [6]float64{10.1, 15.7, 23.3, 32.2, 38.8, 41.8}
	n := [5]float64{8.6, 10.0, 11.6, 13.4, 15.0}
	for i, j := range days {
		if got := weather.ExtraterrestrialDay(48, j); math.Abs(got-ra[i]) > 0.05 {
			t.Errorf("table 2.6, day %d: Ra %.2f, printed %g", j, got, ra[i])
		}
		if i < len(n) {
			if got := daylightHours(48, j); math.Abs(got-n[i]) > 0.05 {
				t.Errorf("table 2.7, day %d: N %.2f, printed %g", j, got, n[i])
			}
		}
	}
}

// The values are worked out by hand from the published coefficients: they guard
// against a slip of the pen here.
func TestCurvesAtTheirPublishedCoefficients(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
		tol       float64
	}{
		{"Haurwitz, z 0°", weather.ClearSky(1), 1037.16, 0.005},
		{"Haurwitz, z 60°", weather.ClearSky(0.5), 489.85, 0.005},
		{"Haurwitz, z 75°", weather.ClearSky(math.Cos(75 * degree)), 228.01, 0.005},
		{"Haurwitz, z 85°", weather.ClearSky(math.Cos(85 * degree)), 49.76, 0.005},
		{"Haurwitz, at the level", weather.ClearSky(0), 0, 0},
		{"Erbs hourly, 0.1", weather.Erbs(0.1), 0.9910, 5e-5},
		{"Erbs hourly, 0.3", weather.Erbs(0.3), 0.9486, 5e-5},
		{"Erbs hourly, 0.5", weather.Erbs(0.5), 0.65915, 5e-6},
		{"Erbs hourly, 0.7", weather.Erbs(0.7), 0.24398, 5e-6},
		{"Erbs hourly, above 0.8", weather.Erbs(0.85), 0.165, 0},
		{"Erbs daily, winter, 0.1", weather.ErbsDay(0.1, 70), 0.9862, 5e-5},
		{"Erbs daily, winter, 0.5", weather.ErbsDay(0.5, 70), 0.5688, 5e-5},
		{"Erbs daily, winter, 0.7", weather.ErbsDay(0.7, 81), 0.1641, 5e-5},
		{"Erbs daily, summer, 0.1 held at 1", weather.ErbsDay(0.1, 100), 1, 0},
		{"Erbs daily, summer, 0.3", weather.ErbsDay(0.3, 100), 0.8778, 5e-5},
		{"Erbs daily, summer, 0.7", weather.ErbsDay(0.7, 100), 0.2357, 5e-5},
	} {
		if math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s: got %.6f, want %g", c.name, c.got, c.want)
		}
	}
}

// Two ways to the sunshine outside the air over a day: the samples of the
// track, and the closed integral over the day (FAO-56 eq. 21) with the day's true
// declination and distance at noon.
func TestTrackAgainstClosedIntegral(t *testing.T) {
	for _, lat := range []float64{80, 60, 45, 20, 0, -20, -35, -70} {
		p := weather.Place{LatDeg: lat}
		for _, samples := range []int{4, 6, 12} {
			y := yearFrom(p, 2021, time.March, 1)
			tr := weather.NewTrack(p, y, samples)
			for d, got := range tr.ExtraterrestrialKWh {
				s := weather.Position(y.Start.AddDate(0, 0, d).Add(12*time.Hour), p)
				f, decl := lat*degree, s.DeclinationDeg*degree
				ws := weather.SunsetHourAngle(f, decl)
				want := 24 / math.Pi * 1.361 / (s.DistanceAU * s.DistanceAU) *
					(ws*math.Sin(f)*math.Sin(decl) + math.Cos(f)*math.Cos(decl)*math.Sin(ws))
				// Where the sun grazes the level all day its declination at
				// noon does not stand for the whole of it.
				if math.Abs(got-want) > 0.003*want+0.02 {
					t.Fatalf("%g°, day %d, %d samples: %.4f kWh/m², the integral gives %.4f", lat, d, samples, got, want)
				}
			}
		}
	}
}

func yearFrom(p weather.Place, year int, month time.Month, day int) weather.Year {
	start := time.Date(year, month, day, 0, 0, 0, 0, p.Zone())
	end := start.AddDate(1, 0, 0)
	return weather.Year{Start: start, Days: int(math.Round(end.Sub(start).Hours() / 24))}
}
