package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunrill/sim/record"
	"sunrill/sim/site"
)

// outlook runs the command on the built-in site and returns its JSON and its
// words.
func outlook(t *testing.T, args ...string) (record.OutlookFile, string, string) {
	t.Helper()
	dir := t.TempDir()
	args = append([]string{"outlook", "--out", dir, "--draws", "2"}, args...)
	code, text, errOut := sunrillTo(t, args...)
	if code != exitOK {
		t.Fatalf("%v: exit %d: %s", args, code, errOut)
	}
	data, err := os.ReadFile(filepath.Join(dir, "outlook.json"))
	if err != nil {
		t.Fatal(err)
	}
	var o record.OutlookFile
	if err := json.Unmarshal(data, &o); err != nil {
		t.Fatal(err)
	}
	return o, text, dir
}

func TestOutlook(t *testing.T) {
	o, text, dir := outlook(t, "--charge", "62 %", "--bucket", "20 L in 19, 20, 21 s", "--date", "2026-11-25")
	if o.From != "2026-11-25T00:00" || o.Days != 60 || o.ChargePct != 62 || o.FlowReadLPS == nil || *o.FlowReadLPS != 1 || o.StateFrom != "seasons" || o.Moved != "slow" {
		t.Errorf("%+v", o)
	}
	if math.Abs(*o.FlowLPS-1) > 1e-3 {
		t.Errorf("the creek starts from %g L/s, read 1", *o.FlowLPS)
	}
	// Three plans: it stands open by its dates all the time.
	var hours []float64
	for i, p := range o.Plans {
		if want := []string{"open", "wait", "closed"}[i]; p.Plan != want {
			t.Errorf("plan %d is %q, want %q", i, p.Plan, want)
		}
		hours = append(hours, p.UnmetHours)
		last := 0.0
		for _, lead := range []string{"7", "14", "30", "60"} {
			c, ok := p.ChancePct[lead]
			if !ok || c < last || c > 100 {
				t.Errorf("%s: %g %% within %s days after %g", p.Plan, c, lead, last)
			}
			last = c
		}
	}
	if !(hours[0] < hours[1] && hours[1] < hours[2]) || o.Best != "open" {
		t.Errorf("%v dark hours, best %q: the sooner the creek helps the better, in a November with water", hours, o.Best)
	}
	// A set that needs more water is not carried sooner.
	for i := 1; i < len(o.Sets); i++ {
		if o.Sets[i].TurbineLPS < o.Sets[i-1].TurbineLPS || o.Sets[i].ChancePct > o.Sets[i-1].ChancePct {
			t.Errorf("sets %+v and %+v", o.Sets[i-1], o.Sets[i])
		}
	}
	for _, says := range []string{
		"It gets dark within 60 days in", "Leave the valve open", "20 L bucket fills in", "Put off", "you read 1.00 L/s",
	} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), says) {
			t.Errorf("the words do not hold %q:\n%s", says, text)
		}
	}
	rows := readCSV(t, filepath.Join(dir, "outlook.csv"))
	if len(rows) != 61 || rows[0][0] != "date" || rows[1][0] != "2026-11-25" {
		t.Errorf("outlook.csv: %d rows, %v", len(rows), rows[0])
	}
	for _, name := range []string{"report.html", "charts/outlook-charge.svg", "charts/outlook-creek.svg", "charts/outlook-dark.csv"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
}

// A fuller bank and a greater creek never make it darker; a date long before
// the record is answered too.
func TestOutlookIsMonotone(t *testing.T) {
	chance := func(args ...string) float64 {
		o, _, _ := outlook(t, append(args, "--days", "30")...)
		for _, p := range o.Plans {
			if p.Plan == o.Best {
				return p.UnmetHours
			}
		}
		t.Fatal("no best plan")
		return 0
	}
	low := chance("--charge", "30 %", "--flow", "0.6 L/s", "--date", "2026-11-10")
	mid := chance("--charge", "80 %", "--flow", "0.6 L/s", "--date", "2026-11-10")
	high := chance("--charge", "80 %", "--flow", "3 L/s", "--date", "2026-11-10")
	if !(low > mid && mid > high) {
		t.Errorf("dark hours %.1f at 30 %%, %.1f at 80 %%, %.1f with a full creek", low, mid, high)
	}
	if v := chance("--charge", "80 %", "--date", "1980-11-10"); math.IsNaN(v) {
		t.Error("no answer for a day before the record")
	}
}

// The chances of the built-in site's past come true: over all leads, what was
// told comes within a tenth of as often, and better than by the season's share
// or by the last week going on.
func TestOutlookJudged(t *testing.T) {
	t.Parallel()
	o, text, _ := outlook(t, "--charge", "62 %", "--date", "2026-11-25", "--judge", "--draws", "1")
	j := o.Judged
	if j == nil || j.Dates < 500 || len(j.Leads) != 4 {
		t.Fatalf("%+v", j)
	}
	for _, l := range j.Leads {
		if !(l.Brier < l.BrierClimate && l.Brier < l.BrierRepeat) {
			t.Errorf("%d days: %.3f, season %.3f, last week %.3f", l.Days, l.Brier, l.BrierClimate, l.BrierRepeat)
		}
		told, n := 0.0, 0
		for _, b := range l.Bins {
			told += b.ToldPct * float64(b.Dates)
			n += b.Dates
		}
		if told /= float64(n); n != l.Dates || math.Abs(told-l.CamePct) > 5 {
			t.Errorf("%d days: told %.1f %% in the mean, came %.1f %%", l.Days, told, l.CamePct)
		}
	}
	if !regexp.MustCompile(`Dark within 14 days came on \d+ % of the dates`).MatchString(strings.Join(strings.Fields(text), " ")) {
		t.Errorf("the words do not judge:\n%s", text)
	}
}

func TestBucketReading(t *testing.T) {
	r, err := bucketReading("5 gal in 19 20 21 s")
	if want := 5 * 3.785411784e-3 / 20; err != nil || math.Abs(r.FlowM3S-want) > 1e-9 {
		t.Errorf("%v, %v; want %g", r, err, want)
	}
	for _, bad := range []string{"", "20 L", "20 in 19", "20 L in x", "20 L in", "in 20"} {
		if _, err := bucketReading(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

// What is kept is told by the next outlook, and the log stays a table.
func TestOutlookKeeps(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "place")
	if _, errOut, code := sunrill(t, "new", dir); code != exitOK {
		t.Fatal(errOut)
	}
	for _, day := range []struct{ date, charge, says string }{
		{"2026-11-18", "80 %", ""},
		{"2026-11-25", "62 %", "Your outlook of 18 November 2026 (you noted: =left, it \"closed\") told"},
	} {
		out := t.TempDir()
		code, text, errOut := sunrillTo(t, "outlook", dir, "--out", out, "--draws", "2", "--charge", day.charge, "--flow", "1.0 L/s", "--date", day.date, "--keep", "=left, it \"closed\"")
		if code != exitOK {
			t.Fatal(errOut)
		}
		if flat := strings.Join(strings.Fields(text), " "); !strings.Contains(flat, day.says) || day.says == "" && strings.Contains(flat, "Your outlook of") {
			t.Errorf("%s: no %q in\n%s", day.date, day.says, text)
		}
	}
	log, err := site.Log(dir)
	if err != nil || len(log) != 2 || log[1].SoC != 0.62 || log[1].FlowM3S != 0.001 || log[1].Decided != "=left, it \"closed\"" {
		t.Errorf("%+v, %v", log, err)
	}
	// What could not be read again is refused, and the log stays as it was.
	if err := site.AppendLog(dir, site.LogEntry{At: log[1].At, SoC: 0.5, FlowM3S: 0.001, Decided: "bell \a"}); err == nil {
		t.Error("a control character was kept")
	}
	if again, err := site.Log(dir); err != nil || len(again) != 2 {
		t.Errorf("%+v, %v", again, err)
	}
	// A log that was turned round in a spreadsheet, with decimal commas, goes on as it is.
	turned := "\ufeffdecided;flow_lps;date;soc_pct\r\nopened;1,5;2026-11-20;70\r\n"
	put(t, filepath.Join(dir, "log.csv"), turned)
	if err := site.AppendLog(dir, log[1]); err != nil {
		t.Error(err)
	}
	if got, want := read(t, filepath.Join(dir, "log.csv")), turned+`"'=left, it ""closed""";1;2026-11-25;62`+"\r\n"; got != want {
		t.Errorf("the log is\n%q, want\n%q", got, want)
	}
	// The built-in site has no folder to keep it in.
	if code, _, errOut := sunrillTo(t, "outlook", "--keep", "x", "--date", "2026-11-25"); code != exitUsage || !strings.Contains(errOut, "--keep needs a site folder") {
		t.Errorf("exit %d: %s", code, errOut)
	}
}

// A forecast of rain lifts the creek; a bad one is refused with its place.
func TestOutlookForecast(t *testing.T) {
	file := filepath.Join(t.TempDir(), "forecast.csv")
	write := func(content string) {
		if err := os.WriteFile(file, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	share := func() float64 {
		o, text, _ := outlook(t, "--charge", "62 %", "--flow", "1.0 L/s", "--date", "2026-11-25", "--days", "7", "--forecast", file)
		if !strings.Contains(strings.Join(strings.Fields(text), " "), "The first 3 days follow your forecast.") {
			t.Error(text)
		}
		return o.Sets[len(o.Sets)-1].ChancePct
	}
	write("date,rain_mm,sun_pct\n2026-11-24,0,50\n2026-11-25,0,80\n2026-11-26,0,\n2026-11-27,0,90\n")
	dry := share()
	write("date;rain_mm\n2026-11-24;0\n2026-11-25;45,5\n2026-11-26;60\n2026-11-27;60\n")
	if wet := share(); wet != 100 || dry > 60 {
		t.Errorf("the largest set within a week: %g %% after a dry forecast, %g %% after a wet one", dry, wet)
	}
	for content, says := range map[string]string{
		"date,rain_mm\n2026-11-25,-3\n":              "forecast.csv:2:12",
		"date,rain_mm\n2026-11-25,3\n2026-11-27,3\n": "is not the day after",
		"date,rain_mm,tmin_c\n2026-11-25,3,2\n":      "one of lowest and highest temperature",
		"date,rain_mm\n2026-10-25,3\n":               "before 2026-11-25",
		"date,rain_mm,sun_pct\n2026-11-25,3,150\n":   "is outside what weather brings",
	} {
		write(content)
		code, _, errOut := sunrillTo(t, "outlook", "--charge", "62 %", "--date", "2026-11-25", "--forecast", file, "--out", t.TempDir())
		if code == exitOK || !strings.Contains(errOut, says) {
			t.Errorf("%q: exit %d, %s; want %q", content, code, errOut, says)
		}
	}
}
