package sizing_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/sim"
	"sunrill/storage"
)

// With a store that loses nothing and knows no limits, the smallest bank
// without an unmet watt hour is the greatest fall of the mass curve: Rippl
// (1883), The capacity of storage-reservoirs for water supply.
func TestSmallestIdealBankAgainstRipplsMassCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawnInput(t, 20)
		peakWh := sim.Deficits(in, bankOf(1, 1), nil)
		unmet := func(capacityWh float64) float64 {
			return sim.Tallies(in, []sim.Bus{{Bank: ideal(capacityWh), DumpW: 1e9}})[0].UnmetWh
		}
		// Halve the span between a bank that misses something and one that
		// does not, by running the years.
		low, high := 0.0, 1e6
		if unmet(high) > 1e-6 {
			t.Fatalf("1,000 kWh still leave %g Wh unmet", unmet(high))
		}
		for range 60 {
			mid := (low + high) / 2
			if unmet(mid) > 1e-7 {
				low = mid
			} else {
				high = mid
			}
		}
		if math.Abs(high-peakWh) > 1e-6*math.Max(peakWh, 1) {
			t.Fatalf("the smallest bank without unmet hours is %.9g Wh, the mass curve says %.9g Wh", high, peakWh)
		}
	})
}

// drawnInput draws some days of sources and demand.
func drawnInput(t *rapid.T, days int) *sim.Input {
	n := 24 * days
	draw := func(name string) []float64 {
		few := rapid.SliceOfN(rapid.Float64Range(0, 1000), 29, 29).Draw(t, name)
		s := make([]float64, n)
		for h := range s {
			s[h] = few[(h+h/24)%len(few)]
		}
		return s
	}
	in := &sim.Input{Start: time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC), Sources: sim.PanelsAndCreek(draw("pv"), draw("hydro")), DemandW: draw("demand")}
	weaker := rapid.Float64Range(0.2, 1.2).Draw(t, "strength of the sources")
	for h := range in.W(sim.Panels) {
		in.W(sim.Panels)[h] *= weaker
		if h%24 < 8 || h%24 > 16 {
			in.W(sim.Panels)[h] = 0
		}
	}
	return in
}

// A mass curve by hand: 5 Wh short, 2 over, 4 short, then 10 over; the falls
// are 5, 3, 7, 0.
func TestMassCurveByHand(t *testing.T) {
	in := &sim.Input{
		Start:   time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC),
		Sources: sim.PanelsAndCreek([]float64{5, 0, 2, 0, 10, 0}, make([]float64, 6)),
		DemandW: []float64{4, 5, 0, 4, 0, 1},
	}
	var stretches []sim.Spell
	peak := sim.Deficits(in, bankOf(1, 1), func(d sim.Spell) { stretches = append(stretches, d) })
	if peak != 7 {
		t.Errorf("greatest fall %g Wh, by hand 7", peak)
	}
	want := []sim.Spell{{Start: 1, Hours: 4, DepthWh: 7}, {Start: 5, Hours: 1, DepthWh: 1, LeftWh: 1}}
	if len(stretches) != 2 || stretches[0] != want[0] || stretches[1] != want[1] {
		t.Errorf("stretches %+v, by hand %+v", stretches, want)
	}
	// Half of what goes in is lost, and half of what comes out: 10, 9, 17 Wh.
	if got := sim.Deficits(in, bankOf(0.5, 0.5), nil); got != 17 {
		t.Errorf("with losses the greatest fall is %g Wh, by hand 17", got)
	}
}

// bankOf is a bank of these efficiencies.
func bankOf(charge, discharge float64) *storage.Bank {
	return &storage.Bank{CapacityWh: 1, ChargeEfficiency: charge, DischargeEfficiency: discharge}
}

// How far a bank that is never too small falls when it is run is the mass
// curve's greatest fall.
func TestMassCurveAgainstARunOfTheYear(t *testing.T) {
	in := homestead(1)[0]
	bank := ideal(1e6)
	bank.ChargeEfficiency, bank.DischargeEfficiency = 0.9, 0.95
	y, err := sim.Run(in, sim.Bus{Bank: bank, DumpW: 1e9})
	if err != nil {
		t.Fatal(err)
	}
	lowest := 1e6
	for _, wh := range y.StoredWh {
		lowest = math.Min(lowest, wh)
	}
	peak := sim.Deficits(in, &bank, nil)
	if math.Abs(1e6-lowest-peak) > 1e-3 {
		t.Errorf("a 1,000 kWh bank falls by %.3f Wh, the mass curve by %.3f Wh", 1e6-lowest, peak)
	}
}
