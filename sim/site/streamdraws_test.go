package site_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/sim/site"
	"sunrill/sources/stream"
)

// fittedSite is a site with a stream.csv and the given stream-draws.csv.
func fittedSite(t *testing.T, draws string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "s")
	if err := site.WriteNew(dir, nil, false); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "site.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	from, to := strings.Index(string(data), "model = \"curve\""), strings.Index(string(data), "[intake]")
	text := string(data[:from]) + "model = \"catchment\"\nparameters = \"stream.csv\"\narea = \"9 ha\"\n\n" + string(data[to:])
	ps := []site.Parameter{{Name: "x1_mm", Value: 300}, {Name: "x2_mm_day", Value: -0.5}, {Name: "x3_mm", Value: 80}, {Name: "x4_days", Value: 1}}
	for name, content := range map[string]string{"site.toml": text, "stream.csv": string(site.ParameterCSV("catchment", ps)), "stream-draws.csv": draws} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// What fit writes as the creeks that the readings allow comes back as it was.
func TestDrawsComeBack(t *testing.T) {
	names := []string{"x1_mm", "x2_mm_day", "x3_mm", "x4_days"}
	var values [][]float64
	var draws []stream.Draw
	for i := range 25 {
		v := []float64{280 + float64(2*i), -1 + 0.05*float64(i), 60 + float64(2*i), 0.8 + 0.02*float64(i)}
		values = append(values, v)
		draws = append(draws, stream.Draw{Model: stream.Catchment{AreaM2: 9e4, X1MM: v[0], X2MMD: v[1], X3MM: v[2], X4D: v[3]},
			Error: stream.DailyError{SD: 0.2 + 0.01*float64(i), Correlation: 0.91, Growth: -0.1, ReferenceM3S: 0.0021, AddM3S: 0.00004}})
	}
	s, err := site.Load(fittedSite(t, string(site.DrawCSV("catchment", names, values, draws))), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Stream.Draws) != len(draws) {
		t.Fatalf("%d draws came back of %d", len(s.Stream.Draws), len(draws))
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-5*math.Abs(b)+1e-15 }
	for i, d := range draws {
		got, want := s.Stream.Draws[i].Model.(stream.Catchment), d.Model.(stream.Catchment)
		e, f := s.Stream.Draws[i].Error, d.Error
		if !near(got.AreaM2, want.AreaM2) || !near(got.X1MM, want.X1MM) || !near(got.X2MMD, want.X2MMD) || !near(got.X3MM, want.X3MM) || !near(got.X4D, want.X4D) ||
			!near(e.SD, f.SD) || !near(e.Correlation, f.Correlation) || !near(e.Growth, f.Growth) || !near(e.ReferenceM3S, f.ReferenceM3S) || !near(e.AddM3S, f.AddM3S) {
			t.Errorf("draw %d came back as %+v, want %+v", i, s.Stream.Draws[i], d)
		}
	}
}

// Draws of another model, of another fit, or with nonsense in them are told.
func TestWrongDrawsAreTold(t *testing.T) {
	const header = "x1_mm,x2_mm_day,x3_mm,x4_days,error_sd,error_next_day,error_growth,error_at_lps,error_add_lps\n"
	for _, c := range []struct{ name, draws, want string }{
		{"another model", "soil_depth_mm,quick_share,quick_days,recession_days,floor_lps,gain_lps,exponent,error_sd,error_next_day,error_growth,error_at_lps,error_add_lps\n90,0.1,1,30,0.2,1,1,0.2,0.9,0,2,0.04\n", "x1_mm"},
		{"out of range", header + "300,0,80,1,0.2,1.9,0,2,0.04\n", "stream-draws.csv:2:16: error_next_day: 1.9 is outside 0 to 1"},
		{"text", header + "300,0,eighty,1,0.2,0.9,0,2,0.04\n", "stream-draws.csv:2"},
	} {
		_, err := site.Load(fittedSite(t, c.draws), site.Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	var b strings.Builder
	b.WriteString(header)
	for i := range 30 {
		fmt.Fprintf(&b, "%d,0,80,1,0.2,0.9,0,2,0.04\n", 700+i)
	}
	s, err := site.Load(fittedSite(t, b.String()), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(s.Warnings, "\n"), "another fit than stream.csv: x1_mm") {
		t.Errorf("warnings: %v", s.Warnings)
	}
}
