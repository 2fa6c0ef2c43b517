package site_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunrill/sim/site"
)

// The homestead laid out in US units is the same one, to the digits that are
// written.
func TestHomesteadInUSUnitsIsTheSame(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "us")
	if err := (site.Template{US: true, LatDeg: math.NaN(), LonDeg: math.NaN()}).Write(dir); err != nil {
		t.Fatal(err)
	}
	us, err := site.Load(dir, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	demo, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	if !us.US || demo.US {
		t.Error("the units to print in are not those asked for")
	}
	near := func(name string, got, want, tolerance float64) {
		t.Helper()
		if math.Abs(got-want) > tolerance*math.Max(math.Abs(want), 1e-9) {
			t.Errorf("%s: %g, want %g", name, got, want)
		}
	}
	near("head", us.Hydro.Penstock.GrossHeadM, demo.Hydro.Penstock.GrossHeadM, 0.005)
	near("bore", us.Hydro.Penstock.BoreM, demo.Hydro.Penstock.BoreM, 0.005)
	near("nozzle", us.Hydro.Turbine.NozzlesM[0], demo.Hydro.Turbine.NozzlesM[0], 0.005)
	near("residual flow", us.Hydro.Intake.ResidualM3S, demo.Hydro.Intake.ResidualM3S, 0.005)
	near("house water", us.Hydro.Intake.HouseWaterM3S, demo.Hydro.Intake.HouseWaterM3S, 0.005)
	near("gain", us.Stream.Curve.GainM3S, demo.Stream.Curve.GainM3S, 0.005)
	near("cable", us.Hydro.Cable.SectionM2, demo.Hydro.Cable.SectionM2, 0.1) // 3 AWG is 26.7 mm²
	near("elevation", us.Place.ElevationM, demo.Place.ElevationM, 0.005)
	near("gauged flow", us.Gaugings[0].FlowM3S, demo.Gaugings[0].FlowM3S, 0.005)
	sum := func(v []float64) (s float64) {
		for _, x := range v {
			s += x
		}
		return s
	}
	near("rain", sum(us.Rain.RainMM), sum(demo.Rain.RainMM), 0.002)
	near("lows", sum(us.Rain.TMinC), sum(demo.Rain.TMinC), 0.002)
	near("July", us.Sun.TempC[6], demo.Sun.TempC[6], 0.005)
}

func TestBlankInUSUnitsWithItsPlace(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "us")
	if err := (site.Template{Blank: true, US: true, LatDeg: 44.5, LonDeg: -123.25}).Write(dir); err != nil {
		t.Fatal(err)
	}
	get := func(name string) string {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	toml := get("site.toml")
	for _, want := range []string{"\nlatitude = 44.5 ", "\nlongitude = -123.25 ", "\nunits = \"us\" ", "# gross_head = \"140 ft\"", "# residual_flow = \"7.9 gal/min\"", "# gauge = \"3 AWG\"", "# penstock_per_ft =", "# currency = \"USD\""} {
		if !strings.Contains(toml, want) {
			t.Errorf("%q is not in\n%s", want, toml)
		}
	}
	if left := regexp.MustCompile(`(?m)^(# )?\w+ = [^#\n]*\d (m|mm|L/s|L|bar|C|ha)".*$`).FindAllString(toml, -1); len(left) > 0 {
		t.Errorf("metric quantities are left: %q", left)
	}
	for name, want := range map[string]string{"rain.csv": "date,rain_in,tmin_f,tmax_f\n", "sun.csv": "month,sun_hours,temp_f\n", "gaugings.csv": "date,method,volume_gal,seconds,flow_gpm,note\n", "horizon.csv": "bearing_deg,height_deg\n"} {
		if !strings.Contains(get(name), want) {
			t.Errorf("%s has no header %q:\n%s", name, want, get(name))
		}
	}
	if !strings.Contains(get("horizon.csv"), "fist") || !strings.Contains(get("horizon.csv"), "clinometer") {
		t.Error("horizon.csv does not tell how to measure")
	}
	k, err := site.ReadKnown(dir)
	if err != nil || k.LatDeg != 44.5 || k.LonDeg != -123.25 || k.UTCOffsetH != -8 || !k.US {
		t.Errorf("%+v %v", k, err)
	}
}

// Readings of a bucket of 5 gallons: 5 gal in 10 s are 30 gal/min, 1.893 L/s.
func TestGaugingsInGallons(t *testing.T) {
	w := piped(t, "gross_head = \"40 m\"\nlength = \"200 m\"\nbore = \"60 mm\"\n")
	w["gaugings.csv"] = "date,method,volume_gal,seconds\n2015-03-01,bucket,5,10\n"
	s := mustLoad(t, folder(w), site.Options{})
	if q := s.Gaugings[0].FlowM3S; math.Abs(q-1.8927e-3) > 1e-7 {
		t.Errorf("%g L/s, want 1.8927", 1e3*q)
	}
	w["gaugings.csv"] = "date,method,volume_gal,volume_l,seconds\n2015-03-01,bucket,5,20,10\n"
	mustRefuse(t, folder(w), "keep one of them")
}
