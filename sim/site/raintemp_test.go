package site_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/sim/site"
)

// rainAndTemps writes two years whose tmin is the day's number modulo 10 and whose
// tmax is 10 °C above, without the cells that are left out.
func rainAndTemps(noMin, noMax, noRow map[int]bool) string {
	start := time.Date(2014, 10, 1, 0, 0, 0, 0, time.UTC)
	var b strings.Builder
	b.WriteString("date,rain_mm,tmin_c,tmax_c\n")
	for i := range 731 {
		if noRow[i] {
			continue
		}
		low, high := fmt.Sprint(i%10), fmt.Sprint(i%10+10)
		if noMin[i] {
			low = ""
		}
		if noMax[i] {
			high = ""
		}
		fmt.Fprintf(&b, "%s,1.0,%s,%s\n", start.AddDate(0, 0, i).Format("2006-01-02"), low, high)
	}
	return b.String()
}

func days(from, to int) map[int]bool {
	m := map[int]bool{}
	for i := from; i < to; i++ {
		m[i] = true
	}
	return m
}

// What is filled lies on the line between the days beside; where one of the two is
// known it stays, and the other keeps its distance.
func TestShortGapsInTemperatureAreFilledAndTold(t *testing.T) {
	for name, c := range map[string]struct {
		noMin, noMax, noRow map[int]bool
		day                 int
		low, high           float64
		told                string
	}{
		"one tmin":             {days(52, 53), nil, nil, 52, 2, 12, "empty on 1 day;"},
		"one tmax":             {nil, days(53, 54), nil, 53, 3, 13, "empty on 1 day;"},
		"three of both":        {days(51, 54), days(51, 54), nil, 53, 3, 13, "empty on 3 days;"},
		"one after the other":  {days(61, 62), days(62, 63), nil, 62, 2, 12, "empty on 2 days;"},
		"across a turn":        {days(59, 61), days(59, 61), nil, 60, 8 - 14./3, 18 - 14./3, "empty on 2 days;"}, // from 8 °C on day 58 to 1 °C on day 61
		"the first day":        {days(0, 1), days(0, 1), nil, 0, 1, 11, "empty on 1 day;"},
		"the last days":        {days(729, 731), nil, nil, 730, 0, 10, "empty on 2 days;"},
		"beside a missing row": {days(51, 52), nil, days(52, 53), 52, 2, 12, "empty on 1 day;"},
	} {
		t.Run(name, func(t *testing.T) {
			s := mustLoad(t, folder(map[string]string{"rain.csv": rainAndTemps(c.noMin, c.noMax, c.noRow)}), site.Options{})
			if lo, hi := s.Rain.TMinC[c.day], s.Rain.TMaxC[c.day]; math.Abs(lo-c.low) > 1e-9 || math.Abs(hi-c.high) > 1e-9 {
				t.Errorf("day %d has %g to %g °C, want %g to %g", c.day, lo, hi, c.low, c.high)
			}
			want := 1
			if len(c.noRow) > 0 {
				want = 2
			}
			if len(s.Warnings) != want || !strings.Contains(strings.Join(s.Warnings, "\n"), c.told) || !strings.Contains(strings.Join(s.Warnings, "\n"), "tmin_c or tmax_c") {
				t.Errorf("warnings %q, want %q among them", s.Warnings, c.told)
			}
		})
	}
}

func TestLongGapsInTemperatureNeedTheirFlag(t *testing.T) {
	fsys := folder(map[string]string{"rain.csv": rainAndTemps(days(40, 60), nil, nil)})
	mustRefuse(t, fsys, "rain.csv:42:16: tmin_c: tmin_c or tmax_c is empty on 20 days (2014-11-10 to 2014-11-29)", "--fill-gaps")
	s := mustLoad(t, fsys, site.Options{FillGaps: true})
	if s.Rain.TMinC[45] != s.Rain.TMinC[45+365] || len(s.Warnings) != 1 {
		t.Errorf("day 45 has %g °C, a year later %g; warnings %q", s.Rain.TMinC[45], s.Rain.TMinC[45+365], s.Warnings)
	}
	mustRefuse(t, folder(map[string]string{"rain.csv": rainAndTemps(days(0, 731), nil, nil)}), "rain.csv:2:16", "no day has both tmin_c and tmax_c", "delete both columns")
}

// Hours that are missing in every column of an hourly file are told once.
func TestMissingHoursAreCountedOnce(t *testing.T) {
	var b strings.Builder
	lines := strings.Split(strings.TrimSpace(measured(8760, still, map[int]bool{3000: true, 3001: true})), "\n")
	b.WriteString("time,ghi_w_m2,dhi_w_m2,temp_c\n")
	for _, l := range lines[1:] {
		_, ghi, _ := strings.Cut(l, ",")
		b.WriteString(l + "," + ghi + ",12\n")
	}
	s := mustLoad(t, folder(map[string]string{"site.toml": hourlySite(""), "sun-hourly.csv": b.String()}), site.Options{})
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "2 hours in all") {
		t.Errorf("warnings %q, want 2 hours", s.Warnings)
	}
}
