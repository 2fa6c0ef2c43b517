package site_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"sunrill/sim/site"
)

// The usual array is what a description that tells its power alone gets.
func TestUsualArrayIsTheDefault(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "s")
	if err := site.WriteNew(dir, nil, false); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "site.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	arrays := regexp.MustCompile(`(?s)\[\[array\]\].*\n\[stream\]`)
	text := arrays.ReplaceAllString(string(data), "[[array]]\npower = \"1 kW\"\n\n[stream]")
	if err := os.WriteFile(path, []byte(text+"\n[limits]\npanels = \"12 kW\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, want := s.UsualArray(), s.Arrays[0]
	got.Name, got.Horizon = want.Name, want.Horizon
	near := func(a, b, by float64) bool { return math.Abs(a-b) <= by }
	if got.PowerW != want.PowerW || !near(got.TiltDeg, want.TiltDeg, 0.5) || got.AzimuthDeg != want.AzimuthDeg || !near(got.Losses, want.Losses, 1e-9) ||
		got.NOCTC != want.NOCTC || !near(got.TempCoefPerK, want.TempCoefPerK, 1e-9) || !near(got.ControllerEfficiency, want.ControllerEfficiency, 1e-9) {
		t.Errorf("the usual array is %+v, by defaults %+v", got, want)
	}
	if s.MaxPanelsW != 12000 {
		t.Errorf("the limit of panels came back as %g W", s.MaxPanelsW)
	}
}
