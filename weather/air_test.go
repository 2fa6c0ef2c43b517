package weather_test

import (
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

func TestAirRunsBetweenTheDaysEnds(t *testing.T) {
	y := yearFrom(wetPlace, 2016, time.October, 1)
	tr := weather.NewTrack(wetPlace, y, 4)
	low, high := make([]float64, y.Days), make([]float64, y.Days)
	for d := range low {
		low[d] = 5 + 3*math.Sin(float64(d))
		high[d] = low[d] + 8 + 4*math.Cos(float64(d)/3)
	}
	air := weather.AirTemperature(nil, low, high, tr)
	for d := 1; d < y.Days-1; d++ {
		day := air[24*d : 24*d+24]
		coldest, warmest := 0, 0
		for h, c := range day {
			if c < day[coldest] {
				coldest = h
			}
			if h < 20 && c > day[warmest] {
				warmest = h
			}
		}
		// The middle of an hour misses the turning point by half an hour at
		// the most: 2 % of the range.
		if got := day[warmest]; got > high[d]+1e-9 || got < high[d]-0.03*(high[d]-low[d]) {
			t.Fatalf("day %d: the warmest hour has %.2f °C, the record %.2f", d, got, high[d])
		}
		if warmest < 13 || warmest > 16 {
			t.Fatalf("day %d: warmest in hour %d", d, warmest)
		}
		sunrise := tr.SunriseH[d]
		if at := day[int(sunrise)]; math.Abs(at-low[d]) > 0.05*(high[d]-low[d]) {
			t.Fatalf("day %d: %.2f °C at sunrise, the record's minimum is %.2f", d, at, low[d])
		}
	}
	for h := 1; h < len(air); h++ { // no jump at midnight
		if math.Abs(air[h]-air[h-1]) > 4 {
			t.Fatalf("hour %d: the air jumps from %.1f to %.1f °C", h, air[h-1], air[h])
		}
	}
}

func TestMonthsJoinUp(t *testing.T) {
	monthly := [12]float64{4, 5, 7, 10, 13, 16, 19, 19, 16, 11, 6, 4}
	mid := weather.MonthlyAt(monthly, time.Date(2021, 4, 15, 0, 0, 0, 0, time.UTC))
	if math.Abs(mid-10) > 0.1 {
		t.Errorf("the middle of April has %.2f °C, its mean is 10", mid)
	}
	end := weather.MonthlyAt(monthly, time.Date(2021, 12, 31, 0, 0, 0, 0, time.UTC))
	if math.Abs(end-4) > 0.1 {
		t.Errorf("31 December has %.2f °C between months of 4", end)
	}
	last := weather.MonthlyAt(monthly, time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC))
	for d := 1; d < 800; d++ {
		c := weather.MonthlyAt(monthly, time.Date(2020, 1, 1+d, 0, 0, 0, 0, time.UTC))
		if math.Abs(c-last) > 0.25 {
			t.Fatalf("day %d: %.2f °C after %.2f", d, c, last)
		}
		last = c
	}
	y := yearFrom(wetPlace, 2016, time.October, 1)
	air := weather.AirFromMonths(nil, monthly, y)
	if len(air) != y.Hours() || air[0] != air[23] || math.Abs(air[0]-13.5) > 0.2 {
		t.Errorf("1 October begins with %.2f °C, want 13.5 all day", air[0])
	}
}

func TestDarkestPair(t *testing.T) {
	if m := weather.DarkestPair([12]float64{1.2, 2, 3, 4, 5, 6, 7, 6, 4, 2.7, 1.3, 0.9}); m != time.December {
		t.Errorf("the darkest pair begins with %v, want December", m)
	}
	if m := weather.DarkestPair([12]float64{7, 6, 5, 3.5, 2.2, 1.7, 2, 2.9, 4, 5, 6, 7}); m != time.June {
		t.Errorf("in the south the darkest pair begins with %v, want June", m)
	}
	y := yearFrom(wetPlace, 2015, time.October, 1)
	n := 0
	for _, in := range weather.InMonths(y, time.February) {
		if in {
			n++
		}
	}
	if n != 29*24 {
		t.Errorf("February 2016 has %d hours, want %d", n, 29*24)
	}
}
