package record_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/sim"
	"sunrill/sim/record"
	"sunrill/sim/worth"
)

func TestWorthFiles(t *testing.T) {
	cost, perKWh := 1631.41073, 0.45828893
	r := &worth.Result{
		Currency: "crowns", Years: []int{2017, 2018},
		Alternatives: []worth.Alternative{
			{Name: "without hydro", Found: true, UnmetMean: 658.3333333, Given: sim.Yields{{Kind: sim.Panels, Wh: 4420166.39}}},
			{Name: "with hydro", Found: true, UnmetMean: 55.25, CostAYear: &cost, CostPerKWh: &perKWh, Dark: worth.Dark{Month: 12, Given: sim.Yields{{Kind: sim.Creek, Wh: 276092.54}}},
				Items: []worth.Item{{Name: "turbine", Part: worth.HydroPart, Yearly: 215.85864}, {Name: "works", Part: worth.HydroPart, Yearly: 90.94228}}},
		},
		Turns: []worth.TurningPoint{{Name: "panels, per kW", Given: 1750, TurnsAt: 1688.185864, Factor: 0.96467763}, {Name: worth.WaterOfCreek, Given: 0.0036694, TurnsAt: 0.0018347, Factor: 0.5}},
		Creek: worth.Creek{Month: 12, FlowM3S: 0.00366946719},
		Mixes: &worth.Mixes{Target: worth.Target{UnmetHours: 20, FuelL: 50}, Tried: 4, Run: 2, Grid: worth.Grid{PanelsW: []float64{4000}, BanksWh: []float64{14000}},
			With: &worth.Alternative{PanelW: 4000, BankWh: 14000, Hydro: true, UnmetP80: 18, UnmetMean: 11.2, CostAYear: &cost, Capital: &cost,
				Waterway: &worth.Waterway{Pipe: "50 mm SDR 11", BoreM: 0.0409, BoreRatio: 0.8, NozzlesM: []float64{0.005, 0.0075}}}},
	}
	dir := t.TempDir()
	f, err := record.Open(dir, nil, record.Made("year", "Upper Meadow", nil))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Discard()
	if err := record.Worth(f, r); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	text := func(name string) string {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	var o struct {
		Alternatives []struct {
			UnmetMean float64  `json:"unmet_hours_mean"`
			PV        float64  `json:"pv_kwh"`
			Cost      *float64 `json:"cost_a_year"`
		} `json:"ways"`
		Creek map[string]any
	}
	if err := json.Unmarshal([]byte(text("worth.json")), &o); err != nil {
		t.Fatal(err)
	}
	if w := o.Alternatives[0]; w.UnmetMean != 658.3 || w.PV != 4420.2 || w.Cost != nil {
		t.Errorf("without hydro %+v", w)
	}
	if w := o.Alternatives[1]; *w.Cost != 1631.41 {
		t.Errorf("with hydro costs %g", *w.Cost)
	}
	for key, want := range map[string]any{"flow_lps": 3.669, "month": 12.0} {
		if o.Creek[key] != want {
			t.Errorf("creek: %s is %v, want %v", key, o.Creek[key], want)
		}
	}
	if cost != 1631.41073 || r.Alternatives[0].UnmetMean == 658.3 || r.Alternatives[1].Items[0].Yearly == 215.86 {
		t.Error("writing rounds the result itself")
	}
	rows := strings.Split(strings.TrimSpace(text("worth.csv")), "\n")
	head0, first, second := strings.Split(rows[0], ","), strings.Split(rows[1], ","), strings.Split(rows[2], ",")
	for i, name := range head0 {
		switch name {
		case "cost_a_year", "hydro_a_year":
			if first[i] != "" {
				t.Errorf("%s of a way without prices is %q", name, first[i])
			}
			if want := map[string]string{"cost_a_year": "1631", "hydro_a_year": "306.80"}[name]; second[i] != want {
				t.Errorf("%s is %q, want %s", name, second[i], want)
			}
		case "dark_hydro_kwh":
			if second[i] != "276.1" {
				t.Errorf("%s is %q", name, second[i])
			}
		}
	}
	// At the target: without the creek none, with it one.
	const mixes = "unmet_hours_at_most,hydro,found,panel_kw,bank_kwh,generator,pipe,bore_mm,nozzles_mm,unmet_hours_p80,unmet_hours_mean,fuel_l,cost_a_year,capital\n" +
		"20.0,no,no,,,no,,,,,,,,\n20.0,yes,yes,4.0,14.0,no,50 mm SDR 11,40.9,5 + 7.5,18,11.2,0.0,1631,1631\n"
	if got := text("mixes.csv"); got != mixes {
		t.Errorf("mixes.csv: %s", got)
	}
	if got := text("turning-points.csv"); got != "name,unit,given,turns_at,factor,within_20_pct\n\"panels, per kW\",crowns,1750.000,1688.186,0.965,yes\nwater of the creek,L/s,3.669,1.835,0.500,no\n" {
		t.Errorf("turning-points.csv: %s", got)
	}
}
