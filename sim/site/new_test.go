package site_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunrill/loads"
	"sunrill/sim/files"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

func TestNewFolderIsTheDemo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "place")
	if err := site.WriteNew(dir, nil, false); err != nil {
		t.Fatal(err)
	}
	s, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	demo, _ := site.Demo()
	if s.Name != demo.Name || s.Rain.Days() != demo.Rain.Days() || s.Folder != dir {
		t.Errorf("the new folder reads as %q with %d days in %q", s.Name, s.Rain.Days(), s.Folder)
	}
	if err := site.WriteNew(dir, nil, false); !errors.Is(err, site.ErrExists) {
		t.Errorf("a second one in its place gives %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(dir), ".*")); len(left) > 0 {
		t.Errorf("temporary folders are left: %v", left)
	}
}

func TestNewFolderTakesAnEmptyFolder(t *testing.T) {
	dir := t.TempDir()
	if err := site.WriteNew(dir, nil, false); err != nil {
		t.Fatal(err)
	}
}

// A blank folder says what is to be filled in, and nothing else is wrong with
// it.
func TestBlankFolderAsksForWhatIsNeeded(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "blank")
	if err := site.WriteNew(dir, nil, true); err != nil {
		t.Fatal(err)
	}
	_, err := site.Load(dir, site.Options{})
	var ps files.Problems
	if !errors.As(err, &ps) {
		t.Fatalf("a blank folder gives %v", err)
	}
	for _, want := range []string{"name: is missing", "latitude: is missing", "bank.chemistry: is missing", "neither an [[array]] nor a [turbine]", "rain.csv: has a header but no row", "sun_hours: the cells of all 12 rows are empty"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("it does not say %q in\n%v", want, err)
		}
	}
	if strings.Contains(err.Error(), "unknown") || strings.Contains(err.Error(), "TOML") {
		t.Errorf("the template itself is wrong:\n%v", err)
	}
}

// Every commented line of the blank description is a key that is known.
func TestBlankDescriptionHasNoUnknownKey(t *testing.T) {
	for _, us := range []bool{false, true} {
		t.Run(map[bool]string{false: "metric", true: "us"}[us], func(t *testing.T) { blankHasNoUnknownKey(t, us) })
	}
}

func blankHasNoUnknownKey(t *testing.T, us bool) {
	dir := filepath.Join(t.TempDir(), "blank")
	if err := (site.Template{Blank: true, US: us, LatDeg: math.NaN(), LonDeg: math.NaN()}).Write(dir); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "site.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for i, line := range strings.Split(string(data), "\n") {
		if key, _, ok := strings.Cut(line, "="); ok && strings.HasPrefix(line, "# ") && i > 5 && !strings.Contains(key, ":") {
			line = strings.TrimPrefix(line, "# ")
			if rest := strings.TrimSpace(strings.SplitN(line, "=", 2)[1]); rest == "" || strings.HasPrefix(rest, "#") {
				line = strings.SplitN(line, "=", 2)[0] + "= 1"
			}
		} else if strings.HasPrefix(line, "# [") {
			line = strings.TrimPrefix(line, "# ")
		}
		lines = append(lines, line)
	}
	if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err = site.Load(dir, site.Options{})
	if err == nil {
		t.Fatal("a description with every key at once is taken")
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		if strings.Contains(line, "unknown") || strings.Contains(line, "TOML") || strings.Contains(line, "outside") || strings.Contains(line, "unit") {
			t.Errorf("the template itself is wrong: %s", line)
		}
	}
}

func TestNewFolderWithEveryTypicalAppliance(t *testing.T) {
	var keys []string
	for _, a := range loads.Typicals() {
		keys = append(keys, a.Key)
	}
	dir := filepath.Join(t.TempDir(), "full")
	if err := site.WriteNew(dir, keys, false); err != nil {
		t.Fatal(err)
	}
	s, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Appliances) != len(keys) {
		t.Errorf("%d appliances of %d came back", len(s.Appliances), len(keys))
	}
	err = site.WriteNew(filepath.Join(t.TempDir(), "x"), []string{"frige"}, false)
	if err == nil || !strings.Contains(err.Error(), `did you mean "fridge"?`) {
		t.Errorf("a misspelt appliance gives %v", err)
	}
}

func TestAppendGaugingKeepsWhatIsThere(t *testing.T) {
	day := time.Date(2019, 3, 4, 0, 0, 0, 0, time.UTC)
	g := stream.Gauging{Date: day, Method: "weir", FlowM3S: 2.4e-3, Note: "after rain, high"}
	for name, before := range map[string]string{
		"none":      "",
		"metric":    "# ours\ndate,method,volume_l,seconds,flow_lps,note\n2019-01-02,bucket,20,12.5,,\n",
		"us":        "date,method,flow_gpm\r\n2019-01-02,float,31\r\n",
		"semicolon": "date;method;flow_lps;note\n2019-01-02;meter;1,5;x",
		"header":    "date,method,flow_lps\n",
	} {
		dir := filepath.Join(t.TempDir(), "s")
		if err := site.WriteNew(dir, nil, false); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "gaugings.csv")
		os.Remove(path)
		rows := 1
		if before != "" {
			if err := os.WriteFile(path, []byte(before), 0o644); err != nil {
				t.Fatal(err)
			}
			rows = strings.Count(before, "2019-") + 1
		}
		g := site.RawReading{Gauging: g}
		if before != "" && !strings.Contains(before, "note") {
			// A note has nowhere to go here: it is refused, not dropped.
			if err := site.AppendGauging(dir, g); err == nil || !strings.Contains(err.Error(), "no column for the note") {
				t.Errorf("%s: a note without a column gives %v", name, err)
			}
			if kept, _ := os.ReadFile(path); string(kept) != before {
				t.Errorf("%s: a refused reading changed the file:\n%s", name, kept)
			}
			g.Note = ""
		}
		if err := site.AppendGauging(dir, g); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		after, _ := os.ReadFile(path)
		if !strings.HasPrefix(string(after), before) {
			t.Errorf("%s: what was there is changed:\n%s", name, after)
		}
		s, err := site.Load(dir, site.Options{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(s.Gaugings) != rows {
			t.Errorf("%s: %d readings, want %d", name, len(s.Gaugings), rows)
			continue
		}
		last := s.Gaugings[rows-1]
		if last.Method != "weir" || last.FlowM3S < 2.399e-3 || last.FlowM3S > 2.401e-3 {
			t.Errorf("%s: the reading came back as %+v", name, last)
		}
	}
}

func TestParametersComeBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "s")
	if err := site.WriteNew(dir, nil, false); err != nil {
		t.Fatal(err)
	}
	curve := stream.Curve{SoilDepthMM: 90.5, QuickFraction: 0.2, QuickDays: 1.25, RecessionDays: 33, FloorM3S: 2e-4, GainM3S: 8.5e-4, Exponent: 1.1}
	unknown := math.NaN()
	ps := []site.Parameter{
		{Name: "soil_depth_mm", Value: 90.5, Low: 60, High: 130},
		{Name: "quick_share", Value: 0.2, Low: unknown, High: unknown},
		{Name: "quick_days", Value: 1.25, Low: unknown, High: unknown},
		{Name: "recession_days", Value: 33, Low: unknown, High: unknown},
		{Name: "floor_lps", Value: 0.2, Low: unknown, High: unknown},
		{Name: "gain_lps", Value: 0.85, Low: unknown, High: unknown},
		{Name: "exponent", Value: 1.1, Low: unknown, High: unknown},
	}
	if err := os.WriteFile(filepath.Join(dir, "stream.csv"), site.ParameterCSV("curve", ps), 0o644); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "site.toml")
	data, _ := os.ReadFile(path)
	from, to := strings.Index(string(data), "model = \"curve\""), strings.Index(string(data), "[intake]")
	text := string(data[:from]) + "model = \"curve\"\nparameters = \"stream.csv\"\narea = \"9 ha\"\n\n" + string(data[to:])
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	curve.AreaM2 = 9e4
	got := *s.Stream.Curve
	for i, pair := range [][2]float64{{got.SoilDepthMM, curve.SoilDepthMM}, {got.QuickDays, curve.QuickDays}, {got.RecessionDays, curve.RecessionDays}, {got.FloorM3S, curve.FloorM3S}, {got.GainM3S, curve.GainM3S}, {got.Exponent, curve.Exponent}, {got.AreaM2, curve.AreaM2}} {
		if d := pair[0] - pair[1]; d > 1e-9 || d < -1e-9 {
			t.Errorf("parameter %d came back as %g, want %g", i, pair[0], pair[1])
		}
	}
}
