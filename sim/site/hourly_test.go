package site_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"sunrill/sim/site"
	"sunrill/weather"
)

// measured writes an hourly record of a clear sky, its stamps moved by hours.
func measured(hours int, shift func(i int) int, skip map[int]bool) string {
	p := weather.Place{LatDeg: 43, LonDeg: -122, UTCOffsetH: -8}
	start := time.Date(2014, 10, 1, 0, 0, 0, 0, p.Zone())
	y := weather.Year{Start: start, Days: hours / 24}
	tr := weather.NewTrack(p, y, 4)
	one := make([]float64, y.Days)
	for i := range one {
		one[i] = 0.6
	}
	sky := new(weather.Sky).Hours(nil, tr, one)
	var b strings.Builder
	b.WriteString("time,ghi_w_m2\n")
	for i := range hours {
		if !skip[i] {
			fmt.Fprintf(&b, "%s,%.1f\n", start.Add(time.Duration(i+shift(i))*time.Hour).Format("2006-01-02 15:04"), sky.GHI[i])
		}
	}
	return b.String()
}

func still(int) int { return 0 }

func hourlySite(more string) string {
	return strings.Replace(string(folder(nil)["site.toml"].Data), "[sun]", "[sun]\nhourly = \"sun-hourly.csv\"\n"+more, 1)
}

func TestMeasuredSun(t *testing.T) {
	text := measured(8760, still, map[int]bool{100: true, 101: true, 102: true, 5000: true})
	s := mustLoad(t, folder(map[string]string{"site.toml": hourlySite(""), "sun-hourly.csv": text}), site.Options{})
	if len(s.Sun.Hourly.GHI) != 8760 || s.Sun.Hourly.DNI != nil || s.Sun.Hourly.Start.Hour() != 0 || s.Sun.Hourly.Repeat {
		t.Errorf("%d hours from %v", len(s.Sun.Hourly.GHI), s.Sun.Hourly.Start)
	}
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "4 hours") {
		t.Errorf("warnings %q", s.Warnings)
	}
	// The same record stamped at the end of each hour.
	late := measured(8760, func(int) int { return 1 }, nil)
	e := mustLoad(t, folder(map[string]string{"site.toml": hourlySite("stamp = \"ending\"\nrepeat = true"), "sun-hourly.csv": late}), site.Options{})
	if !e.Sun.Hourly.Start.Equal(s.Sun.Hourly.Start) || e.Sun.Hourly.GHI[12] != s.Sun.Hourly.GHI[12] || !e.Sun.Hourly.Repeat {
		t.Errorf("stamped at the end it starts %v", e.Sun.Hourly.Start)
	}
	mustRefuse(t, folder(map[string]string{"site.toml": hourlySite(""), "sun-hourly.csv": late}), "while the sun is down", `stamp = "ending"`)
}

func TestMeasuredSunRefused(t *testing.T) {
	skip := map[int]bool{}
	for i := 200; i < 204; i++ {
		skip[i] = true
	}
	summer := func(i int) int { // put forward in spring, back in autumn
		if i >= 4010 && i < 8018 {
			return 1
		}
		return 0
	}
	for name, c := range map[string]struct {
		more, text string
		says       []string
	}{
		"a long gap":       {"", measured(8760, still, skip), []string{"4 hours are missing before this row", "sun-hourly.csv:202:"}},
		"a short record":   {"", measured(2400, still, nil), []string{"2400 hours"}},
		"another clock":    {"", measured(8760, func(int) int { return 3 }, nil), []string{"while the sun is down", "-3 h"}},
		"summer time":      {"", measured(8760, summer, nil), []string{"summer time", "standard time all year"}},
		"no night":         {"", strings.ReplaceAll(measured(8760, still, nil), ",0.0\n", ",35.0\n"), []string{"while the sun is down"}},
		"a missing mark":   {"", strings.Replace(measured(8760, still, nil), ",0.0\n", ",-9999\n", 1), []string{"-9999 is outside -20 to 1600", "leave the cell empty"}},
		"half hours":       {"", strings.Replace(measured(8760, still, nil), " 05:00", " 05:30", 1), []string{"is not on the hour"}},
		"a stamp no file":  {"", "", []string{"sun-hourly.csv: is empty"}},
		"a word for stamp": {"stamp = \"end\"", measured(8760, still, nil), []string{`did you mean "ending"?`}},
	} {
		t.Run(name, func(t *testing.T) {
			mustRefuse(t, folder(map[string]string{"site.toml": hourlySite(c.more), "sun-hourly.csv": c.text}), c.says...)
		})
	}
	mustRefuse(t, folder(map[string]string{"site.toml": strings.Replace(string(folder(nil)["site.toml"].Data), "[sun]", "[sun]\nrepeat = true", 1)}), "with an hourly record only")
}
