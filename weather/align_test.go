package weather_test

import (
	"testing"
	"time"

	"sunrill/weather"
)

// A record of the hours from 1 January 2021 on, each hour's value its number.
func TestRecordOnTheCalendar(t *testing.T) {
	start := time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC)
	values := make([]float64, 2*365*24)
	for i := range values {
		values[i] = float64(i)
	}
	year := func(y, days int) weather.Year {
		return weather.Year{Start: time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC), Days: days}
	}
	at := func(month time.Month, day, hour int) float64 { // in 2021
		return time.Date(2021, month, day, hour, 0, 0, 0, time.UTC).Sub(start).Hours()
	}
	own := weather.Aligned(start, values, year(2022, 365))
	if &own[0] != &values[365*24] || len(own) != 365*24 {
		t.Errorf("the record's own year begins with hour %g and has %d hours", own[0], len(own))
	}
	leap := weather.Aligned(start, values, year(2024, 366))
	if len(leap) != 366*24 {
		t.Fatalf("%d hours in a leap year", len(leap))
	}
	for _, c := range []struct {
		day  int
		want float64
	}{{0, at(time.January, 1, 7)}, {58, at(time.February, 28, 7)}, {59, at(time.February, 28, 7)}, {60, at(time.March, 1, 7)}, {365, at(time.December, 31, 7)}} {
		if got := leap[24*c.day+7]; got != c.want {
			t.Errorf("day %d of 2024, 07:00: hour %g of the record, want %g", c.day, got, c.want)
		}
	}
}
