package sim_test

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunrill/loads"
	"sunrill/sim"
	"sunrill/storage"
)

// A real home's year of hourly demand (UCI machine-learning repository,
// individual household electric power consumption, 2008, CC BY 4.0), a fifth
// of it, on invented sun and creek and each chemistry. The file is not part of
// the repository.
func TestRealHousehold(t *testing.T) {
	f, err := os.Open("../../shared/data/household_hourly_2008.csv")
	if err != nil {
		t.Skip("the household's record is not here")
	}
	defer f.Close()
	var acW []float64
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if _, cell, ok := strings.Cut(lines.Text(), ","); ok {
			if w, err := strconv.ParseFloat(cell, 64); err == nil {
				acW = append(acW, w/5)
			}
		}
	}
	if len(acW) != 8784 {
		t.Fatalf("%d hours of a leap year", len(acW))
	}
	start := time.Date(2008, 1, 1, 0, 0, 0, 0, time.UTC)
	inverter := loads.Inverter{RatedW: 1000, IdleW: 15, Points: []loads.EfficiencyPoint{{Share: 0.3, Efficiency: 0.92}, {Share: 1, Efficiency: 0.88}}}
	d := loads.Metered(start, acW, inverter)
	made := year()
	stretch := func(s []float64) []float64 { return append(s[:len(s):len(s)], s[:24]...) }
	in := &sim.Input{Start: start, PVW: stretch(made.PVW), HydroW: stretch(made.HydroW), DemandW: d.BusW, OverW: d.OverW}
	for _, name := range storage.Chemistries() {
		bank, _ := storage.Preset(name, 10_000, 48)
		y := mustRun(t, in, sim.Bus{Bank: bank, DumpW: 300})
		ac := 0.0
		for _, w := range acW {
			ac += w
		}
		c := y.Tally
		if c.DemandWh < ac || c.ServedWh <= 0 || c.UnmetHours == 0 {
			t.Errorf("%s: %.0f Wh for the house, %+v", name, ac, c)
		}
		t.Logf("%s: asked %.0f kWh, served %.0f kWh, short in %d hours", name, c.DemandWh/1000, c.ServedWh/1000, c.UnmetHours)
	}
}
