package hydro_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sources/hydro"
)

// NFPA 70 (NEC), chapter 9, table 8: uncoated copper at 75 °C, Ω per 1000 ft,
// as seen in public copies. The solid conductors 14 to 8 to their last digit;
// stranded ones have 1 to 3.5 % more for the lay of their strands.
func TestCopperResistancePublished(t *testing.T) {
	const kft = 304.8
	for _, row := range []struct {
		gauge           int
		name            string
		solid, stranded float64
	}{
		{14, "14", 3.07, 3.14}, {12, "12", 1.93, 1.98}, {10, "10", 1.21, 1.24}, {8, "8", .764, .778},
		{6, "6", 0, .491}, {4, "4", 0, .308}, {2, "2", 0, .194}, {0, "1/0", 0, .122}, {-1, "2/0", 0, .0967}, {-3, "4/0", 0, .0608},
	} {
		got := kft * hydro.CopperResistance(hydro.AWGSection(row.gauge), 75)
		if row.solid > 0 {
			within(t, row.name+" AWG solid", got, row.solid, 0.005)
		}
		if more := row.stranded/got - 1; more < 0.01 || more > 0.035 {
			t.Errorf("%s AWG: the table's stranded wire has %.1f %% more than %.4g Ω", row.name, 100*more, got)
		}
	}
	// Diameters in inches, a public table of wire sizes.
	for gauge, in := range map[int]float64{10: .1019, 4: .2043, 2: .2576, -1: .3648} {
		printed(t, fmt.Sprintf("diameter of gauge %d", gauge), math.Sqrt(4/math.Pi*hydro.AWGSection(gauge))/0.0254, in, 1e-4)
	}
}

// Drop by V = 2 L I R', from independent arithmetic: 48 V, 40 A, 30 m of 16 mm²
// at 20 °C lose 2.586 V, 5.39 %, 103.4 W; AWG 2 at 75 °C, 100 ft: 1.552 V with
// the stranded wire of NEC's table, which has 2.1 % more than a solid one.
func TestCableDrop(t *testing.T) {
	c := hydro.Cable{LengthM: 30, SectionM2: 16e-6, VoltageV: 48}
	busW, drop := c.Deliver(48*40 + 103.443)
	printed(t, "bus power", busW, 1920, 0.1)
	printed(t, "drop", 100*drop, 5.39, 0.01)
	within(t, "drop in AWG 2", 1.021*2*30.48*40*hydro.CopperResistance(hydro.AWGSection(2), 75), 1.552, 1e-3)
}

func TestCableKeepsEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := hydro.Cable{
			LengthM:   rapid.Float64Range(0, 500).Draw(t, "length"),
			SectionM2: rapid.Float64Range(1e-6, 1e-4).Draw(t, "section"),
			VoltageV:  rapid.Float64Range(12, 400).Draw(t, "V"),
		}
		sent := rapid.Float64Range(0, 5000).Draw(t, "W")
		bus, drop := c.Deliver(sent)
		amps := bus / c.VoltageV
		if lost := amps * amps * c.Resistance(); math.Abs(bus+lost-sent) > 1e-9*sent {
			t.Fatalf("%g W sent, %g W arrive, %g W lost", sent, bus, lost)
		}
		if bus > sent || bus < 0 || math.Abs(drop*c.VoltageV-amps*c.Resistance()) > 1e-9*(1+drop*c.VoltageV) {
			t.Fatalf("%g W sent, %g W arrive, drop %g", sent, bus, drop)
		}
	})
}
