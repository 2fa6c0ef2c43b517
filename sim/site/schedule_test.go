package site

import (
	"math"
	"strings"
	"testing"
)

func TestHoursOfAppliances(t *testing.T) {
	for _, c := range []struct {
		cell     string
		hours    float64 // a day, all together
		in       int     // an hour in which it runs
		fraction float64 // how much of that hour
		out      int     // an hour in which it does not; -1: none
		amount   float64 // as told by the day or the week
	}{
		{"06-08 18-23", 7, 6, 1, 8, 0},
		{"22-06", 8, 23, 1, 6, 0},
		{"22:30-06", 7.5, 22, 0.5, 12, 0},
		{"all", 24, 0, 1, -1, 0},
		{"ALL", 24, 23, 1, -1, 0},
		{"2.5/day", 2.5, 7, 2.5 / 24, -1, 2.5},
		{"2.5 h/day", 2.5, 7, 2.5 / 24, -1, 2.5},
		{"0/day", 0, 3, 0, -1, 0},
		{"6/week", 6.0 / 7, 7, 6.0 / 168, -1, 6},
		{"168 h/week", 24, 7, 1, -1, 168},
		{"06-08, 07-09", 3, 7, 1, 9, 0},
		{"0-24", 24, 11, 1, -1, 0},
		{"6-6:15", 0.25, 6, 0.25, 7, 0},
	} {
		fraction, amount, weekly, err := parseHours(c.cell)
		if err != nil || weekly != strings.HasSuffix(c.cell, "week") {
			t.Errorf("%q: %v", c.cell, err)
			continue
		}
		sum := 0.0
		for _, s := range fraction {
			sum += s
		}
		if math.Abs(sum-c.hours) > 1e-12 || math.Abs(fraction[c.in]-c.fraction) > 1e-12 || c.out >= 0 && fraction[c.out] != 0 || amount != c.amount {
			t.Errorf("%q: %g h a day, %v, told %g", c.cell, sum, fraction, amount)
		}
	}
	for _, cell := range []string{"", "25-30", "6-25", "8", "8-", "-8", "08-08", "all day", "2.5", "25/day", "-1/day", "169/week", "-1/week", "6/year", "6/", "NaN/day", "8:60-9", "8.5-9", "24:30-2", "6--8", "6-8-10"} {
		if fraction, _, _, err := parseHours(cell); err == nil {
			t.Errorf("%q is taken as %v", cell, fraction)
		}
	}
}

func TestDaysAndMonths(t *testing.T) {
	for cell, want := range map[string]int{"": 7, "all": 7, "mon wed": 2, "mon-fri": 5, "weekdays": 5, "weekend": 2, "sat-mon": 3, "Sunday": 1, "fri-fri": 1} {
		days, err := parseDays(cell)
		n := 0
		for _, d := range days {
			if d {
				n++
			}
		}
		if err != nil || n != want {
			t.Errorf("%q: %d days (%v), want %d", cell, n, err, want)
		}
	}
	for cell, want := range map[string]int{"": 12, "all": 12, "11-03": 5, "6 7 8": 3, "oct-apr": 7, "January": 1, "3-3": 1, "12-01": 2} {
		months, err := parseMonths(cell)
		n := 0
		for _, m := range months {
			if m {
				n++
			}
		}
		if err != nil || n != want || months[0] {
			t.Errorf("%q: %d months (%v), want %d", cell, n, err, want)
		}
	}
	for _, cell := range []string{"13", "0", "11-", "mai-x", "1-2-3", "-1"} {
		if _, err := parseMonths(cell); err == nil {
			t.Errorf("months %q are taken", cell)
		}
		if _, err := parseDays(cell); err == nil {
			t.Errorf("days %q are taken", cell)
		}
	}
}

func FuzzSchedule(f *testing.F) {
	for _, cell := range []string{"06-08 18-23", "22:30-06", "all", "2.5/day", "6/week", "25-30", "mon-fri", "11-03", "weekend", "--", "٣-٤", "1e300/day"} {
		f.Add(cell)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		if fraction, amount, weekly, err := parseHours(cell); err == nil {
			if !(amount >= 0 && (amount <= 24 || weekly && amount <= 168)) {
				t.Fatalf("%q is %g hours", cell, amount)
			}
			for h, s := range fraction {
				if !(s >= 0 && s <= 1) {
					t.Fatalf("%q runs %g of hour %d", cell, s, h)
				}
			}
		}
		if months, err := parseMonths(cell); err == nil && months[0] {
			t.Fatalf("%q has a month 0", cell)
		}
		parseDays(cell)
	})
}
