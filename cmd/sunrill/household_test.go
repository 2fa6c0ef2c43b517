package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"sunrill/sim/record"
	"sunrill/sim/site"
	"sunrill/storage"
)

// A real home's year of hourly demand (UCI machine-learning repository,
// individual household electric power consumption, 2008, CC BY 4.0), a fifth
// of it, as the demand.csv of the built-in homestead with each chemistry. What
// is asked of the bus must be the meter's sum through the inverter's two
// numbers. The record is not part of the repository.
func TestYearOfARealHousehold(t *testing.T) {
	raw, err := os.ReadFile("../../../shared/data/household_hourly_2008.csv")
	if err != nil {
		t.Skip("the household's record is not here")
	}
	lines := strings.Split(strings.TrimSpace(string(raw)), "\n")
	var demand strings.Builder
	acWh, leapWh, rows := 0.0, 0.0, 0
	for _, line := range lines {
		at, cell, _ := strings.Cut(strings.TrimSpace(line), ",")
		w, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			fmt.Fprintln(&demand, line) // comment and head
			continue
		}
		fmt.Fprintf(&demand, "%s,%g\n", at, w/5)
		acWh += w / 5
		if strings.HasPrefix(at, "2008-02-29") {
			leapWh += w / 5
		}
		rows++
	}
	if rows != 8784 {
		t.Fatalf("%d hours of a leap year", rows)
	}
	for _, chemistry := range storage.Chemistries() {
		dir := filepath.Join(t.TempDir(), "home")
		if err := site.WriteNew(dir, nil, false); err != nil {
			t.Fatal(err)
		}
		toml, err := os.ReadFile(filepath.Join(dir, "site.toml"))
		if err != nil {
			t.Fatal(err)
		}
		edited := strings.NewReplacer(`file = "loads.csv"`, `hourly = "demand.csv"`, `chemistry = "lfp"`, `chemistry = "`+chemistry+`"`,
			`model = "bucket"`, "", `comfort_soc = "40 %"`, "").Replace(string(toml))
		for name, text := range map[string]string{"site.toml": edited, "demand.csv": demand.String()} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		code, out, errOut := sunrillTo(t, "year", dir, "--draws", "1", "--json", "--out", filepath.Join(dir, "out"))
		if code != exitOK {
			t.Fatalf("%s: exit %d: %s", chemistry, code, errOut)
		}
		var s record.Summary
		if err := json.Unmarshal([]byte(out), &s); err != nil {
			t.Fatal(err)
		}
		ac := acWh
		if s.Hours == 8760 {
			ac -= leapWh
		}
		const efficiency, idleW = 0.90, 18 // of the built-in homestead
		if want := (ac/efficiency + idleW*float64(s.Hours)) / 1000; math.Abs(s.EnergyKWh.Demand-want) > 1e-3*want {
			t.Errorf("%s: %.1f kWh asked in %d hours, want %.1f", chemistry, s.EnergyKWh.Demand, s.Hours, want)
		}
		if s.EnergyKWh.Served <= 0 || s.UnmetHours == 0 || s.EnergyKWh.Dump <= 0 {
			t.Errorf("%s: %+v", chemistry, s)
		}
		t.Logf("%s: asked %.0f kWh, unmet %.0f kWh in %d hours", chemistry, s.EnergyKWh.Demand, s.EnergyKWh.Unmet, s.UnmetHours)
	}
}
