package weather_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"sunrill/weather"
)

// realRain reads a daily record of rain, tmin and tmax.
func realRain(path string) (weather.Record, bool) {
	f, err := os.Open(path)
	if err != nil {
		return weather.Record{}, false
	}
	defer f.Close()
	c := csv.NewReader(f)
	c.Comment = '#'
	rows, err := c.ReadAll()
	if err != nil {
		return weather.Record{}, false
	}
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	var r weather.Record
	r.Start, _ = time.Parse("2006-01-02", rows[1][at["date"]])
	for _, row := range rows[1:] {
		r.RainMM = append(r.RainMM, number(row[at["rain_mm"]]))
		r.TMinC = append(r.TMinC, number(row[at["tmin_c"]]))
		r.TMaxC = append(r.TMaxC, number(row[at["tmax_c"]]))
	}
	return r, true
}

func seattleRain(t *testing.T) weather.Record {
	t.Helper()
	r, ok := realRain(filepath.Join("..", "testdata", "seattle", "rain.csv"))
	if !ok || r.Days() != 1461 {
		t.Fatalf("the Seattle record has %d days", r.Days())
	}
	return r
}

// Real records have none: Seattle (NOAA), and, where they are beside the
// checkout, four stations of crop-model data in England, Albania, Argentina and
// the Netherlands.
func TestRealRecordsHaveNoSlips(t *testing.T) {
	if s := weather.FindSlips(seattleRain(t), 47.5); len(s) > 0 {
		t.Errorf("Seattle: %+v", s)
	}
	for name, lat := range map[string]float64{"rothamsted": 52.5, "lushnje": 40.9, "pergamino": -33.9, "wageningen": 52} {
		r, ok := realRain(filepath.Join("..", "..", "shared", "data", "daily_sun", name+".csv"))
		if !ok {
			continue
		}
		if s := weather.FindSlips(r, lat); len(s) > 0 {
			t.Errorf("%s: %+v", name, s)
		}
	}
}

// Each slip, planted into the real record of Seattle, is found, and it alone.
func TestPlantedSlipsAreFound(t *testing.T) {
	scale := func(factor float64) func(r weather.Record) {
		return func(r weather.Record) {
			for i := range r.RainMM {
				r.RainMM[i] *= factor
			}
		}
	}
	for name, c := range map[string]struct {
		plant func(r weather.Record)
		lat   float64
		kind  weather.SlipKind
	}{
		"45 in for 0.45 in":      {func(r weather.Record) { r.RainMM[700] = 45 * 25.4 }, 47.5, weather.SlipDay},
		"a lost decimal point":   {func(r weather.Record) { r.RainMM[700] = 254 }, 47.5, weather.SlipDay},
		"inches taken for mm":    {scale(1 / 25.4), 47.5, weather.SlipInches},
		"mm taken for inches":    {scale(25.4), 47.5, weather.SlipMM},
		"tenths taken for mm":    {scale(10), 47.5, weather.SlipMM},
		"one year in inches":     {func(r weather.Record) { scale(1 / 25.4)(r.Slice(366, 731)) }, 47.5, weather.SlipYear},
		"one year in tenths":     {func(r weather.Record) { scale(10)(r.Slice(366, 731)) }, 47.5, weather.SlipYear},
		"°F taken for °C":        {func(r weather.Record) { temps(r, func(c float64) float64 { return c*1.8 + 32 }) }, 47.5, weather.SlipHot},
		"°C taken for °F":        {func(r weather.Record) { temps(r, func(c float64) float64 { return (c - 32) / 1.8 }) }, 47.5, weather.SlipCold},
		"the latitude's sign":    {func(weather.Record) {}, -47.5, weather.SlipSeasons},
		"tenths of °C taken raw": {func(r weather.Record) { temps(r, func(c float64) float64 { return 10 * c }) }, 47.5, weather.SlipHot},
	} {
		r := seattleRain(t)
		c.plant(r)
		s := weather.FindSlips(r, c.lat)
		if len(s) != 1 || s[0].Kind != c.kind {
			t.Errorf("%s: %+v, want kind %d", name, s, c.kind)
		}
	}
}

func temps(r weather.Record, f func(float64) float64) {
	for i := range r.TMinC {
		r.TMinC[i], r.TMaxC[i] = f(r.TMinC[i]), f(r.TMaxC[i])
	}
}

// Sums by year and month, against a reckoning by the text of the dates.
func TestRainYearsAddUp(t *testing.T) {
	r := seattleRain(t)
	want := map[string]float64{}
	for i, mm := range r.RainMM {
		want[r.Start.AddDate(0, 0, i).Format("2006-01")] += mm
	}
	years := r.RainYears()
	if len(years) != 4 {
		t.Fatalf("%d years", len(years))
	}
	for _, y := range years {
		sum := 0.0
		for m, mm := range y.MM {
			key := time.Date(y.Year, time.Month(m+1), 1, 0, 0, 0, 0, time.UTC).Format("2006-01")
			if math.Abs(mm-want[key]) > 1e-9 {
				t.Errorf("%s: %.1f mm, want %.1f", key, mm, want[key])
			}
			sum += want[key]
		}
		if total, whole := y.TotalMM(); !whole || math.Abs(total-sum) > 1e-9 {
			t.Errorf("%d: %.1f mm, want %.1f", y.Year, total, sum)
		}
	}
	e := r.Extremes()
	for name, d := range map[string]struct {
		day  int
		want string
	}{"wettest": {e.Wettest, "2015-03-15"}, "hottest": {e.Hottest, "2014-08-11"}, "coldest": {e.Coldest, "2013-12-07"}} {
		if got := r.Start.AddDate(0, 0, d.day).Format("2006-01-02"); got != d.want {
			t.Errorf("the %s day is %s, want %s", name, got, d.want)
		}
	}
}
