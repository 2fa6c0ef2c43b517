package weather_test

import (
	"math"
	"path/filepath"
	"testing"
	"time"

	"sunrill/weather"
)

// The regressions of Geng, Penning de Vries and Supit (Agricultural and Forest
// Meteorology 36 (1986), 363–376) by hand: 15 wet days of 30 and 90 mm are f =
// 0.5 and 6 mm a wet day, so P01 = 0.375, P11 = 0.625, β = 8.82 mm, α = 0.680.
func TestMonthsByTheRegressionsOfGeng(t *testing.T) {
	var table weather.RainMonths
	table.MM[10], table.WetDays[10] = 90, 15
	m := table.Month(10)
	for name, v := range map[string][2]float64{"P01": {m.WetAfterDry, 0.375}, "P11": {m.WetAfterWet, 0.625}, "α": {m.Shape, 6 / 8.82}, "mean": {m.MeanMM, 6}, "wet share": {m.WetFraction(), 0.5}} {
		if math.Abs(v[0]-v[1]) > 1e-9 {
			t.Errorf("%s = %g, by hand %g", name, v[0], v[1])
		}
	}
	table.MM[10] = 22.5 // 1.5 mm a wet day, where β would be below the mean
	if m := table.Month(10); m.Shape != 0.998 {
		t.Errorf("α = %g for drizzle, want its bound", m.Shape)
	}
	if m := table.Month(0); m.WetAfterDry != 0 || m.MeanMM != 0 {
		t.Errorf("a month without rain: %+v", m)
	}
}

// Against the daily records of real places, whose twelve months alone are given
// to the generator: the synthetic years have the months' sums and wet days, and
// the largest share of variance, wet spells and heavy days of the real ones.
func TestMadeOfMonthsAgainstDailyRecords(t *testing.T) {
	places := map[string]string{"seattle": filepath.Join("..", "testdata", "seattle", "rain.csv")}
	for _, s := range []string{"rothamsted", "lushnje", "pergamino", "wageningen"} {
		places[s] = filepath.Join("..", "..", "shared", "data", "daily_sun", s+".csv")
	}
	for place, path := range places {
		r, ok := realRain(path)
		if !ok {
			if place == "seattle" {
				t.Fatal("the record in testdata is not read")
			}
			continue
		}
		for i, mm := range r.RainMM {
			if math.IsNaN(mm) {
				r.RainMM[i] = 0
			}
		}
		table := r.RainMonths()
		start := time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC)
		made := weather.Record{Start: start, RainMM: table.Make(start, 40*365+10, 1)}
		got := made.RainMonths()
		for m := range 12 {
			if math.Abs(got.MM[m]-table.MM[m]) > 1e-6*(1+table.MM[m]) {
				t.Errorf("%s, month %d: %.2f mm, the table says %.2f", place, m+1, got.MM[m], table.MM[m])
			}
			if math.Abs(got.WetDays[m]-table.WetDays[m]) > 1.8 {
				t.Errorf("%s, month %d: %.1f wet days, the table says %.1f", place, m+1, got.WetDays[m], table.WetDays[m])
			}
		}
		for name, f := range map[string]func(weather.Record) float64{
			"wet spells, days":         func(r weather.Record) float64 { return spellDays(r.RainMM, true) },
			"dry spells, days":         func(r weather.Record) float64 { return spellDays(r.RainMM, false) },
			"heavy days a year":        func(r weather.Record) float64 { return above(r, 20) },
			"deviation of wet days mm": func(r weather.Record) float64 { return wetDeviation(r.RainMM) },
		} {
			if a, b := f(made), f(r); a < b/1.35 || a > b*1.35 {
				t.Errorf("%s: %s: %.2f made up, %.2f measured", place, name, a, b)
			} else {
				t.Logf("%s: %s: %.2f made up, %.2f measured", place, name, a, b)
			}
		}
	}
}

// spells returns the mean length of wet or dry spells.
func spellDays(mm []float64, wet bool) float64 {
	days, n := 0.0, 0.0
	before := false
	for _, v := range mm {
		in := (v >= 0.1) == wet
		if in {
			days++
			if !before {
				n++
			}
		}
		before = in
	}
	return days / n
}

func above(r weather.Record, mm float64) float64 {
	n := 0.0
	for _, v := range r.RainMM {
		if v > mm {
			n++
		}
	}
	return n / float64(r.Days()) * 365.25
}

func wetDeviation(mm []float64) float64 {
	sum, square, n := 0.0, 0.0, 0.0
	for _, v := range mm {
		if v >= 0.1 {
			sum, square, n = sum+v, square+v*v, n+1
		}
	}
	return math.Sqrt(square/n - sum/n*sum/n)
}

func TestMadeOfMonthsRepeats(t *testing.T) {
	var table weather.RainMonths
	for m := range 12 {
		table.MM[m], table.WetDays[m] = 80, 12
	}
	start := time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC)
	a, b, c := table.Make(start, 730, 1), table.Make(start, 730, 1), table.Make(start, 730, 2)
	same, other := true, false
	for i := range a {
		same = same && a[i] == b[i]
		other = other || a[i] != c[i]
	}
	if !same || !other {
		t.Errorf("the same seed the same days: %v; another seed others: %v", same, other)
	}
}
