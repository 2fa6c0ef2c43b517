package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
)

// Two folders are laid side by side, named by their folders where their names
// are the same; what stands in neither is told with its folder.
func TestCompareTwoFolders(t *testing.T) {
	t.Parallel()
	a, b := folderOf(t, smallSite()), filepath.Join(filepath.Dir(folderOf(t, smallSite())), "other")
	d := smallSite()
	d.bank.capacityWh = 4000
	if err := d.write(b, false); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	printed, errOut, code := sunrill(t, "compare", a, b, "--draws", "1", "--json", "--out", out)
	if code != exitOK {
		t.Fatal(errOut)
	}
	var r struct {
		Years  []int
		Inputs []struct{ Key string }
		Sides  []struct {
			Name  string
			Unmet []float64 `json:"unmet_hours_by_year"`
		}
	}
	if err := json.Unmarshal([]byte(printed), &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Years) != 2 || len(r.Inputs) != 1 || r.Inputs[0].Key != "bank.capacity" || len(r.Sides) != 2 || r.Sides[0].Name != "site" || r.Sides[1].Name != "other" {
		t.Errorf("%+v", r)
	}
	for k, dir := range []string{a, b} {
		printed, _, _ := sunrill(t, "year", dir, "--years", "all", "--json", "--out", out)
		var y struct {
			Years []struct {
				Unmet int `json:"unmet_hours"`
			}
		}
		if err := json.Unmarshal([]byte(printed), &y); err != nil {
			t.Fatal(err)
		}
		for i := range y.Years {
			if float64(y.Years[i].Unmet) != r.Sides[k].Unmet[i] {
				t.Errorf("%s, year %d: %g dark hours, by year %d", dir, r.Years[i], r.Sides[k].Unmet[i], y.Years[i].Unmet)
			}
		}
	}
	change(t, b, "site.toml", `capacity = "4 kWh"`, `capacity = "4"`)
	if _, errOut, code := sunrill(t, "compare", a, b, "--out", out); code != exitBadInput || !strings.Contains(errOut, filepath.Join(b, "site.toml")) {
		t.Errorf("exit code %d: %s", code, errOut)
	}
	if _, errOut, code := sunrill(t, "compare", a, a, "--out", b); code != exitUsage || !strings.Contains(errOut, "did not write") {
		t.Errorf("into a site's folder: exit code %d: %s", code, errOut)
	}
}

// What is wrong with several plans is told at once, each with its own words.
func TestComparePlansAreChecked(t *testing.T) {
	t.Parallel()
	dir := folderOf(t, smallSite())
	_, errOut, code := sunrill(t, "compare", dir, "--plan", "a: bank.capacity=20", "--plan", "b: loads.boat.count=1", "--out", filepath.Join(t.TempDir(), "out"))
	if code != exitUsage || !strings.Contains(errOut, "--plan bank.capacity=20: bank.capacity: 20 has no unit") || !strings.Contains(errOut, "--plan loads.boat.count=1") {
		t.Errorf("exit code %d: %s", code, errOut)
	}
}
