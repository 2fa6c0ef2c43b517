package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// runOK runs a command line that must end well and returns what it printed.
func runOK(t *testing.T, args ...string) []byte {
	t.Helper()
	var out, errOut bytes.Buffer
	if code := run(t.Context(), args, &out, &errOut); code != exitOK {
		t.Fatalf("sunrill %s: exit code %d\n%s", strings.Join(args, " "), code, errOut.String())
	}
	return out.Bytes()
}

// The dates that changeover finds, given to year, come to what it says.
func TestChangeoverAgreesWithYear(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	var found struct {
		Years []int
		Best  struct {
			Open, Close  string
			UnmetHours   float64 `json:"unmet_hours"`
			UnmetKWh     float64 `json:"unmet_kwh"`
			DryPipeStops float64 `json:"dry_pipe_stops"`
			HydroDays    float64 `json:"hydro_days"`
		}
		Never struct {
			UnmetHours float64 `json:"unmet_hours"`
		}
		Rule *struct{ Text string }
	}
	type summary struct {
		UnmetHours   float64                 `json:"unmet_hours"`
		DryPipeStops float64                 `json:"dry_pipe_stops"`
		HydroDays    float64                 `json:"hydro_days"`
		Energy       struct{ Unmet float64 } `json:"energy_kwh"`
	}
	for _, c := range []struct{ site, year string }{
		{"", "2011"}, // with a 29 February
		{"../../testdata/us-site", "2013"},
	} {
		args := func(more ...string) []string {
			if c.site != "" {
				more = append(more, c.site)
			}
			return append(more, "--years", c.year, "--draws", "2", "--json", "--out", filepath.Join(dir, "out"))
		}
		if err := json.Unmarshal(runOK(t, args("changeover")...), &found); err != nil {
			t.Fatal(err)
		}
		var best, never summary
		if err := json.Unmarshal(runOK(t, append(args("year"), "--open", found.Best.Open, "--close", found.Best.Close)...), &best); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(runOK(t, append(args("year"), "--open", "never")...), &never); err != nil {
			t.Fatal(err)
		}
		b := found.Best
		if b.UnmetHours != best.UnmetHours || b.DryPipeStops != best.DryPipeStops || b.HydroDays != best.HydroDays || b.UnmetKWh-best.Energy.Unmet > 0.001 || best.Energy.Unmet-b.UnmetKWh > 0.001 {
			t.Errorf("%s %s: changeover says %+v, year says %+v", c.site, c.year, b, best)
		}
		if found.Never.UnmetHours != never.UnmetHours || never.HydroDays != 0 {
			t.Errorf("%s %s: never opened, changeover says %+v, year says %+v", c.site, c.year, found.Never, never)
		}
		if found.Rule == nil || found.Rule.Text == "" {
			t.Errorf("%s: no rule", c.site)
		}
	}
}

func TestChangeoverWritesItsFiles(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	out := string(runOK(t, "changeover", "--draws", "3", "--out", dir))
	for _, name := range []string{"changeover.csv", "changeover.json", "report.html", "charts/changeover-dates.svg", "charts/changeover-year.svg", "charts/changeover-years.svg"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() == 0 {
			t.Errorf("%s is missing or empty", name)
		}
	}
	for _, want := range []string{"Open the valve on", "A rule to live by", "20 L bucket", "Ways to work the valve", "what you do today", "open two weeks late"} {
		if !strings.Contains(out, want) {
			t.Errorf("does not print %q:\n%s", want, out)
		}
	}
}

func TestChangeoverRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"changeover", "../../testdata/seattle"}, exitBadInput, "[stream]"},
		{[]string{"changeover", "--years", "1999"}, exitUsage, "complete water years"},
		{[]string{"changeover", "no-such-folder"}, exitBadInput, "no-such-folder"},
	} {
		var out, errOut bytes.Buffer
		args := append(c.args, "--out", filepath.Join(t.TempDir(), "out"))
		if code := run(t.Context(), args, &out, &errOut); code != c.code || !strings.Contains(errOut.String(), c.says) {
			t.Errorf("sunrill %s: exit code %d, want %d; says\n%s", strings.Join(c.args, " "), code, c.code, errOut.String())
		}
	}
}
