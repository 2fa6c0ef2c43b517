package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// sunrill runs the program and returns its exit code and what it printed.
func sunrillTo(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e strings.Builder
	code = run(context.Background(), args, &o, &e)
	return code, o.String(), e.String()
}

func TestDrywinterFiles(t *testing.T) {
	dir := t.TempDir()
	args := []string{"drywinter", "--made-up", "30", "--draws", "3", "--factors", "0,0.5", "--weeks", "4", "--out", dir, "--json"}
	code, out, errOut := sunrillTo(t, args...)
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var r struct {
		Record    map[string]any
		Scenarios []struct {
			Name       string
			RainFactor *float64       `json:"rain_factor"`
			OnsetWeeks *int           `json:"onset_weeks"`
			With       map[string]any `json:"with_hydro"`
			Without    map[string]any `json:"without_hydro"`
		}
		Synthetic map[string]any `json:"made_up"`
	}
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	if len(r.Scenarios) != 3+2+1+1 {
		t.Fatalf("%d scenarios", len(r.Scenarios))
	}
	for _, s := range r.Scenarios {
		for _, key := range []string{"unmet_hours_p50", "unmet_hours_p80", "unmet_hours_p95", "unmet_hours_worst", "deepest_deficit_kwh", "generator_hours", "fuel_l", "unmet_hours_p80_range", "unmet_hours_worst_range"} {
			if _, ok := s.With[key]; !ok {
				t.Errorf("%s: with_hydro has no %s", s.Name, key)
			}
			if _, ok := s.Without[key]; !ok {
				t.Errorf("%s: without_hydro has no %s", s.Name, key)
			}
		}
		if s.RainFactor == nil || s.OnsetWeeks == nil {
			t.Errorf("%s has no rain_factor or no onset_weeks", s.Name)
		}
		if s.With["unmet_hours_worst"].(float64) > s.Without["unmet_hours_worst"].(float64) {
			t.Errorf("%s: the creek makes the worst year worse: %v, %v", s.Name, s.With, s.Without)
		}
	}
	for _, key := range []string{"years", "seed", "p50", "p80", "p95", "worst", "beside_record"} {
		if _, ok := r.Synthetic[key]; !ok {
			t.Errorf("made_up has no %s", key)
		}
	}
	rows := readCSV(t, filepath.Join(dir, "drywinter.csv"))
	if len(rows) != 1+2*len(r.Scenarios) {
		t.Errorf("drywinter.csv has %d rows", len(rows))
	}
	for _, name := range []string{"drywinter.json", "report.html", "charts/drywinter-spread.svg", "charts/drywinter-charge.svg"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
	if _, again, _ := sunrillTo(t, args...); again != out {
		t.Error("the same seed gives another result")
	}
}

func readCSV(t *testing.T, path string) [][]string {
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
	return rows
}

func TestBankFiles(t *testing.T) {
	dir := t.TempDir()
	code, out, errOut := sunrillTo(t, "bank", "--target", "40 h", "--arrays", "--years", "2014-2016", "--out", dir, "--json")
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var r map[string]any
	if err := json.Unmarshal([]byte(out), &r); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	for _, key := range []string{"target_hours", "size_kwh", "sequent_peak_kwh", "autonomy_days", "curve", "present", "arrays"} {
		if _, ok := r[key]; !ok {
			t.Errorf("bank.json has no %s", key)
		}
	}
	if r["target_hours"] != 40.0 || r["years"] != 3.0 {
		t.Errorf("target %v over %v years", r["target_hours"], r["years"])
	}
	rows := readCSV(t, filepath.Join(dir, "bank.csv"))
	if want := "capacity_kwh,unmet_hours_mean,unmet_hours_p80,unmet_hours_worst,worst_year,life_years,use_years,unmet_hours_p80_low,unmet_hours_p80_high,unmet_hours_worst_low,unmet_hours_worst_high"; strings.Join(rows[0], ",") != want {
		t.Errorf("bank.csv begins %v, want %s", rows[0], want)
	}
	if len(rows) != 1+60 || rows[1][0] != "0.000" {
		t.Errorf("bank.csv: %d rows, first %v", len(rows), rows[1])
	}
	for _, name := range []string{"spells.csv", "arrays.csv", "bank.json", "report.html", "charts/bank-curve.svg", "charts/bank-spells.svg", "charts/bank-spells.csv", "charts/panels-and-bank.svg"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
}

func TestStudiesRefuseBadNumbers(t *testing.T) {
	for _, c := range []struct {
		args string
		want string
	}{
		{"bank --target -10h", `--target: "-10h" is outside 0 h to 8784 h`},
		{"bank --target ten", "--target"},
		{"drywinter --factors 0.5,-1", `--factors: "-1" is no number from 0 to 10`},
		{"drywinter --factors 0.5,NaN", `--factors: "NaN" is no number from 0 to 10`},
		{"drywinter --weeks 2,200", `--weeks: "200" is no whole number from 0 to 26`},
		{"drywinter --made-up -5", "--made-up: -5 is outside 0 to 1000000"},
	} {
		code, out, errOut := sunrillTo(t, append(strings.Fields(c.args), "--out", t.TempDir())...)
		if code != exitUsage || !strings.Contains(errOut, c.want) || out != "" {
			t.Errorf("%s: exit %d, prints %q, wants %q", c.args, code, errOut, c.want)
		}
	}
}

// BenchmarkSyntheticYears runs 1,000 made-up years of the built-in site from
// weather to balance, with and without hydro, and reports the seconds and how
// many times as long it takes as a bare clamp-and-add loop over the same hours.
func BenchmarkSyntheticYears(b *testing.B) {
	s, err := site.Demo()
	if err != nil {
		b.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		b.Fatal(err)
	}
	const years = 1000
	home := scenario.Homestead{
		Record: s.Rain, Years: h.Years()[:1], Bus: h.Bus(), Hydro: true,
		NewWorker: func() scenario.Worker { return h.Worker() }, Over: workersOver(h),
	}
	for b.Loop() {
		r, err := scenario.DryWinter(context.Background(), home, scenario.Options{Factors: []float64{}, Weeks: []int{}, Synthetic: years})
		if err != nil || r.Synthetic.Years != years {
			b.Fatal(err, fmt.Sprint(r))
		}
	}
	seconds := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(seconds, "s/1000-years")
	in := h.Input(h.Years()[0])
	start, unmet := time.Now(), 0
	const rounds = 200
	for range rounds {
		stored := 7200.0
		for i, w := range in.DemandW {
			stored += in.W(sim.Panels)[i] + in.W(sim.Creek)[i] - w
			if stored > 7200 {
				stored = 7200
			}
			if stored < 0 {
				stored = 0
				unmet++
			}
		}
	}
	if unmet == 0 {
		b.Fatal("the bare loop was not run")
	}
	bare := time.Since(start).Seconds() / rounds * 2 * years / float64(runtime.GOMAXPROCS(0))
	b.ReportMetric(seconds/bare, "x-bare-loop")
}
