package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

func TestCheckInBothSystems(t *testing.T) {
	for units, wants := range map[string][]string{
		"metric": {"1 to 3 mm", "50 mm and more", "20 L bucket", "44.0 m of head", "4.3 bar standing", "where it takes 3", "runner", "roof", "woodshed", "Dec"},
		"us":     {"0.04 to 0.12 in", "1.97 in and more", "5 gal bucket", "144 ft of head", "62.6 psi standing", "gal/min", "ft/s"},
	} {
		out, errOut, code := sunrill(t, "check", "--units", units)
		if code != exitOK {
			t.Fatalf("exit code %d: %s", code, errOut)
		}
		for _, want := range wants {
			if !strings.Contains(strings.ToLower(out), strings.ToLower(want)) {
				t.Errorf("--units %s: %q is not in\n%s", units, want, out)
			}
		}
	}
}

// A forebay carries the turbine for a part of the days on which a creek is too
// small for the smallest nozzle, and the flow table says so.
func TestCheckCountsTheForebay(t *testing.T) {
	low := func(dir string) float64 {
		t.Helper()
		out, errOut, code := sunrill(t, "check", dir, "--json")
		var r struct {
			Flows []struct {
				Exceeded float64 `json:"exceeded_share"`
				PowerW   float64 `json:"power_w"`
			} `json:"flows"`
		}
		if err := json.Unmarshal([]byte(out), &r); err != nil || code != exitOK {
			t.Fatalf("exit code %d, %v: %s", code, err, errOut)
		}
		for _, f := range r.Flows {
			if f.Exceeded == 0.9 {
				return f.PowerW
			}
		}
		t.Fatal("no line for 90 % of days")
		return 0
	}
	dir := newSite(t)
	if w := low(dir); w != 0 {
		t.Errorf("%g W without a forebay", w)
	}
	path := filepath.Join(dir, "site.toml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	pond := strings.Replace(string(text), "[penstock]", "[forebay]\nvolume = \"8 m3\"\n\n[penstock]", 1)
	if err := os.WriteFile(path, []byte(pond), 0o644); err != nil {
		t.Fatal(err)
	}
	if w := low(dir); !(w > 10 && w < 115) {
		t.Errorf("%g W through the forebay, want a part of the 115 W of the smallest nozzle", w)
	}
}

// The hills named where each array has its own.
func TestCheckNamesTheHills(t *testing.T) {
	dir := newSite(t)
	path := filepath.Join(dir, "site.toml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	own := strings.Replace(string(text), "horizon = \"horizon.csv\"", "", 1)
	own = strings.Replace(own, "tilt = \"40 deg\"", "tilt = \"40 deg\"\nhorizon = \"horizon.csv\"", 1)
	if err := os.WriteFile(path, []byte(own), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, errOut, code := sunrill(t, "check", dir); code != exitOK || !strings.Contains(strings.Join(strings.Fields(out), " "), `The hills are those before the array "roof".`) {
		t.Errorf("exit code %d: %s\n%s", code, errOut, out)
	}
}

// The rain that check prints, against sums of the record's own text: Seattle
// 2014 had 1,232.8 mm in the published file, 150 days with 0.1 mm or more.
func TestCheckTellsTheRain(t *testing.T) {
	sum, wet, march := 0.0, 0, 0.0
	for _, l := range strings.Split(read(t, "../../testdata/seattle/seattle-weather.csv"), "\n") {
		f := strings.Split(l, ",")
		if len(f) < 2 || !strings.HasPrefix(f[0], "2014-") {
			continue
		}
		mm, err := strconv.ParseFloat(f[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		sum += mm
		if mm >= 0.1 {
			wet++
		}
		if strings.HasPrefix(f[0], "2014-03") {
			march += mm
		}
	}
	out, errOut, code := sunrill(t, "check", "../../testdata/seattle", "--json")
	var r struct {
		Rain struct {
			WettestDay string  `json:"wettest_day"`
			LowestC    float64 `json:"lowest_c"`
			HighestC   float64 `json:"highest_c"`
			Years      []struct {
				Year, Days int
				WetDays    int `json:"wet_days"`
				MM         float64
				Months     [12]float64 `json:"months_mm"`
			}
		}
	}
	if code != exitOK || json.Unmarshal([]byte(out), &r) != nil {
		t.Fatalf("exit code %d: %s", code, errOut)
	}
	y := r.Rain.Years[2]
	if y.Year != 2014 || y.Days != 365 || y.WetDays != wet || math.Abs(y.MM-sum) > 0.06 || math.Abs(y.Months[2]-march) > 0.06 {
		t.Errorf("2014: %+v, want %.1f mm on %d days, March %.1f", y, sum, wet, march)
	}
	if r.Rain.WettestDay != "2015-03-15" || r.Rain.LowestC != -7.1 || r.Rain.HighestC != 35.6 {
		t.Errorf("extremes: %+v", r.Rain)
	}
	text, _, _ := sunrill(t, "check", "../../testdata/seattle")
	if !strings.Contains(text, "Wettest day: 56 mm on 15 March 2015") || !strings.Contains(text, "Rain by year and month, mm") {
		t.Error(text)
	}
}
