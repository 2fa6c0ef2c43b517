package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What a site in US units is told holds no metric measure, on the terminal or
// in a report, whose paper is Letter; a metric site's is A4.
func TestUSUnitsEverywhere(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "place")
	if code, _, errOut := sunrillTo(t, "new", dir); code != exitOK {
		t.Fatal(errOut)
	}
	toml := filepath.Join(dir, "site.toml")
	b, err := os.ReadFile(toml)
	if err != nil {
		t.Fatal(err)
	}
	us := strings.Replace(string(b), `units = "metric"`, `units = "us"`, 1)
	if us == string(b) {
		t.Fatal("the built-in site does not tell its units")
	}
	if err := os.WriteFile(toml, []byte(us), 0o600); err != nil {
		t.Fatal(err)
	}
	tags := regexp.MustCompile(`(?s)<style>.*?</style>|<link[^>]*>|base64,[^"]*|<[^>]*aria-label="([^"]*)"[^>]*>|<[^>]*>`)
	metric := regexp.MustCompile(`[0-9,] ?(mm|cm|km|km²|km2|°C|C|L/s|L|L/day|m³|m3|ha|m|bar|m/s)([\s,.;:)]|$)`)
	look := func(what, text string) {
		text = strings.ReplaceAll(text, "freezing (0 °C, 32 °F)", "freezing")
		for _, line := range strings.Split(text, "\n") {
			if at := metric.FindString(line); at != "" {
				t.Errorf("%s: %q in %q", what, at, strings.TrimSpace(line))
			}
		}
	}
	for _, args := range [][]string{
		{"check"}, {"fit", "--rounds", "0"}, {"year"}, {"bank"}, {"changeover"}, {"drywinter", "--made-up", "20"}, {"worth", "--made-up", "0"}, {"outlook", "--draws", "2", "--date", "2026-11-25", "--flow", "15 gal/min"},
	} {
		out := filepath.Join(t.TempDir(), "out")
		all := append([]string{args[0], dir}, args[1:]...)
		switch args[0] {
		case "year", "bank", "changeover", "drywinter", "worth":
			all = append(all, "--draws", "2")
		}
		if args[0] != "check" {
			all = append(all, "--out", out)
		}
		code, text, errOut := sunrillTo(t, all...)
		if code != exitOK {
			t.Fatalf("%v: %s", all, errOut)
		}
		look(args[0], strings.ReplaceAll(text+errOut, out, ""))
		page, err := os.ReadFile(filepath.Join(out, "report.html"))
		if err != nil {
			continue // check and fit write none
		}
		look(args[0]+"'s report", tags.ReplaceAllString(string(page), "\n$1\n"))
		if !strings.Contains(string(page), "@page { size: letter; }") {
			t.Errorf("%s: not on Letter paper", args[0])
		}
	}
	out := filepath.Join(t.TempDir(), "metric")
	if code, _, errOut := sunrillTo(t, "year", dir, "--units", "metric", "--out", out); code != exitOK {
		t.Fatal(errOut)
	}
	if page, err := os.ReadFile(filepath.Join(out, "report.html")); err != nil || !strings.Contains(string(page), "@page { size: A4; }") {
		t.Errorf("a metric report is not on A4: %v", err)
	}
}
