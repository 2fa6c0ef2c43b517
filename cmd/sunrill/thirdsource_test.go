package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// withWindmill builds the program with a third source in it: a leaf, a reader
// and one call, and not a line more.
func withWindmill(t *testing.T) string {
	t.Helper()
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("no go command to build with")
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) string { return filepath.Join(root, filepath.FromSlash(name)) }
	replace := map[string]string{
		at("sources/windmill/windmill.go"): at("cmd/sunrill/testdata/windmill/leaf.go"),
		at("sim/site/windmill.go"):         at("cmd/sunrill/testdata/windmill/reader.go"),
	}
	dir := t.TempDir()
	for name, edits := range map[string][][2]string{
		"sim/site/types.go": {
			{"\t\"sunrill/storage\"\n", "\t\"sunrill/sources/windmill\"\n\t\"sunrill/storage\"\n"},
			{"\tBank       storage.Bank\n", "\tWindmill *windmill.Mill\n\tBank       storage.Bank\n"},
		},
		"sim/site/load.go": {{"\t\tl.house()\n", "\t\tl.house()\n\t\tl.windmill()\n"}},
		"sim/series/input.go": {{"\treturn dst\n", `	if m := h.Site.Windmill; m != nil {
		dst = append(dst, sim.Source{Kind: sim.Kind{Key: "wind", Name: "windmill", From: "wind"}, W: m.Series(make([]float64, w.days.Hours()))})
	}
	return dst
`}},
	} {
		text := read(t, at(name))
		for _, e := range edits {
			if strings.Count(text, e[0]) != 1 {
				t.Fatalf("%s has not one place for the source: %q", name, e[0])
			}
			text = strings.Replace(text, e[0], e[1], 1)
		}
		edited := filepath.Join(dir, strings.ReplaceAll(name, "/", "-"))
		put(t, edited, text)
		replace[at(name)] = edited
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, "overlay.json"), string(overlay))
	program := filepath.Join(dir, "sunrill")
	build := exec.Command("go", "build", "-overlay", filepath.Join(dir, "overlay.json"), "-o", program, ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return program
}

// runIt runs a program in a folder and returns what it prints.
func runIt(t *testing.T, program, dir string, args ...string) string {
	t.Helper()
	c := exec.Command(program, args...)
	c.Dir = dir
	var errOut strings.Builder
	c.Stderr = &errOut
	out, err := c.Output()
	if err != nil {
		t.Fatalf("sunrill %s: %v\n%s", strings.Join(args, " "), err, errOut.String())
	}
	return string(out)
}

// A third source takes a leaf, a reader and one call. Every study counts it: a
// windmill of a steady 60 W that a steady appliance of 60 W takes is as if
// neither were there, in each unmet hour, date, size and way. And every study
// names it, in its report, its charts and its files.
func TestThirdSource(t *testing.T) {
	t.Parallel()
	program, dir := withWindmill(t), t.TempDir()
	for _, site := range []string{"plain", "mill"} {
		if err := os.CopyFS(filepath.Join(dir, site), os.DirFS("../../testdata/us-site")); err != nil {
			t.Fatal(err)
		}
		toml := filepath.Join(dir, site, "site.toml")
		text := strings.Replace(read(t, toml), "reconnect = \"60 %\"\n", "", 1) // a house that is cut off takes nothing
		if site == "mill" {
			text += "\n[windmill]\npower = \"60 W\"\n"
			list := filepath.Join(dir, site, "loads.csv")
			put(t, list, read(t, list)+"steady\t60\t1\tall\tall\tall\tdc\tno\n")
		}
		put(t, toml, text)
	}
	t.Run("compare", func(t *testing.T) {
		t.Parallel()
		compared(t, program, dir)
	})
	// What the steady appliance moves by itself: what is asked and served, what can be
	// put off, what a
	// kWh of it costs, and how long a bank lasts without any source.
	moves := map[string]bool{"without": true, "put_off": true, "other_sources": true, "other_kwh": true, "demand": true, "served": true, "served_kwh": true, "demand_kwh": true,
		"cost_per_kwh": true, "autonomy_days": true, "daily_kwh": true, "pencil_kwh": true}
	for command, c := range map[string]struct {
		args  []string
		names []string // that the report says
	}{
		"year":       {[]string{"--draws", "1", "--years", "2010"}, []string{"Sun, creek, wind", "the windmill 526\u00a0kWh", "<th scope=\"col\">windmill</th>", "what sun, creek and wind could give"}},
		"bank":       {[]string{"--draws", "1", "--years", "2010-2011"}, []string{"sun, creek and wind fall short"}},
		"changeover": {[]string{"--draws", "1", "--years", "2010-2011"}, nil},
		"drywinter":  {[]string{"--draws", "1", "--years", "2010-2011", "--made-up", "20"}, []string{"Panels and windmill: unmet hours a year", "on panels and windmill"}},
		"outlook":    {[]string{"--draws", "2", "--date", "2013-11-20", "--charge", "60 %", "--set", "uncertainty.loads=0 %"}, nil},
		"worth":      {[]string{"--draws", "1", "--years", "2010-2011", "--made-up", "20"}, []string{"from the windmill, kWh"}},
	} {
		t.Run(command, func(t *testing.T) {
			t.Parallel()
			var told [2]any
			for i, site := range []string{"plain", "mill"} {
				out := runIt(t, program, dir, append([]string{command, site, "--json", "--out", site + "-" + command}, c.args...)...)
				if err := json.Unmarshal([]byte(out), &told[i]); err != nil {
					t.Fatal(err)
				}
			}
			differ(t, command, told[0], told[1], moves)
			page := read(t, filepath.Join(dir, "mill-"+command, "report.html"))
			for _, want := range c.names {
				if !strings.Contains(page, want) {
					t.Errorf("the report does not say %q", want)
				}
			}
		})
	}
}

// compared lays the house with the windmill beside the one without.
func compared(t *testing.T, program, dir string) {
	t.Helper()
	runIt(t, program, dir, "compare", "plain", "mill", "--draws", "1", "--years", "2010", "--out", "beside")
	table := strings.Split(read(t, filepath.Join(dir, "beside", "compare.csv")), "\n")
	column := slices.Index(strings.Split(table[0], ","), "wind_kwh")
	if column < 0 || strings.Split(table[1], ",")[column] != "0.0" || strings.Split(table[2], ",")[column] != "525.6" {
		t.Errorf("compare.csv does not tell the windmill apart:\n%s", strings.Join(table, "\n"))
	}
	if page := read(t, filepath.Join(dir, "beside", "report.html")); !strings.Contains(page, "windmill,\u00a0kWh") {
		t.Error("the report has no row for the windmill")
	}
}

// differ tells where two results are not the same, but for the keys in moves.
func differ(t *testing.T, at string, a, b any, moves map[string]bool) {
	t.Helper()
	switch a := a.(type) {
	case map[string]any:
		m, _ := b.(map[string]any)
		for k, v := range a {
			if !moves[k] {
				differ(t, at+"."+k, v, m[k], moves)
			}
		}
	case []any:
		l, _ := b.([]any)
		if len(a) != len(l) {
			t.Errorf("%s: %d and with the windmill %d entries", at, len(a), len(l))
			return
		}
		for i := range a {
			differ(t, at+"."+strconv.Itoa(i), a[i], l[i], moves)
		}
	default:
		if a != b {
			t.Errorf("%s: %v, with the windmill %v", at, a, b)
		}
	}
}
