package site_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/sim/site"
)

// rainWith is dailyRain with temperatures, with the rain of some days empty.
func rainWith(empty func(i int) bool) string {
	var b strings.Builder
	b.WriteString("date,rain_mm,tmin_c,tmax_c,note\n")
	start := time.Date(2014, 10, 1, 0, 0, 0, 0, time.UTC)
	for i := range 731 {
		d := start.AddDate(0, 0, i)
		rain := fmt.Sprintf("%.1f", float64(d.Day())/10)
		if empty(i) {
			rain = ""
		}
		fmt.Fprintf(&b, "%s,%s,%d,%d,\n", d.Format("2006-01-02"), rain, i%10, 10+i%10)
	}
	return b.String()
}

// A gauge that was not read is a gap, not a dry day; what the row tells of
// temperature is kept.
func TestBlankRainIsAGapNotDry(t *testing.T) {
	s := mustLoad(t, folder(map[string]string{"rain.csv": rainWith(func(i int) bool { return i >= 10 && i < 13 })}), site.Options{})
	if math.Abs(s.Rain.RainMM[11]-1.2) > 1e-9 || s.Rain.TMinC[11] != 1 || s.Rain.TMaxC[11] != 11 {
		t.Errorf("day 11: %g mm, %g to %g °C; want 1.2, 1 to 11", s.Rain.RainMM[11], s.Rain.TMinC[11], s.Rain.TMaxC[11])
	}
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "1 gap of 1 to 3 days") {
		t.Errorf("warnings %q", s.Warnings)
	}
}

func TestFourBlankDaysNeedAWord(t *testing.T) {
	rain := rainWith(func(i int) bool { return i >= 10 && i < 14 })
	mustRefuse(t, folder(map[string]string{"rain.csv": rain}), "rain.csv:16:12: rain_mm: rain_mm is not known of the 4 days before this row (2014-10-11 to 2014-10-14)", "0 only where a gauge was read and dry", `gaps = "fill"`)
	fill := string(folder(nil)["site.toml"].Data)
	fill = strings.Replace(fill, "[rain]\n", "[rain]\ngaps = \"fill\"\n", 1)
	s := mustLoad(t, folder(map[string]string{"site.toml": fill, "rain.csv": rain}), site.Options{})
	if s.Rain.RainMM[12] != s.Rain.RainMM[12+365] || s.Rain.TMinC[12] != 2 {
		t.Errorf("day 12: %g mm, a year later %g; %g °C, want 2", s.Rain.RainMM[12], s.Rain.RainMM[12+365], s.Rain.TMinC[12])
	}
	mustRefuse(t, folder(map[string]string{"site.toml": strings.Replace(fill, `"fill"`, `"fil"`, 1), "rain.csv": rain}), `did you mean "fill"`)
}

func TestRecordIsCutAtBlankEnds(t *testing.T) {
	toml := string(folder(nil)["site.toml"].Data)
	toml = strings.Replace(toml, "[sun]\n", "[year]\nstart = \"10-06\"\n[sun]\n", 1)
	s := mustLoad(t, folder(map[string]string{"site.toml": toml, "rain.csv": rainWith(func(i int) bool { return i < 5 || i > 720 })}), site.Options{})
	if s.Rain.Days() != 716 || s.Rain.Start.Day() != 6 || s.Rain.RainMM[0] != 0.6 || s.Rain.TMinC[0] != 5 {
		t.Errorf("%d days from %v, %g mm, %g °C", s.Rain.Days(), s.Rain.Start, s.Rain.RainMM[0], s.Rain.TMinC[0])
	}
	if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], "15 days") {
		t.Errorf("warnings %q", s.Warnings)
	}
	mustRefuse(t, folder(map[string]string{"rain.csv": rainWith(func(int) bool { return true })}), "tells the rain of no day")
}

// Days without a row and days with an empty cell in one gap.
func TestGapOfBlanksAndMissingRows(t *testing.T) {
	rain := rainWith(func(i int) bool { return i >= 10 && i < 13 })
	rain = strings.Replace(rain, "2014-10-12,,1,11,\n", "", 1)
	s := mustLoad(t, folder(map[string]string{"rain.csv": rain}), site.Options{})
	if math.Abs(s.Rain.RainMM[11]-1.2) > 1e-9 || s.Rain.TMinC[11] != 1 || s.Rain.TMaxC[11] != 11 {
		t.Errorf("day 11: %g mm, %g to %g °C; want 1.2, 1 to 11", s.Rain.RainMM[11], s.Rain.TMinC[11], s.Rain.TMaxC[11])
	}
}

// respell writes the dates of a table in another way.
func respell(csv, layout string) string {
	lines := strings.Split(csv, "\n")
	for i, l := range lines {
		if d, err := time.Parse("2006-01-02", strings.SplitN(l, ",", 2)[0]); err == nil {
			lines[i] = d.Format(layout) + l[10:]
		}
	}
	return strings.Join(lines, "\n")
}

// A US spreadsheet saves 2014-10-01 as 10/1/2014; a British one as 01/10/2014.
func TestDatesThatASpreadsheetRewrote(t *testing.T) {
	iso := mustLoad(t, folder(nil), site.Options{})
	for layout, words := range map[string]string{"1/2/2006": "month/day/year (line 14 has 10/13/2014)", "02/01/2006": "day/month/year (line 14 has 13/10/2014)", "2.1.2006": "day/month/year"} {
		s := mustLoad(t, folder(map[string]string{"rain.csv": respell(string(folder(nil)["rain.csv"].Data), layout)}), site.Options{})
		if s.Rain.Days() != iso.Rain.Days() || !s.Rain.Start.Equal(iso.Rain.Start) || s.Rain.RainMM[40] != iso.Rain.RainMM[40] {
			t.Errorf("%s: %d days from %v", layout, s.Rain.Days(), s.Rain.Start)
		}
		if len(s.Warnings) != 1 || !strings.Contains(s.Warnings[0], words) {
			t.Errorf("%s: warnings %q, want %q", layout, s.Warnings, words)
		}
	}
}

func TestHoursThatASpreadsheetRewrote(t *testing.T) {
	var b strings.Builder
	b.WriteString("time,demand_w\n")
	start := time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC)
	for h := range 8760 {
		fmt.Fprintf(&b, "%s,%d\n", start.Add(time.Duration(h)*time.Hour).Format("1/2/2006 3:04 PM"), h%24)
	}
	toml := strings.Replace(string(folder(nil)["site.toml"].Data), "[loads]\n", "[loads]\nhourly = \"demand.csv\"\n", 1)
	s := mustLoad(t, folder(map[string]string{"site.toml": toml, "demand.csv": b.String()}), site.Options{})
	for h, w := range s.DemandW.Values {
		if w != float64(h%24) {
			t.Fatalf("hour %d has %g W", h, w)
		}
	}
}
