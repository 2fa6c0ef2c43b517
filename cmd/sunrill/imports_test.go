package main

import (
	"encoding/json"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// mayImport is the whole map of who knows whom: for each package of ours, the
// packages of ours that it may import. Data flows one way; a new arrow is a
// decision, made here.
var mayImport = map[string][]string{
	// Leaves take numbers and slices and know nobody.
	"weather":        {},
	"sources/solar":  {"weather"}, // the sun's way
	"sources/stream": {},
	"sources/hydro":  {},
	"storage":        {},
	"loads":          {},
	"sim/measure":    {},
	"plots":          {"sim/measure"}, // units of axes

	// What a person wrote, read.
	"sim/files": {"sim/measure"},

	"sim":        {"storage"},
	"sim/site":   {"weather", "sources/solar", "sources/stream", "sources/hydro", "storage", "loads", "sim", "sim/worth", "sim/measure", "sim/files"},
	"sim/gather": {"sim/files", "sim/measure", "sim/site", "weather"},
	"sim/series": {"weather", "sources/solar", "sources/stream", "sources/hydro", "storage", "loads", "sim", "sim/site", "sim/measure", "sim/files"},

	// The studies run the year many times and know nothing deeper.
	"sim/changeover": {"sim", "storage"},
	"sim/sizing":     {"sim", "storage", "sources/hydro"},
	"sim/scenario":   {"sim", "storage", "weather"},
	"sim/worth":      {"sim", "storage"},

	// Plans are changes of what a site's files say.
	"sim/plans": {"weather", "loads", "sim", "sim/files", "sim/site", "sim/series", "sim/sizing", "sim/worth", "sim/measure"},

	// Writers know results and never input files.
	"sim/record":   {"weather", "sim", "sim/changeover", "sim/sizing", "sim/scenario", "sim/worth", "sim/plans", "sources/stream", "sources/hydro", "sim/measure"},
	"plots/report": {"sim", "sim/changeover", "sim/sizing", "sim/scenario", "sim/worth", "sim/plans", "sources/stream", "sources/hydro", "sim/measure", "plots"},

	// For tests of pages.
	"plots/report/reporttest": {},
	// And of rules.
	"sim/changeover/ruletest": {},
}

func TestImportsKeepToTheMap(t *testing.T) {
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("no go command to list the packages with")
	}
	list := exec.Command("go", "list", "-json=ImportPath,Imports", "./...")
	list.Dir = "../.."
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	seen := 0
	for d := json.NewDecoder(strings.NewReader(string(out))); d.More(); {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := d.Decode(&p); err != nil {
			t.Fatal(err)
		}
		name := strings.TrimPrefix(p.ImportPath, "sunrill/")
		if strings.HasPrefix(name, "cmd/") {
			continue // the command knows all
		}
		may, ok := mayImport[name]
		if !ok {
			t.Errorf("package %s is not on the map: add it to mayImport with the packages that it may know", name)
			continue
		}
		seen++
		for _, im := range p.Imports {
			if ours, ok := strings.CutPrefix(im, "sunrill/"); ok && !slices.Contains(may, ours) {
				t.Errorf("package %s imports %s, which the map does not allow", name, ours)
			}
		}
	}
	if seen != len(mayImport) {
		t.Errorf("the map names %d packages, the module has %d of them", len(mayImport), seen)
	}
}
