package weather_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunrill/weather"
)

const degree = math.Pi / 180

// The sun over the solar observatory in Golden, Colorado, in the example that
// comes with I. Reda and A. Andreas, Solar Position Algorithm for Solar
// Radiation Applications, NREL/TP-560-34302 (2008), table A5.1: zenith 50.11162°
// with refraction, azimuth 194.34024°.
func ExamplePosition() {
	golden := weather.Place{LatDeg: 39.742476, LonDeg: -105.1786, ElevationM: 1830.14, UTCOffsetH: -7}
	t := time.Date(2003, 10, 17, 12, 30, 30, 0, golden.Zone())
	s := weather.Position(t, golden)
	lift := weather.Refraction(s.ElevationDeg(), 820, 11)
	fmt.Printf("zenith %.2f°, azimuth %.1f°\n", s.ZenithDeg-lift, s.AzimuthDeg)
	// Output: zenith 50.11°, azimuth 194.3°
}

// sunRow is a true position of the sun in 2021, computed with an astronomical
// library that follows the IAU's standards (precession and nutation, measured
// turning of the earth).
type sunRow struct {
	at                        time.Time
	latDeg, lonDeg            float64
	zenith, apparent, azimuth float64
	declination, distance     float64
	extraterrestrialWM2       float64
}

func readSunRows(t *testing.T, name string) []sunRow {
	t.Helper()
	f, err := os.Open(name)
	if os.IsNotExist(err) {
		t.Skipf("%s is not here", name)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []sunRow
	for _, x := range rows[1:] {
		at, err := time.Parse("2006-01-02T15:04Z", x[0])
		if err != nil {
			t.Fatal(err)
		}
		var v [8]float64
		for i := range v {
			if x[2+i] == "" { // no refraction below the horizon
				v[i] = math.NaN()
				continue
			}
			if v[i], err = strconv.ParseFloat(strings.TrimSpace(x[2+i]), 64); err != nil {
				t.Fatal(err)
			}
		}
		out = append(out, sunRow{at, v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7]})
	}
	return out
}

func TestPositionAgainstAstronomicalTable(t *testing.T) {
	for _, file := range []string{"testdata/sun_position.csv", "../../shared/data/solar_position.csv"} {
		t.Run(file, func(t *testing.T) {
			rows := readSunRows(t, file)
			var worst [5]float64
			for _, row := range rows {
				p := weather.Place{LatDeg: row.latDeg, LonDeg: row.lonDeg}
				s := weather.Position(row.at, p)
				sinZ := math.Sin(row.zenith * degree)
				diffs := [5]float64{
					s.ZenithDeg - row.zenith,
					math.Remainder(s.AzimuthDeg-row.azimuth, 360) * sinZ, // as an angle on the sky
					// The table's declination is seen from the ground, ours from
					// the earth's centre: up to 8.8″ = 0.0024° between them.
					s.DeclinationDeg - row.declination,
					s.DistanceAU - row.distance,
				}
				if row.zenith < 85 { // near the level it depends on the air of the day
					lift := weather.Refraction(s.ElevationDeg(), 1013.25, 10)
					diffs[4] = s.ZenithDeg - lift - row.apparent
				}
				for i, tol := range [5]float64{0.01, 0.01, 0.01, 1e-4, 0.01} {
					if math.Abs(diffs[i]) > tol {
						t.Errorf("%v at %g°: %s is off by %.4f, want within %g", row.at, row.latDeg,
							[5]string{"zenith", "azimuth", "declination", "distance", "apparent zenith"}[i], diffs[i], tol)
					}
					worst[i] = math.Max(worst[i], math.Abs(diffs[i]))
				}
				outside := math.Max(0, math.Cos(s.ZenithDeg*degree)) * weather.SolarConstantWM2 / (s.DistanceAU * s.DistanceAU)
				if math.Abs(outside-row.extraterrestrialWM2) > 0.4 {
					t.Errorf("%v: %.2f W/m² outside the air, the table has %.2f", row.at, outside, row.extraterrestrialWM2)
				}
			}
			t.Logf("%d rows, worst: zenith %.4f°, azimuth %.4f°, declination %.4f°, distance %.5f au, apparent zenith %.4f°",
				len(rows), worst[0], worst[1], worst[2], worst[3], worst[4])
		})
	}
}

// TestPositionAgainstSPA uses further values of the same program by Reda and
// Andreas, as a public port's own test quotes them (Δt 0): the sun in the north
// at 41° S and almost overhead.
func TestPositionAgainstSPA(t *testing.T) {
	at := time.Date(2012, 12, 22, 12, 0, 0, 0, time.UTC)
	s := weather.Position(at, weather.Place{LatDeg: -41})
	if d := s.AzimuthDeg - 359.08592; math.Abs(d)*math.Sin(s.ZenithDeg*degree) > 0.01 {
		t.Errorf("azimuth %.5f°, want 359.08592°", s.AzimuthDeg)
	}
	lift := weather.Refraction(s.ElevationDeg(), 1000, 20)
	if d := s.ZenithDeg - lift - 17.5658; math.Abs(d) > 0.01 {
		t.Errorf("zenith with refraction %.4f°, want 17.5658°", s.ZenithDeg-lift)
	}
	s = weather.Position(at, weather.Place{LatDeg: -3})
	if d := s.AzimuthDeg - 180.790356; math.Abs(d)*math.Sin(s.ZenithDeg*degree) > 0.01 {
		t.Errorf("azimuth %.5f°, want 180.790356°", s.AzimuthDeg)
	}
}

// TestPositionHoldsFor60Years compares with the sun's declination and distance
// at the solstices and the perihelion, which hold for the whole span promised:
// the greatest declination is the ecliptic's obliquity, 23.43° to 23.45°, and the
// perihelion 0.983 au.
func TestPositionHoldsFor60Years(t *testing.T) {
	for year := 1990; year <= 2050; year++ {
		highest, nearest := 0.0, 2.0
		for d := range 365 {
			s := weather.Position(time.Date(year, 1, 1+d, 12, 0, 0, 0, time.UTC), weather.Place{})
			highest = math.Max(highest, s.DeclinationDeg)
			nearest = math.Min(nearest, s.DistanceAU)
		}
		if highest < 23.425 || highest > 23.45 || nearest < 0.9832 || nearest > 0.9834 {
			t.Errorf("%d: greatest declination %.4f°, perihelion %.5f au", year, highest, nearest)
		}
	}
}
