package site_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/sim/measure"
	"sunrill/sim/site"
)

// withoutTemps takes the temperatures out of sun.csv.
func withoutTemps() string {
	lines := strings.Split(strings.TrimSpace(string(folder(nil)["sun.csv"].Data)), "\n")
	for i, l := range lines {
		cells := strings.Split(l, ",")
		lines[i] = strings.Join(cells[:2], ",")
	}
	return strings.Join(lines, "\n") + "\n"
}

// A creek and panels find their temperatures in the measured sun's record.
func TestTemperaturesOfTheMeasuredSun(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(measured(8760, still, nil)), "\n")
	lines[0] += ",temp_c"
	for i := 1; i < len(lines); i++ {
		when, err := time.Parse("2006-01-02 15:04", strings.Split(lines[i], ",")[0])
		if err != nil {
			t.Fatal(err)
		}
		lines[i] += map[bool]string{true: ",21", false: ",3"}[when.Month() == time.July]
	}
	toml := hourlySite("repeat = true") + "[stream]\nmodel = \"curve\"\nrecession_days = 30\ngain = \"1 L/s\"\n"
	fsys := folder(map[string]string{"site.toml": toml, "sun-hourly.csv": strings.Join(lines, "\n") + "\n"})
	delete(fsys, "sun.csv")
	s := mustLoad(t, fsys, site.Options{})
	if c := s.Sun.TempC; !s.Sun.HasTemp || math.Abs(c[6]-21) > 1e-9 || math.Abs(c[0]-3) > 1e-9 || math.Abs(c[11]-3) > 1e-9 {
		t.Errorf("the months' means are %v °C, want 21 in July and 3 else", c)
	}
}

// Panels without a temperature in any file do not stand in frost all year.
func TestPanelsWithoutTemperatures(t *testing.T) {
	s := mustLoad(t, folder(map[string]string{"sun.csv": withoutTemps()}), site.Options{})
	if s.Sun.HasTemp || s.Sun.TempC[0] != 15 || s.Sun.TempC[6] != 15 {
		t.Errorf("the air is %v °C", s.Sun.TempC)
	}
	told := false
	for _, d := range s.Defaults {
		value, _ := d.In(measure.Metric)
		told = told || d.Key == "sun.temp_c" && value == "15 C"
	}
	if !told {
		t.Errorf("the defaults do not tell it: %v", s.Defaults)
	}
	toml := string(folder(nil)["site.toml"].Data) + "[stream]\nmodel = \"curve\"\nrecession_days = 30\ngain = \"1 L/s\"\n"
	mustRefuse(t, folder(map[string]string{"site.toml": toml, "sun.csv": withoutTemps()}), "stream.model: the model needs temperatures")
}
