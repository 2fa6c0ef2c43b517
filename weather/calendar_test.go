package weather_test

import (
	"testing"
	"time"

	"sunrill/weather"
)

func TestWaterYearsLieWithinTheRecord(t *testing.T) {
	p := weather.Place{LatDeg: 43, UTCOffsetH: -8}
	start := time.Date(2010, 10, 1, 0, 0, 0, 0, p.Zone())
	days := func(until time.Time) int { return int(until.Sub(start).Hours() / 24) }
	for _, c := range []struct {
		name   string
		days   int
		month  time.Month
		day    int
		years  []int
		length []int
	}{
		{"to the last day", days(start.AddDate(2, 0, 0)), time.October, 1, []int{2010, 2011}, []int{365, 366}},
		{"a day short", days(start.AddDate(2, 0, 0)) - 1, time.October, 1, []int{2010}, []int{365}},
		{"years that begin in April", days(start.AddDate(2, 0, 0)), time.April, 1, []int{2011}, []int{366}},
		{"calendar years", days(start.AddDate(3, 4, 0)), time.January, 1, []int{2011, 2012, 2013}, []int{365, 366, 365}},
		{"less than a year", 300, time.October, 1, nil, nil},
		{"no day at all", 0, time.October, 1, nil, nil},
	} {
		r := weather.Record{Start: start, RainMM: make([]float64, c.days)}
		got := weather.WaterYears(r, c.month, c.day)
		if len(got) != len(c.years) {
			t.Errorf("%s: %d years, want %v", c.name, len(got), c.years)
			continue
		}
		for i, y := range got {
			if y.Number() != c.years[i] || y.Days != c.length[i] || y.Hours() != 24*c.length[i] {
				t.Errorf("%s: year %d is %d with %d days, want %d with %d", c.name, i, y.Number(), y.Days, c.years[i], c.length[i])
			}
			if from := r.Index(y.Start); from < 0 || from+y.Days > r.Days() {
				t.Errorf("%s: %d runs out of the record", c.name, y.Number())
			}
		}
	}
}

func TestRecordIndexAndSlice(t *testing.T) {
	p := weather.Place{UTCOffsetH: 5.5}
	r := weather.Record{Start: time.Date(2020, 2, 28, 0, 0, 0, 0, p.Zone()), RainMM: []float64{0, 1, 2, 3}}
	for _, c := range []struct {
		at   time.Time
		want int
	}{
		{r.Start, 0}, {r.Start.Add(23 * time.Hour), 0}, {r.Start.Add(24 * time.Hour), 1},
		{time.Date(2020, 3, 1, 5, 0, 0, 0, p.Zone()), 2}, {r.Start.Add(-time.Hour), -1}, {r.Start.Add(-25 * time.Hour), -2},
	} {
		if got := r.Index(c.at); got != c.want {
			t.Errorf("%v is day %d of the record, want %d", c.at, got, c.want)
		}
	}
	s := r.Slice(1, 3)
	if s.Days() != 2 || s.RainMM[0] != 1 || s.Start.Day() != 29 || s.TMinC != nil {
		t.Errorf("days 1 and 2: %+v", s)
	}
	y := weather.Year{Start: r.Start, Days: 366}
	if at := y.Time(25); at.Day() != 29 || at.Hour() != 1 {
		t.Errorf("hour 25 begins at %v", at)
	}
}
