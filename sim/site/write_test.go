package site_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/sim/files"
	"sunrill/sim/site"
)

func settingsOf(t *testing.T, texts ...string) []files.Setting {
	t.Helper()
	var all []files.Setting
	for _, text := range texts {
		s, err := files.ParseSetting(text, "--set "+text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, s)
	}
	return all
}

func newFolder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "place")
	if err := os.CopyFS(dir, site.DemoFS()); err != nil {
		t.Fatal(err)
	}
	return dir
}

// What is written is the site that the settings make, the old files are kept,
// and the lines that change are told.
func TestEditFolder(t *testing.T) {
	dir := newFolder(t)
	before, err := os.ReadFile(filepath.Join(dir, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	set := settingsOf(t, "bank.capacity=21.5 kWh", "loads.freezer.count=0", `turbine.nozzles=["5 mm","9 mm"]`, "bank.start_soc=70 %")
	e, err := site.EditFolder(dir, set, nil)
	if err != nil {
		t.Fatal(err)
	}
	all := strings.Join(e.Lines, "\n")
	for _, says := range []string{`→ capacity = "21.5 kWh"`, `→ nozzles = ["5 mm", "9 mm"]`, `site.toml: new: start_soc = "70 %"`, "loads.csv: freezer,"} {
		if !strings.Contains(all, says) {
			t.Errorf("no %q in\n%s", says, all)
		}
	}
	if len(e.Lines) != 4 {
		t.Errorf("%d lines:\n%s", len(e.Lines), all)
	}
	if now, _ := os.ReadFile(filepath.Join(dir, "site.toml")); string(now) != string(before) {
		t.Fatal("the file was changed before it was asked for")
	}
	want, err := site.Load(dir, site.Options{Set: set})
	if err != nil {
		t.Fatal(err)
	}
	copyTo := filepath.Join(filepath.Dir(dir), "other")
	if err := e.AsNew(copyTo); err != nil {
		t.Fatal(err)
	}
	kept, err := e.Into()
	if err != nil || len(kept) != 2 || kept[1] != "site.toml.before-1" {
		t.Fatalf("%v %v", kept, err)
	}
	if old, _ := os.ReadFile(filepath.Join(dir, "site.toml.before-1")); string(old) != string(before) {
		t.Error("the old file was not kept")
	}
	for _, folder := range []string{dir, copyTo} {
		got, err := site.Load(folder, site.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got.Bank.CapacityWh != want.Bank.CapacityWh || got.Bank.StartSoC != want.Bank.StartSoC || len(got.Hydro.Turbine.NozzlesM) != len(want.Hydro.Turbine.NozzlesM) || len(got.Appliances) != len(want.Appliances) {
			t.Errorf("%s: %v %v", folder, got.Bank, want.Bank)
		}
		for i, a := range got.Appliances {
			if a.Count != want.Appliances[i].Count {
				t.Errorf("%s: %d, want %d", a.Name, int(a.Count), int(want.Appliances[i].Count))
			}
		}
	}
	if err := e.AsNew(copyTo); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("a folder was replaced: %v", err)
	}
}

// What is wrong is refused as the file would be, and nothing is written.
func TestEditFolderRefuses(t *testing.T) {
	dir := newFolder(t)
	for text, says := range map[string]string{
		"bank.capacity=20":      "has no unit",
		"bank.capacty=20 kWh":   "capacity",
		"loads.fridge9.count=0": "which row",
	} {
		if _, err := site.EditFolder(dir, settingsOf(t, text), nil); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v; want %q", text, err, says)
		}
	}
}
