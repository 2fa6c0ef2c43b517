package weather_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
	"time"

	"sunrill/weather"
)

// A day's range of temperature tells its sun: on the typical year of Eugene
// (NREL, TMY3), a station that the law was not fitted to, what the law expects of
// the days within their months goes with what was measured.
func TestRangeTellsEugenesDays(t *testing.T) {
	r, seen := eugeneDays(t)
	tr := weather.NewTrack(eugene, yearFrom(eugene, 2021, time.January, 1), 6)
	table := weather.SunTable{SunHours: monthMeans(r, seen)}
	expected := mustCalibrate(t, eugene, r, table, weather.SkyOptions{}).Factors(nil, r, 0)
	measured := make([]float64, len(seen))
	for d := range seen {
		measured[d] = seen[d] / tr.ClearKWh[d]
	}
	means, meant := monthMeans(r, expected), monthMeans(r, measured)
	for d := range seen {
		m := r.Start.AddDate(0, 0, d).Month() - 1
		expected[d] -= means[m]
		measured[d] -= meant[m]
	}
	if c := correlation(expected, measured); c < 0.6 {
		t.Errorf("the expected and the measured days have the correlation %.2f, want 0.6 and more", c)
	}
}

// eugeneDays reads the days of the typical year: a record without rain, and sun
// in kWh/m².
func eugeneDays(t testing.TB) (weather.Record, []float64) {
	t.Helper()
	f, err := os.Open("testdata/eugene_daily.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	r := weather.Record{Start: time.Date(2021, 1, 1, 0, 0, 0, 0, eugene.Zone()), RainMM: make([]float64, 365)}
	var sun []float64
	for _, row := range rows[1:] {
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[1+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		sun = append(sun, v[0])
		r.TMinC = append(r.TMinC, v[1])
		r.TMaxC = append(r.TMaxC, v[2])
	}
	return r, sun
}
