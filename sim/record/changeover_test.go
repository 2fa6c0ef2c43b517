package record_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/record"
	"sunrill/storage"
)

// darkWeeks is a water year whose panels fail from day 45 to 160 and whose
// creek gives 100 W from day 30 to 200; the house asks for 80 W.
func darkWeeks(start time.Time) *sim.Input {
	days := int(start.AddDate(1, 0, 0).Sub(start).Hours() / 24)
	in := &sim.Input{Start: start, Sources: sim.PanelsAndCreek(make([]float64, 24*days), make([]float64, 24*days)), DemandW: make([]float64, 24*days),
		FlowM3S: make([]float64, days), RainMM: make([]float64, days), SunHours: make([]float64, days)}
	for h := range in.DemandW {
		d := h / 24
		in.DemandW[h] = 80
		if d < 45 || d >= 160 {
			in.W(sim.Panels)[h] = 90
		}
		in.FlowM3S[d] = 0.0005
		if d%7 == 0 {
			in.VisitDay = append(in.VisitDay, d)
		}
		if 30 <= d && d < 200 {
			in.W(sim.Creek)[h], in.FlowM3S[d] = 100, 0.003
		}
	}
	return in
}

func darkStudy(t *testing.T, years ...int) *changeover.Result {
	t.Helper()
	var ins []*sim.Input
	for _, year := range years {
		ins = append(ins, darkWeeks(time.Date(year, 10, 1, 0, 0, 0, 0, time.UTC)))
	}
	r, err := changeover.Study{
		Bus: sim.Bus{DumpW: 200, Bank: storage.Bank{CapacityWh: 4, StartSoC: 1, ChargeEfficiency: 1, DischargeEfficiency: 1,
			MaxChargeW: 4, MaxDischargeW: 4, ComfortSoC: 0.2, ChargeAboveC: -273.15}},
		Years: sim.Held(ins),
	}.Run(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestChangeoverFiles(t *testing.T) {
	r := darkStudy(t, 2014, 2015)
	dir := t.TempDir()
	f, err := record.Open(dir, nil, record.Made("year", "Upper Meadow", nil))
	if err != nil {
		t.Fatal(err)
	}
	if err := record.Changeover(f, r, record.ChangeoverSaid{Verdict: "Open the valve.", Rule: "Open it in autumn."}); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}

	file, err := os.Open(filepath.Join(dir, "changeover.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	// Every pair of 365 opening days and later closings, and never.
	if want := 1 + 1 + 365*366/2; len(rows) != want {
		t.Errorf("%d rows, want %d", len(rows), want)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	found := 0
	for _, row := range rows[1:] {
		switch row[at["open"]] + " " + row[at["close"]] {
		case "never never":
			found++
			if h, _ := strconv.ParseFloat(row[at["unmet_hours"]], 64); math.Abs(h-115*24) > 1 || row[at["hydro_days"]] != "0.00" {
				t.Errorf("never: %v", row)
			}
		case "11-22 03-10": // a week late; in the leap year 10 March is a day later
			found++
			if h, _ := strconv.ParseFloat(row[at["unmet_hours"]], 64); math.Abs(h-168) > 1 {
				t.Errorf("a week late: %v", row)
			}
			if kwh, _ := strconv.ParseFloat(row[at["unmet_kwh"]], 64); math.Abs(kwh-168*0.08) > 0.1 {
				t.Errorf("a week late: %v", row)
			}
		}
	}
	if found != 2 {
		t.Errorf("found %d of the rows looked for", found)
	}

	b, err := os.ReadFile(filepath.Join(dir, "changeover.json"))
	if err != nil {
		t.Fatal(err)
	}
	var o struct {
		Years []int
		Best  struct {
			Open, Close  string
			UnmetHours   *float64 `json:"unmet_hours"`
			UnmetKWh     *float64 `json:"unmet_kwh"`
			LowHours     *float64 `json:"low_hours"`
			DryPipeStops *float64 `json:"dry_pipe_stops"`
			HydroDays    *float64 `json:"hydro_days"`
		}
		Window map[string]string
		Steady map[string]any
		Rule   map[string]any
	}
	if err := json.Unmarshal(b, &o); err != nil {
		t.Fatal(err)
	}
	if len(o.Years) != 2 || o.Best.Open != "11-15" || o.Best.Close != "03-10" || o.Best.UnmetHours == nil || *o.Best.UnmetHours != 0 ||
		o.Best.UnmetKWh == nil || o.Best.LowHours == nil || o.Best.DryPipeStops == nil || o.Best.HydroDays == nil {
		t.Errorf("%s", b[:600])
	}
	for _, key := range []string{"open_from", "open_to", "close_from", "close_to"} {
		if len(o.Window[key]) != 5 {
			t.Errorf("window %v lacks %s", o.Window, key)
		}
	}
	for _, key := range []string{"text", "unmet_hours", "foresight_unmet_hours", "left_out_unmet_hours"} {
		if _, ok := o.Rule[key]; !ok {
			t.Errorf("rule %v lacks %s", o.Rule, key)
		}
	}
	if lps, ok := o.Rule["open_flow_lps"].(float64); ok && math.Abs(o.Rule["open_bucket_s"].(float64)-20/lps) > 0.02 {
		t.Errorf("20 L at %g L/s fill in %v s, not %g", lps, o.Rule["open_bucket_s"], 20/lps)
	}
	if o.Steady["open"] == nil || o.Steady["unmet_hours"] == nil {
		t.Errorf("steady %v", o.Steady)
	}
}
