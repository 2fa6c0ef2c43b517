package record_test

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/sim"
	"sunrill/sim/record"
)

// A source that is neither panels nor creek has its column after theirs, by its
// key, in every table of a year and its entry in the summary: 36 W of wind all
// year.
func TestThirdSourceInTheFiles(t *testing.T) {
	y := run(t)
	steady := make([]float64, y.In.Hours())
	for h := range steady {
		steady[h] = 36
	}
	y.In.Set(sim.Kind{Key: "wind", Name: "windmill", From: "wind"}, steady)
	y, err := sim.Run(y.In, y.Bus)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	f := open(t, dir)
	if err := record.Year(f, "", y, sim.Summarize(y)); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	const kWh = 366 * 24 * 36 / 1000.0
	for file, c := range map[string]struct {
		head string
		unit float64
	}{"hours.csv": {",pv_w,hydro_w,wind_w,generator_w,", 1000}, "days.csv": {",pv_kwh,hydro_kwh,wind_kwh,demand_kwh,", 1}, "months.csv": {",pv_kwh,hydro_kwh,wind_kwh,generator_kwh,", 1}} {
		head, columns := table(t, filepath.Join(dir, file))
		if got := strings.Join(head, ","); !strings.Contains(got, c.head) {
			t.Errorf("%s has the columns %s", file, got)
		}
		name := "wind_kwh"
		if file == "hours.csv" {
			name = "wind_w"
		}
		if got := sum(t, columns[name]) / c.unit; got < kWh-0.01 || got > kWh+0.01 {
			t.Errorf("%s: %.3f kWh of wind, want %.3f", file, got, kWh)
		}
	}
	var s record.Summary
	if err := json.Unmarshal([]byte(read(t, filepath.Join(dir, "summary.json"))), &s); err != nil {
		t.Fatal(err)
	}
	if got := s.EnergyKWh.Others["wind"]; len(s.EnergyKWh.Others) != 1 || got != 316.224 {
		t.Errorf("the summary tells other sources as %v", s.EnergyKWh.Others)
	}
}
