package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunrill/sim/changeover/ruletest"
)

// The rule's text, played word for word on days.csv by somebody who knows no more
// than it says, gives the hours, stops and walks that are printed.
func TestRuleIsPlayedLiterally(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ site, years string }{{"", "2015-2017"}, {"../../testdata/us-site", "2011-2013"}} {
		dir := t.TempDir()
		args := func(more ...string) []string {
			if c.site != "" {
				more = append(more, c.site)
			}
			return append(more, "--json", "--out", filepath.Join(dir, "out"))
		}
		var found struct {
			Rule struct {
				Text string
				Each []struct {
					Year        int
					Open, Close string
					UnmetHours  float64 `json:"unmet_hours"`
					Stops       float64 `json:"dry_pipe_stops"`
					Visits      float64
				} `json:"each_year"`
			}
		}
		if err := json.Unmarshal(runOK(t, args("changeover", "--years", c.years, "--draws", "1")...), &found); err != nil {
			t.Fatal(err)
		}
		if len(found.Rule.Each) < 3 {
			t.Fatalf("a rule for %d years", len(found.Rule.Each))
		}
		for _, y := range found.Rule.Each {
			year := func(open, close string) (days []ruletest.Day, noon []float64, summary []byte) {
				summary = runOK(t, args("year", "--draws", "1", "--years", strconv.Itoa(y.Year), "--open", open, "--close", close)...)
				days, noon = daysFile(t, filepath.Join(dir, "out", "days.csv"))
				return days, noon, summary
			}
			days, _, _ := year("11-01", "04-01") // the creek and the rain do not depend on them
			date := func(d int) string { return days[0].Date.AddDate(0, 0, d).Format("01-02") }
			open, close, err := ruletest.Play(found.Rule.Text, days, func(open int) []float64 {
				_, noon, _ := year(date(open), date(len(days)))
				return noon
			})
			if err != nil {
				t.Fatal(err)
			}
			if open <= 0 || close <= open {
				t.Fatalf("%d: played from day %d to %d: this test asks nothing", y.Year, open, close)
			}
			if date(open) != y.Open || date(close) != y.Close {
				t.Errorf("%d: %s\nplayed it opens %s and closes %s, printed are %s and %s", y.Year, found.Rule.Text, date(open), date(close), y.Open, y.Close)
			}
			_, _, told := year(date(open), date(close))
			var s struct {
				UnmetHours float64 `json:"unmet_hours"`
				Stops      float64 `json:"dry_pipe_stops"`
				Visits     float64
			}
			if err := json.Unmarshal(told, &s); err != nil {
				t.Fatal(err)
			}
			if s.UnmetHours != y.UnmetHours || s.Stops != y.Stops || s.Visits != y.Visits {
				t.Errorf("%d: played it leaves %g hours unmet, with %g stops and %g walks; printed are %g, %g and %g", y.Year, s.UnmetHours, s.Stops, s.Visits, y.UnmetHours, y.Stops, y.Visits)
			}
		}
	}
}

// daysFile reads what a person could have noted from a days.csv.
func daysFile(t *testing.T, path string) (days []ruletest.Day, noonPct []float64) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[strings.TrimSpace(name)] = i
	}
	for _, row := range rows[1:] {
		number := func(name string) float64 {
			v, err := strconv.ParseFloat(row[column[name]], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		day, err := time.Parse("2006-01-02", row[column["date"]])
		if err != nil {
			t.Fatal(err)
		}
		days = append(days, ruletest.Day{Date: day, RainMM: number("rain_mm"), FlowLPS: number("flow_lps")})
		noonPct = append(noonPct, number("noon_soc_pct"))
	}
	return days, noonPct
}
