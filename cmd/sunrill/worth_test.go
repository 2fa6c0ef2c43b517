package main

import (
	"encoding/json"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/sim/record"
)

// The way with hydro is the year as year runs it with the valve's best dates: the
// same unmet hours, energy by energy, as the mean of the same years. The files say what --json says.
func TestWorthAgreesWithYear(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, c := range []struct{ site, years string }{{"", "2017-2018"}, {"../../testdata/us-site", "2011-2012"}} {
		args := func(command string, more ...string) []string {
			args := append([]string{command, "--years", c.years, "--draws", "2", "--json", "--out", filepath.Join(dir, command)}, more...)
			if c.site != "" {
				args = append(args, c.site)
			}
			return args
		}
		out, errOut, code := sunrill(t, args("worth", "--made-up", "10")...)
		if code != exitOK {
			t.Fatalf("exit code %d: %s", code, errOut)
		}
		var r record.WorthFile
		d := json.NewDecoder(strings.NewReader(out))
		if err := d.Decode(&r); err != nil {
			t.Fatal(err)
		}
		if rest, _ := d.Token(); rest != nil {
			t.Errorf("after the object comes %v", rest)
		}
		if written := read(t, filepath.Join(dir, "worth", "worth.json")); written != out {
			t.Error("worth.json is not what --json prints")
		}
		var years struct{ Years []record.Summary }
		var dates []string
		if r.Valve.Best {
			dates = []string{"--set", "turbine.open=" + r.Valve.Open, "--set", "turbine.close=" + r.Valve.Close}
		}
		if err := json.Unmarshal(runOK(t, args("year", dates...)...), &years); err != nil {
			t.Fatal(err)
		}
		mean := func(of func(record.Summary) float64) float64 {
			sum := 0.0
			for _, y := range years.Years {
				sum += of(y)
			}
			return sum / float64(len(years.Years))
		}
		hydro := r.Alternative("with hydro")
		for _, q := range []struct {
			name     string
			way      float64
			year     func(record.Summary) float64
			decimals float64
		}{
			{"unmet hours", hydro.UnmetMean, func(s record.Summary) float64 { return float64(s.UnmetHours) }, 0.051},
			{"panels", hydro.PVKWh, func(s record.Summary) float64 { return s.EnergyKWh.PV }, 0.06},
			{"creek", hydro.HydroKWh, func(s record.Summary) float64 { return s.EnergyKWh.Hydro }, 0.06},
			{"generator", hydro.GeneratorKWh, func(s record.Summary) float64 { return s.EnergyKWh.Generator }, 0.06},
			{"unmet", hydro.UnmetKWh, func(s record.Summary) float64 { return s.EnergyKWh.Unmet }, 0.06},
			{"fuel", hydro.FuelL, func(s record.Summary) float64 { return s.FuelL }, 0.06},
		} {
			if want := mean(q.year); math.Abs(q.way-want) > q.decimals {
				t.Errorf("%s%s: %s %g with hydro, %g in the same years", c.site, c.years, q.name, q.way, want)
			}
		}
		rows := readCSV(t, filepath.Join(dir, "worth", "worth.csv"))
		if len(rows) != len(r.Alternatives)+1 {
			t.Fatalf("worth.csv has %d rows for %d ways", len(rows)-1, len(r.Alternatives))
		}
		at := slices.Index(rows[0], "cost_a_year")
		for i, w := range r.Alternatives {
			if got, _ := strconv.ParseFloat(rows[i+1][at], 64); rows[i+1][0] != w.Name || math.Abs(got-*w.CostAYear) > 0.51 {
				t.Errorf("row %d of worth.csv: %q, want %s at %g", i+1, rows[i+1], w.Name, *w.CostAYear)
			}
		}
		if turns := readCSV(t, filepath.Join(dir, "worth", "turning-points.csv")); len(turns) != len(r.Turns)+1 {
			t.Errorf("turning-points.csv has %d rows for %d", len(turns)-1, len(r.Turns))
		}
	}
}

// The numbers of worth.json are rounded and the creek's flows are in L/s.
func TestWorthFileForReaders(t *testing.T) {
	t.Parallel()
	out := string(runOK(t, "worth", "--years", "2017-2018", "--made-up", "0", "--json", "--out", t.TempDir()))
	for _, key := range []string{`"flow_lps"`, `"unmet_hours_p80"`, `"cost_per_kwh"`, `"turning_points"`, `"left_out"`} {
		if !strings.Contains(out, key) {
			t.Errorf("worth.json lacks %s", key)
		}
	}
	if long := regexp.MustCompile(`(?m): -?\d+\.\d{5,}`).FindAllString(out, -1); long != nil {
		t.Errorf("not rounded: %q", long)
	}
}

// A site without hydro is told what to describe, by worth and in the book.
func TestWorthWithoutHydro(t *testing.T) {
	out, errOut, code := sunrill(t, "worth", "../../testdata/seattle", "--json", "--out", t.TempDir())
	if code != exitBadInput || out != "" {
		t.Errorf("exit code %d, prints %q", code, out)
	}
	for _, want := range []string{"site.toml", "nothing to weigh", "[penstock] and [turbine]", "[stream]", "as you would build them", "sunrill reckon"} {
		if !strings.Contains(errOut, want) {
			t.Errorf("the message lacks %q: %s", want, errOut)
		}
	}
}

func TestWorthFlags(t *testing.T) {
	for _, line := range []string{"worth --made-up -1", "worth --made-up many", "worth --years 1950", "worth --format gif"} {
		if out, errOut, code := sunrill(t, strings.Fields(line)...); code != exitUsage || out != "" && !strings.HasPrefix(out, "No site folder") || errOut == "" {
			t.Errorf("%s: exit code %d, %q, %q", line, code, out, errOut)
		}
	}
}
