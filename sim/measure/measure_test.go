package measure_test

import (
	"fmt"
	"testing"

	"sunrill/sim/measure"
)

func ExampleSystem_BucketFills() {
	fmt.Println(measure.Metric.BucketFills(0.0014))
	// 50 gal/min fills a 5 gal bucket in 6 s: common practice, and exact.
	fmt.Println(measure.US.BucketFills(50 * 6.30901964e-5))
	// Output:
	// the 20 L bucket fills in 14 s
	// the 5 gal bucket fills in 6.0 s
}

func TestWriting(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{measure.Metric.Flow(0.00213), "2.13 L/s"},
		{measure.US.Flow(0.00213), "33.8 gal/min"},
		{measure.US.Length(48), "157 ft"},
		{measure.Metric.Bore(0.05), "50 mm"},
		{measure.Metric.Wire(16e-6), "16 mm²"}, {measure.Metric.Wire(17e-6), "25 mm²"},
		{measure.US.Wire(33e-6), "2 AWG"}, {measure.US.Wire(34e-6), "1 AWG"}, {measure.US.Wire(54e-6), "2/0 AWG"}, {measure.US.Wire(53e-6), "1/0 AWG"},
		{measure.Metric.Rain(1234.4), "1234 mm"},
		{measure.US.Temp(100), "212 °F"},
		{measure.Metric.Volume(0.2), "200 L"},
		{measure.Metric.Volume(2.5), "2.50 m³"},
		{measure.US.Room(1), "35 ft³"},
		{measure.Metric.Opening(28), "28 cm²"},
		{measure.US.Opening(28), "4.3 in²"},
		{measure.Power(999.7), "1.00 kW"},
		{measure.Power(0), "0 W"},
		{measure.Energy(1234567), "1,230 kWh"},
		{measure.Percent(0.0347), "3.5 %"},
		{measure.Percent(0.53), "53 %"},
		{measure.Digits(-12345, 3), "-12,300"},
		{measure.Digits(9.996, 3), "10.0"},
		{measure.Digits(100, 3), "100"},
		{measure.Count(1234567), "1,234,567"},
		{measure.Seconds(130), "2 min"},
		{measure.Hours(0), "no hour"},
		{measure.Hours(0.02), "under 0.1 hours"},
		{measure.Hours(1), "1 hour"},
		{measure.Hours(1.01), "1 hour"},
		{measure.Hours(0.94), "0.9 hours"},
		{measure.Hours(2.5), "2.5 hours"},
		{measure.Hours(27.5), "28 hours"},
		{measure.Hours(1234.5), "1,235 hours"},
		{measure.HoursNumber(0), "0"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// 0 °C is 32 °F, 1 in is 25.4 mm, 1 ft 0.3048 m, 1 gal 3.785411784 L, 1 acre
// 4046.86 m² (NIST SP 811, appendix B).
func TestQuantitiesInUSUnits(t *testing.T) {
	for _, c := range []struct {
		m          *measure.Measure
		metric, us string
	}{
		{measure.Temperatures, "45 C", "113 F"}, {measure.Lengths, "0.0015 mm", "0.000059 in"}, {measure.Lengths, "20 m", "66 ft"}, {measure.Flows, "0 L/s", "0 gal/min"}, {measure.Flows, "400 L/day", "110 gal/day"},
		{measure.Areas, "0 ha", "0 acre"}, {measure.Pressures, "10 bar", "150 psi"}, {measure.FractionsPerK, "-0.38 %/K", "-0.38 %/K"}, {measure.Powers, "7000 W", "7000 W"},
		{measure.Depths, "120 mm", "4.7 in"}, {measure.FuelRates, "0.28 L/h", "0.074 gal/h"},
	} {
		si, u, err := c.m.ParseUnit(c.metric)
		if err != nil {
			t.Fatal(err)
		}
		if got := measure.US.Spell(c.m, si, u); got != c.us {
			t.Errorf("%s becomes %q, want %q", c.metric, got, c.us)
		}
		if got := measure.Metric.Spell(c.m, si, u); got != c.metric {
			t.Errorf("%s becomes %q in metric", c.metric, got)
		}
	}
	for text, want := range map[string][2]string{
		"cells of {25 to 50 °C}, and from {10 °C}": {"cells of 25 to 50 °C, and from 10 °C", "cells of 77 to 122 °F, and from 50 °F"},
		"below {-20 °C}":               {"below -20 °C", "below -4 °F"},
		"a head above {20 m}":          {"a head above 20 m", "a head above 66 ft"},
		"0.5 C of the bank, 12 m, {x}": {"0.5 C of the bank, 12 m, {x}", "0.5 C of the bank, 12 m, {x}"},
	} {
		if got := [2]string{measure.Metric.Prose(text), measure.US.Prose(text)}; got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
	for got, want := range map[string]string{
		measure.US.Land(4046.8564): "1.0 acres", measure.US.Land(2589988 * 3): "3.0 mi²", measure.Metric.Land(80000): "8.0 ha", measure.Metric.Land(2.5e6): "2.5 km²",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// US spellings of metric quantities in a text, to two digits: 1 L/s is 15.85
// gal/min, 10 bar are 145 psi, 1 ha is 2.47 acres (NIST SP 811, from memory).
func TestRespellKnownPairs(t *testing.T) {
	for metric, want := range map[string]string{
		"2 L/s": "32 gal/min", "800 L": "210 gal", "42 m": "140 ft", "10 bar": "150 psi", "8 ha": "20 acre", "66 mm": "2.6 in", "10 C": "50 F", "600 L/day": "160 gal/day", "2 mm/day": "0.079 in/day", "14 %": "14 %",
	} {
		if got := measure.US.Respell(metric, 2); got != want {
			t.Errorf("%s is respelled %s, want %s", metric, got, want)
		}
		if got := measure.Metric.Respell(metric, 2); got != metric {
			t.Errorf("%s is respelled %s in metric", metric, got)
		}
	}
	for us, want := range map[string]string{"150 ft": "45.7 m", "2 in": "50.8 mm", "30 gal/min": "1.89 L/s", "150 psi": "10.3 bar", "50 F": "10 C", "2 acre": "0.809 ha", "20 kWh": "20 kWh"} {
		if got := measure.Metric.Respell(us, 3); got != want {
			t.Errorf("%s is respelled %s, want %s", us, got, want)
		}
	}
}
