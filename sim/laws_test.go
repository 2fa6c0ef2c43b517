package sim_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim"
)

// Run checks the books of each hour by itself, to 1e-9; here they are added up
// again by other means.
func TestBooksClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 30)
		y, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		var served, unmet, bankIn, bankOut float64
		for h := range y.SoC {
			served += y.ServedW[h]
			unmet += y.UnmetW[h]
			bankIn += y.BankInW[h]
			bankOut += y.BankOutW[h]
			for _, w := range []float64{y.ServedW[h], y.UnmetW[h], y.FlexibleW[h], y.BankInW[h], y.BankOutW[h],
				y.GeneratorW[h], y.DumpW[h], y.OverDumpW[h], y.CurtailedW[h]} {
				if w < 0 {
					t.Fatalf("hour %d: a power of %g W is negative", h, w)
				}
			}
		}
		c := y.Tally
		all := c.PVWh + c.HydroWh + c.GeneratorWh + c.BankOutWh + 1
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*all {
				t.Fatalf("%s: %.9g Wh, want %.9g Wh", what, got, want)
			}
		}
		near("served", c.ServedWh, served)
		near("unmet", c.UnmetWh, unmet)
		near("what came and what went", c.PVWh+c.HydroWh+c.GeneratorWh+bankOut,
			served+c.FlexibleWh+bankIn+c.DumpWh+c.OverDumpWh+c.CurtailedWh)
		near("the bank", b.Start().StoredWh+bankIn-bankOut-c.LostWh, y.StoredWh[len(y.StoredWh)-1])
	})
}

func TestSpansJoinToTheRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 20)
		y, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		var c sim.Tally
		s, h := b.Start(), 0
		for h < in.Hours() {
			to := min(in.Hours(), h+rapid.IntRange(1, 200).Draw(t, "hours"))
			s = b.Span(in, s, h, to, &c)
			h = to
		}
		if c != y.Tally {
			t.Fatalf("spans give\n%+v, the run\n%+v", c, y.Tally)
		}
		if got := sim.Tallies(in, []sim.Bus{b, b})[1]; got != y.Tally {
			t.Fatalf("Tallies gives\n%+v, the run\n%+v", got, y.Tally)
		}
	})
}
