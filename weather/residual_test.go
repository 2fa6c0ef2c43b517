package weather_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"sunrill/weather"
)

// What the range of temperature leaves open, measured: the middle half of the
// days' odds of sun about those that the law expects, on the typical year of
// Eugene (NREL, TMY3). The drawn residual must leave as much; the spread of the
// days themselves says little, for most of it is the range's.
func TestRangeResidualAgainstEugene(t *testing.T) {
	r, seen := eugeneDays(t)
	tr := weather.NewTrack(eugene, yearFrom(eugene, 2021, time.January, 1), 6)
	table := weather.SunTable{SunHours: monthMeans(r, seen)}
	expected := mustCalibrate(t, eugene, r, table, weather.SkyOptions{}).Factors(nil, r, 0)
	left := func(factor func(d int) float64) float64 {
		var odds []float64
		for d, b := range expected {
			if f := factor(d); b < 0.95 && f > 0 && f < 0.98 {
				odds = append(odds, logOdds(f)-logOdds(b))
			}
		}
		slices.Sort(odds)
		return odds[len(odds)*3/4] - odds[len(odds)/4]
	}
	truth := left(func(d int) float64 { return seen[d] / tr.ClearKWh[d] })
	var drawn []float64
	for seed := range uint64(20) {
		s := mustCalibrate(t, eugene, r, table, weather.SkyOptions{Variability: 1, Seed: seed})
		factors := s.Factors(nil, r, 0)
		drawn = append(drawn, left(func(d int) float64 { return factors[d] })/truth)
	}
	slices.Sort(drawn)
	t.Logf("middle half of the odds' logarithm %.2f wide as measured; drawn %.2f of it (%.2f to %.2f)", truth, drawn[10], drawn[0], drawn[19])
	if math.Abs(drawn[10]-1) > 0.25 {
		t.Errorf("the residual's middle half is %.2f of the measured, want within 25 %%", drawn[10])
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
