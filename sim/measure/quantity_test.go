package measure_test

import (
	"fmt"
	"math"
	"strings"
	"sunrill/sim/measure"
	"testing"

	"pgregory.net/rapid"
)

// The factors are exact by the definitions of the units: the international
// yard and pound (1959), the US gallon of 231 cubic inches, standard gravity.
func TestQuantitiesByDefinition(t *testing.T) {
	for _, c := range []struct {
		measure *measure.Measure
		text    string
		want    float64
	}{
		{measure.Lengths, "48 m", 48}, {measure.Lengths, "48m", 48}, {measure.Lengths, " 115 ft ", 35.052}, {measure.Lengths, "50 mm", 0.05}, {measure.Lengths, "12cm", 0.12},
		{measure.Lengths, "2 in", 0.0508}, {measure.Lengths, "5/16 in", 0.0079375}, {measure.Lengths, "1-1/4 in", 0.03175}, {measure.Lengths, "1 1/2 in", 0.0381}, {measure.Lengths, "0.3 km", 300}, {measure.Lengths, "1.5e2 m", 150},
		{measure.Flows, "2.1 L/s", 0.0021}, {measure.Flows, "2.1 l/s", 0.0021}, {measure.Flows, "22 gal/min", 22 * 3.785411784e-3 / 60}, {measure.Flows, "22 gpm", 22 * 3.785411784e-3 / 60}, {measure.Flows, "0.5 ft3/s", 0.5 * 0.028316846592}, {measure.Flows, "0.5 ft³/s", 0.5 * 0.028316846592}, {measure.Flows, "90 L/min", 0.0015}, {measure.Flows, "0.2 m3/s", 0.2}, {measure.Flows, "600 L/day", 0.6 / 86400},
		{measure.Volumes, "20 L", 0.02}, {measure.Volumes, "5 gal", 0.01892705892}, {measure.Volumes, "1 ft3", 0.028316846592},
		{measure.Powers, "1.2 kW", 1200}, {measure.Powers, "60W", 60},
		{measure.Energies, "9.6 kWh", 9600}, {measure.DailyEnergies, "3 kWh/day", 3000},
		{measure.Pressures, "10 bar", 1e6}, {measure.Pressures, "100 psi", 689475.7293168}, {measure.Pressures, "48 m of water", 48 * 9806.65}, {measure.Pressures, "100 ft of water", 100 * 0.3048 * 9806.65}, {measure.Pressures, "600 kPa", 6e5},
		{measure.Angles, "45 deg", 45}, {measure.Angles, "45°", 45}, {measure.Fractions, "14 %", 0.14}, {measure.Fractions, "14%", 0.14},
		{measure.FractionsPerK, "-0.35 %/K", -0.0035}, {measure.FractionsPerK, "-0.2 %/F", -0.0036},
		{measure.Temperatures, "50 F", 10}, {measure.Temperatures, "-40 F", -40}, {measure.Temperatures, "10 °C", 10},
		{measure.Sections, "25 mm2", 25e-6}, {measure.Sections, "25 mm²", 25e-6},
		{measure.Areas, "1 acre", 4046.8564224}, {measure.Areas, "12 ha", 12e4}, {measure.Areas, "1 mi2", 2589988.110336},
		{measure.Durations, "10 s", 10}, {measure.Durations, "2 min", 120}, {measure.HourCounts, "90 min", 1.5},
		{measure.Depths, "4 in", 101.6}, {measure.FuelPerEnergy, "0.1 gal/kWh", 0.3785411784},
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
		got, err := measure.Sections.Parse(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if d := math.Sqrt(got*4/math.Pi) / 0.0254; math.Abs(d-inch) > 0.00005 {
			t.Errorf("%s has a diameter of %.4f in, the table prints %.4f", text, d, inch)
		}
	}
	for _, text := range []string{"0/0 AWG", "5/0 AWG", "99 AWG", "-1 AWG", "AWG", "2.5 AWG", "two AWG", "1/2 gauge"} {
		if v, err := measure.Sections.Parse(text); err == nil {
			t.Errorf("%q is taken as %g m2", text, v)
		}
	}
}

func TestQuantitiesRefused(t *testing.T) {
	for _, c := range []struct {
		measure *measure.Measure
		text    string
		says    string
	}{
		{measure.Lengths, "48", "no unit"}, {measure.Lengths, "", "number"}, {measure.Lengths, "m", "number"}, {measure.Lengths, "48 kg", `"kg"`}, {measure.Lengths, "0,5 m", "comma"}, {measure.Lengths, "1,000 m", "comma"},
		{measure.Lengths, "NaN m", "number"}, {measure.Lengths, "Inf m", "number"}, {measure.Lengths, "1e999 m", "large"}, {measure.Lengths, "0x10 m", "unit"}, {measure.Lengths, "1/0 in", "unit"}, {measure.Lengths, "- 5 m", "number"},
		{measure.Powers, "2 kWh", `"kWh"`}, {measure.Fractions, "0.14", "no unit"}, {measure.Temperatures, "10 K", `"K"`}, {measure.Flows, "2 L", `"L"`},
		{measure.Lengths, strings.Repeat("9", 100) + " m", "too long"},
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
		m      *measure.Measure
		a, b   string
		factor float64 // b's for one of a
	}{
		{measure.Lengths, "ft", "m", 0.3048}, {measure.Lengths, "in", "mm", 25.4}, {measure.Flows, "gal/min", "L/min", 3.785411784}, {measure.Flows, "ft3/s", "L/s", 28.316846592},
		{measure.Volumes, "gal", "L", 3.785411784}, {measure.Pressures, "psi", "kPa", 6.894757293168361}, {measure.Areas, "acre", "m2", 4046.8564224},
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
	head, _ := measure.Lengths.Parse("115 ft")
	_, err := measure.Flows.Parse("22")
	fmt.Printf("%.3f m\n%v\n", head, err)
	// Output:
	// 35.052 m
	// "22" has no unit; write for example "22 L/s" (a flow takes L/s, m3/s, L/min, gal/min, ft3/s, L/day, gal/day)
}
