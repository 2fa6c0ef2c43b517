package record_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/record"
	"sunrill/storage"
)

// run makes an invented year with every kind of flow in it.
func run(t *testing.T) *sim.Year {
	t.Helper()
	start := time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC) // a leap year follows
	hours := 366 * 24
	in := &sim.Input{Start: start, Sources: sim.PanelsAndCreek(make([]float64, hours), make([]float64, hours)), DemandW: make([]float64, hours),
		RainMM: make([]float64, 366), SunHours: make([]float64, 366), FlowM3S: make([]float64, 366), TurbineM3S: make([]float64, hours), CloseHour: hours, DryStopHour: []int{5000}}
	for h := range hours {
		in.W(sim.Panels)[h] = 2500 * math.Max(0, math.Sin(math.Pi*float64(h%24-6)/12)) * (1.1 + math.Cos(2*math.Pi*float64(h)/8784-2.5))
		in.DemandW[h] = 200 + 400*float64(h%24/18)
		if h/24 > 60 && h/24 < 150 {
			in.W(sim.Creek)[h], in.TurbineM3S[h] = 150+float64(h%48)*20, 0.0012
		}
	}
	for d := range 366 {
		in.RainMM[d], in.SunHours[d], in.FlowM3S[d] = float64(d%7), 3.3333, 0.001
	}
	bank, _ := storage.Preset("lfp", 4000, 48)
	y, err := sim.Run(in, sim.Bus{Bank: bank, DumpW: 100})
	if err != nil {
		t.Fatal(err)
	}
	return y
}

func table(t *testing.T, path string) (head []string, columns map[string][]string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(read(t, path))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	columns = map[string][]string{}
	for i, name := range rows[0] {
		for _, r := range rows[1:] {
			columns[name] = append(columns[name], r[i])
		}
	}
	return rows[0], columns
}

func sum(t *testing.T, values []string) float64 {
	t.Helper()
	s := 0.0
	for _, v := range values {
		x, err := strconv.ParseFloat(v, 64)
		if err != nil {
			t.Fatal(err)
		}
		s += x
	}
	return s
}

// The files carry the columns that other programs rely on, and their sums
// agree with one another to what is lost by rounding.
func TestYearFilesAgree(t *testing.T) {
	y := run(t)
	s := sim.Summarize(y)
	dir := t.TempDir()
	f := open(t, dir)
	if err := record.Year(f, "a name, with a comma", y, s); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}

	want := map[string]string{
		"hours.csv":    "time,flow_lps,turbine_lps,pv_w,hydro_w,generator_w,demand_w,served_w,unmet_w,flexible_w,bank_in_w,bank_out_w,soc_pct,bank_kwh,dump_w,over_dump_w,curtailed_w",
		"days.csv":     "date,rain_mm,sun_hours,flow_lps,pv_kwh,hydro_kwh,demand_kwh,unmet_kwh,unmet_hours,dump_kwh,curtailed_kwh,min_soc_pct,max_soc_pct,noon_soc_pct,visits",
		"months.csv":   "month,rain_mm,sun_hours,flow_lps,pv_kwh,hydro_kwh,generator_kwh,demand_kwh,served_kwh,unmet_kwh,unmet_hours,flexible_kwh,dump_kwh,curtailed_kwh,min_soc_pct",
		"deficits.csv": "start,end,hours,depth_kwh,unmet_kwh,unmet_hours",
	}
	columns := map[string]map[string][]string{}
	for name, line := range want {
		head, c := table(t, filepath.Join(dir, name))
		if got := strings.Join(head, ","); got != line {
			t.Errorf("%s has the columns\n%s, want\n%s", name, got, line)
		}
		columns[name] = c
	}
	hours, days, months := columns["hours.csv"], columns["days.csv"], columns["months.csv"]
	if n := len(hours["time"]); n != 366*24 || len(days["date"]) != 366 || len(months["month"]) != 12 {
		t.Fatalf("%d hours, %d days, %d months", n, len(days["date"]), len(months["month"]))
	}
	if hours["time"][0] != "2015-10-01 00:00" || hours["time"][8783] != "2016-09-30 23:00" || months["month"][4] != "2016-02" || days["date"][151] != "2016-02-29" {
		t.Errorf("times: %s, %s, %s, %s", hours["time"][0], hours["time"][8783], months["month"][4], days["date"][151])
	}

	var summary record.Summary
	if err := json.Unmarshal([]byte(read(t, filepath.Join(dir, "summary.json"))), &summary); err != nil {
		t.Fatal(err)
	}
	e := summary.EnergyKWh
	for _, c := range []struct {
		hour, day, month string
		kWh              float64
	}{
		{"pv_w", "pv_kwh", "pv_kwh", e.PV}, {"hydro_w", "hydro_kwh", "hydro_kwh", e.Hydro},
		{"demand_w", "demand_kwh", "demand_kwh", e.Demand}, {"unmet_w", "unmet_kwh", "unmet_kwh", e.Unmet},
		{"served_w", "", "served_kwh", e.Served}, {"dump_w", "dump_kwh", "dump_kwh", e.Dump},
		{"curtailed_w", "curtailed_kwh", "curtailed_kwh", e.Curtailed},
	} {
		if got := sum(t, hours[c.hour]) / 1000; math.Abs(got-c.kWh) > 8784*0.05/1000 {
			t.Errorf("%s sums to %.3f kWh, the summary says %.3f", c.hour, got, c.kWh)
		}
		if c.day != "" {
			if got := sum(t, days[c.day]); math.Abs(got-c.kWh) > 366*0.0005 {
				t.Errorf("days.csv: %s sums to %.3f kWh, the summary says %.3f", c.day, got, c.kWh)
			}
		}
		if got := sum(t, months[c.month]); math.Abs(got-c.kWh) > 12*0.0005 {
			t.Errorf("months.csv: %s sums to %.3f kWh, the summary says %.3f", c.month, got, c.kWh)
		}
	}
	if summary.UnmetHours == 0 || e.Dump == 0 || e.OverDump == 0 || summary.HazardHours == 0 {
		t.Fatalf("the year was meant to show unmet hours, dumping and hazard: %+v", summary)
	}
	unmet := 0
	for _, w := range hours["unmet_w"] {
		if w != "0.0" {
			unmet++
		}
	}
	if unmet != summary.UnmetHours || int(sum(t, days["unmet_hours"])) != unmet || int(sum(t, months["unmet_hours"])) != unmet {
		t.Errorf("%d hours unmet in hours.csv, %d in the summary", unmet, summary.UnmetHours)
	}
	if got := e.PV + e.Hydro + e.Generator + e.BankOut - (e.Served + e.Flexible + e.BankIn + e.Dump + e.OverDump + e.Curtailed); math.Abs(got) > 0.01 {
		t.Errorf("the summary's energies are off balance by %g kWh", got)
	}
	if summary.From != "2015-10-01" || summary.To != "2016-09-30" || summary.Hours != 8784 || summary.Name != "a name, with a comma" || summary.DryPipeStops != 1 {
		t.Errorf("summary %+v", summary)
	}
}

func TestSummaryKeys(t *testing.T) {
	y := run(t)
	var b bytes.Buffer
	if err := record.WriteJSON(&b, record.Summarize("x", y.In.Start, sim.Summarize(y))); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"name", "from", "to", "hours", "energy_kwh", "pv", "hydro", "generator", "demand", "served", "unmet", "flexible", "bank_in", "bank_out", "dump", "over_dump", "curtailed",
		"unmet_hours", "unmet_days", "longest_unmet_spell_h", "deepest_deficit_kwh", "min_soc_pct", "dry_pipe_stops", "hazard_hours", "hydro_days", "bank_full_cycles", "bank_life_used_pct", "generator_hours", "fuel_l"} {
		if !strings.Contains(b.String(), fmt.Sprintf("%q:", key)) {
			t.Errorf("summary.json lacks %q", key)
		}
	}
}

// RFC 4180: a text with a comma, a quote or a line end stands in quotes, and
// quotes within it are doubled.
func TestTableQuotesText(t *testing.T) {
	var b bytes.Buffer
	texts := []string{"plain", `with "quotes", and a comma`, "two\nlines"}
	err := record.WriteTable(&b, 3, []record.Column{record.Texts("name", texts), record.Numbers("kwh", []float64{1.25, math.NaN(), -0.0001}, 1, 2)})
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range texts {
		if rows[i+1][0] != s {
			t.Errorf("%q is read back as %q", s, rows[i+1][0])
		}
	}
	if rows[1][1] != "1.25" || rows[2][1] != "" || rows[3][1] != "0.00" {
		t.Errorf("numbers are written as %q, %q, %q", rows[1][1], rows[2][1], rows[3][1])
	}
}

// days.csv and months.csv tell the mean flow of their days in L/s, as the year
// has it in m³/s.
func TestFlowInTheFiles(t *testing.T) {
	y := run(t)
	for d := range y.In.FlowM3S {
		y.In.FlowM3S[d] = 0.0005 + 0.00001*float64(d)
	}
	dir := t.TempDir()
	f := open(t, dir)
	if err := record.Year(f, "flow", y, sim.Summarize(y)); err != nil {
		t.Fatal(err)
	}
	if err := f.Commit(); err != nil {
		t.Fatal(err)
	}
	cells := func(file string) []float64 {
		_, c := table(t, filepath.Join(dir, file))
		var v []float64
		for _, cell := range c["flow_lps"] {
			v = append(v, sum(t, []string{cell}))
		}
		return v
	}
	hours, days, months := cells("hours.csv"), cells("days.csv"), cells("months.csv")
	// October 2015 has days 0 to 30, February 2016 days 123 to 151.
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"hours.csv, noon of day 100", hours[2412], 1.5}, {"days.csv, day 100", days[100], 1.5},
		{"months.csv, October", months[0], 0.65}, {"months.csv, February", months[4], 0.5 + 0.01*137},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s has %g L/s, want %g", c.what, c.got, c.want)
		}
	}
}
