package site_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim/site"
)

// The factors are exact by the definitions of the units: the international
// yard and pound (1959), the US gallon of 231 cubic inches, standard gravity.
func TestQuantitiesByDefinition(t *testing.T) {
	for _, c := range []struct {
		measure *site.Measure
		text    string
		want    float64
	}{
		{site.Length, "48 m", 48}, {site.Length, "48m", 48}, {site.Length, " 115 ft ", 35.052}, {site.Length, "50 mm", 0.05}, {site.Length, "12cm", 0.12},
		{site.Length, "2 in", 0.0508}, {site.Length, "5/16 in", 0.0079375}, {site.Length, "1-1/4 in", 0.03175}, {site.Length, "1 1/2 in", 0.0381}, {site.Length, "0.3 km", 300}, {site.Length, "1.5e2 m", 150},
		{site.Flow, "2.1 L/s", 0.0021}, {site.Flow, "2.1 l/s", 0.0021}, {site.Flow, "22 gal/min", 22 * 3.785411784e-3 / 60}, {site.Flow, "22 gpm", 22 * 3.785411784e-3 / 60}, {site.Flow, "0.5 ft3/s", 0.5 * 0.028316846592}, {site.Flow, "0.5 ft³/s", 0.5 * 0.028316846592}, {site.Flow, "90 L/min", 0.0015}, {site.Flow, "0.2 m3/s", 0.2}, {site.Flow, "600 L/day", 0.6 / 86400},
		{site.Volume, "20 L", 0.02}, {site.Volume, "5 gal", 0.01892705892}, {site.Volume, "1 ft3", 0.028316846592},
		{site.Power, "1.2 kW", 1200}, {site.Power, "60W", 60},
		{site.Energy, "9.6 kWh", 9600}, {site.EnergyPerDay, "3 kWh/day", 3000},
		{site.Pressure, "10 bar", 1e6}, {site.Pressure, "100 psi", 689475.7293168}, {site.Pressure, "48 m of water", 48 * 9806.65}, {site.Pressure, "100 ft of water", 100 * 0.3048 * 9806.65}, {site.Pressure, "600 kPa", 6e5},
		{site.Angle, "45 deg", 45}, {site.Angle, "45°", 45}, {site.Share, "14 %", 0.14}, {site.Share, "14%", 0.14},
		{site.SharePerK, "-0.35 %/K", -0.0035}, {site.SharePerK, "-0.2 %/F", -0.0036},
		{site.Temperature, "50 F", 10}, {site.Temperature, "-40 F", -40}, {site.Temperature, "10 °C", 10},
		{site.Section, "25 mm2", 25e-6}, {site.Section, "25 mm²", 25e-6},
		{site.Area, "1 acre", 4046.8564224}, {site.Area, "12 ha", 12e4}, {site.Area, "1 mi2", 2589988.110336},
		{site.Duration, "10 s", 10}, {site.Duration, "2 min", 120}, {site.Hours, "90 min", 1.5},
		{site.Depth, "4 in", 101.6}, {site.FuelPerEnergy, "0.1 gal/kWh", 0.3785411784},
	} {
		got, err := c.measure.Parse(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
		} else if math.Abs(got-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%q = %.12g, want %.12g", c.text, got, c.want)
		}
	}
}

// American wire gauges: diameters in inch of a published table (as reprinted
// in Lessons in Electric Circuits, vol. 5: 10 AWG 0.1019, 4 AWG 0.2043, 2 AWG
// 0.2576, 2/0 AWG 0.3648).
func TestWireGaugesPublished(t *testing.T) {
	for text, inch := range map[string]float64{"10 AWG": 0.1019, "4 gauge AWG": 0.2043, "2 gauge": 0.2576, "2/0 AWG": 0.3648, "2/0 gauge awg": 0.3648} {
		got, err := site.Section.Parse(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if d := math.Sqrt(got*4/math.Pi) / 0.0254; math.Abs(d-inch) > 0.00005 {
			t.Errorf("%s has a diameter of %.4f in, the table prints %.4f", text, d, inch)
		}
	}
	for _, text := range []string{"0/0 AWG", "5/0 AWG", "99 AWG", "-1 AWG", "AWG", "2.5 AWG", "two AWG", "1/2 gauge"} {
		if v, err := site.Section.Parse(text); err == nil {
			t.Errorf("%q is taken as %g m2", text, v)
		}
	}
}

func TestQuantitiesRefused(t *testing.T) {
	for _, c := range []struct {
		measure *site.Measure
		text    string
		says    string
	}{
		{site.Length, "48", "no unit"}, {site.Length, "", "number"}, {site.Length, "m", "number"}, {site.Length, "48 kg", `"kg"`}, {site.Length, "0,5 m", "comma"}, {site.Length, "1,000 m", "comma"},
		{site.Length, "NaN m", "number"}, {site.Length, "Inf m", "number"}, {site.Length, "1e999 m", "large"}, {site.Length, "0x10 m", "unit"}, {site.Length, "1/0 in", "unit"}, {site.Length, "- 5 m", "number"},
		{site.Power, "2 kWh", `"kWh"`}, {site.Share, "0.14", "no unit"}, {site.Temperature, "10 K", `"K"`}, {site.Flow, "2 L", `"L"`},
		{site.Length, strings.Repeat("9", 100) + " m", "too long"},
	} {
		v, err := c.measure.Parse(c.text)
		if err == nil {
			t.Errorf("%q is taken as %g", c.text, v)
		} else if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v; it does not say %q", c.text, err, c.says)
		}
	}
}

// What is written in one unit and in another is the same.
func TestUnitsAgree(t *testing.T) {
	pairs := []struct {
		m      *site.Measure
		a, b   string
		factor float64 // b's for one of a
	}{
		{site.Length, "ft", "m", 0.3048}, {site.Length, "in", "mm", 25.4}, {site.Flow, "gal/min", "L/min", 3.785411784}, {site.Flow, "ft3/s", "L/s", 28.316846592},
		{site.Volume, "gal", "L", 3.785411784}, {site.Pressure, "psi", "kPa", 6.894757293168361}, {site.Area, "acre", "m2", 4046.8564224},
	}
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(pairs).Draw(t, "units")
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		a, err1 := p.m.Parse(fmt.Sprintf("%.17g %s", v, p.a))
		b, err2 := p.m.Parse(fmt.Sprintf("%.17g %s", v*p.factor, p.b))
		if err1 != nil || err2 != nil || math.Abs(a-b) > 1e-9*math.Abs(a)+1e-300 {
			t.Fatalf("%g %s = %g, %g %s = %g (%v, %v)", v, p.a, a, v*p.factor, p.b, b, err1, err2)
		}
	})
}

func ExampleMeasure_Parse() {
	head, _ := site.Length.Parse("115 ft")
	_, err := site.Flow.Parse("22")
	fmt.Printf("%.3f m\n%v\n", head, err)
	// Output:
	// 35.052 m
	// "22" has no unit; write for example "22 L/s" (a flow takes L/s, m3/s, L/min, gal/min, ft3/s, L/day, gal/day)
}
