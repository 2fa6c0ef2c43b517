package sim_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim"
	"sunrill/storage"
)

// Run checks the energy balance of each hour by itself; here it is gone over again
// from the slices that it gives, hour by hour and in sum.
func TestEnergyBalanceCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 30)
		y, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		var served, unmet, bankIn, bankOut float64
		stored := b.Start().StoredWh
		inEff, perOut := b.Bank.ChargeEfficiency, 1/b.Bank.DischargeEfficiency
		for h := range y.SoC {
			came := sourcesW(in, h) + y.GeneratorW[h] + y.BankOutW[h]
			went := y.ServedW[h] + y.FlexibleW[h] + y.BankInW[h] + y.DumpW[h] + y.OverDumpW[h] + y.CurtailedW[h]
			tolerance := 1e-9 * (came + in.DemandW[h])
			if math.Abs(came-went) > tolerance || math.Abs(y.ServedW[h]+y.UnmetW[h]-in.DemandW[h]) > tolerance {
				t.Fatalf("hour %d: %g W came, %g W went; %g W asked, %g W served, %g W unmet", h, came, went, in.DemandW[h], y.ServedW[h], y.UnmetW[h])
			}
			kept := stored*(1-b.Bank.SelfDischargePerH) + y.BankInW[h]*inEff - y.BankOutW[h]*perOut
			stored = y.StoredWh[h]
			if math.Abs(kept-stored) > tolerance+1e-9*b.Bank.CapacityWh {
				t.Fatalf("hour %d: the bank should hold %.12g Wh and holds %.12g Wh", h, kept, stored)
			}
			floor := b.Bank.FloorSoC * b.Bank.CapacityWh
			if stored < 0 || stored > b.Bank.CapacityWh || y.BankOutW[h] > 0 && stored < floor {
				t.Fatalf("hour %d: %g Wh is outside %g to %g Wh", h, stored, floor, b.Bank.CapacityWh)
			}
			if y.BankInW[h] > b.Bank.MaxChargeW+tolerance || y.BankOutW[h] > b.Bank.MaxDischargeW+tolerance || y.BankInW[h] > 0 && y.BankOutW[h] > 0 {
				t.Fatalf("hour %d: the bank takes %g W and gives %g W", h, y.BankInW[h], y.BankOutW[h])
			}
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
		given := in.Given().Total()
		all := given + c.GeneratorWh + c.BankOutWh + 1
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*all {
				t.Fatalf("%s: %.9g Wh, want %.9g Wh", what, got, want)
			}
		}
		near("served", c.ServedWh, served)
		near("unmet", c.UnmetWh, unmet)
		near("what came and what went", given+c.GeneratorWh+bankOut,
			served+c.FlexibleWh+bankIn+c.DumpWh+c.OverDumpWh+c.CurtailedWh)
		near("the bank", b.Start().StoredWh+bankIn-bankOut-c.LostWh, y.StoredWh[len(y.StoredWh)-1])
	})
}

func sourcesW(in *sim.Input, h int) float64 {
	sum := 0.0
	for _, s := range in.Sources {
		sum += s.W[h]
	}
	return sum
}

// A run in the memory of another, longer or shorter and with other parts, is
// the run in memory of its own.
func TestRerunIsRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var again sim.Year
		for range 3 {
			in, b := homestead(t, rapid.IntRange(1, 12).Draw(t, "days"))
			want, err := sim.Run(in, b)
			if err != nil {
				t.Fatal(err)
			}
			got, err := sim.Rerun(&again, in, b)
			if err != nil || got != &again {
				t.Fatalf("Rerun = %p, %v, not the year that it was given", got, err)
			}
			if got.In != in || got.Tally != want.Tally {
				t.Fatalf("tally %+v, in memory of its own %+v", got.Tally, want.Tally)
			}
			for name, s := range map[string][2][]float64{
				"served": {got.ServedW, want.ServedW}, "unmet": {got.UnmetW, want.UnmetW}, "flexible": {got.FlexibleW, want.FlexibleW},
				"bank in": {got.BankInW, want.BankInW}, "bank out": {got.BankOutW, want.BankOutW}, "generator": {got.GeneratorW, want.GeneratorW},
				"dump": {got.DumpW, want.DumpW}, "over dump": {got.OverDumpW, want.OverDumpW}, "curtailed": {got.CurtailedW, want.CurtailedW},
				"stored": {got.StoredWh, want.StoredWh}, "SoC": {got.SoC, want.SoC},
			} {
				if !slices.Equal(s[0], s[1]) {
					t.Fatalf("%s differs from the run in memory of its own", name)
				}
			}
		}
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
		// One of several banks.
		small, big := b, b
		small.Bank, big.Bank = b.Bank.Scaled(300), b.Bank.Scaled(30000)
		if got := sim.Tallies(in, []sim.Bus{small, b, big})[1]; got != y.Tally {
			t.Fatalf("Tallies gives\n%+v, the run\n%+v", got, y.Tally)
		}
	})
}

// With a bucket in a steady place, without leaks and without a disconnect's
// hysteresis, a bigger bank of the same kind has in every hour at least as
// much to give and at least as much room. (Leaks break the law: more charge
// leaks more. So does a shed: more capacity, more of it out of reach in the
// cold.)
func TestBiggerBucketNeverServesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 40)
		in.BankC, b.Generator = nil, nil
		k := &b.Bank
		k.Model, k.SelfDischargePerH, k.ReconnectSoC, k.IndoorC = storage.Bucket, 0, 0, 25
		k.StartSoC = max(k.StartSoC, k.FloorSoC)
		bigger := b
		bigger.Bank = k.Scaled(k.CapacityWh * rapid.Float64Range(1, 5).Draw(t, "times"))
		ts := sim.Tallies(in, []sim.Bus{b, bigger})
		if ts[1].ServedWh < ts[0].ServedWh-1e-9*(ts[0].DemandWh+k.CapacityWh) {
			t.Fatalf("%g Wh serve %.9g Wh, %g Wh serve %.9g Wh", k.CapacityWh, ts[0].ServedWh, bigger.Bank.CapacityWh, ts[1].ServedWh)
		}
	})
}

// Efficiencies of 1, no limits and a big bank leave a sum that can be done by hand.
func TestBigIdealBankIsAPencilSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 30)
		in.OverW, in.FlexibleW, in.FlexibleWh, in.BankC, b.Generator = nil, nil, nil, nil, nil
		b.Bank = storage.Bank{CapacityWh: 1e7, StartSoC: 0.5, ChargeEfficiency: 1, DischargeEfficiency: 1, MaxChargeW: 1e6, MaxDischargeW: 1e6}
		y, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		stored := 5e6
		for h := range in.DemandW {
			stored += sourcesW(in, h) - in.DemandW[h]
		}
		if got := y.StoredWh[len(y.StoredWh)-1]; math.Abs(got-stored) > 1e-3 || y.Tally.UnmetWh != 0 || y.Tally.CurtailedWh != 0 || y.Tally.DumpWh != 0 {
			t.Fatalf("the bank ends with %.9g Wh, by pencil %.9g Wh; %+v", got, stored, y.Tally)
		}
	})
}

// Where two states meet, all that follows is the same.
func TestStatesThatMeetStayTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 30)
		a, c := b.Start(), b.Start()
		c.StoredWh *= 0.9
		c.AvailableWh *= 0.9
		met := false
		for h := range in.Hours() {
			var ta, tc sim.Tally
			a, c = b.Span(in, a, h, h+1, &ta), b.Span(in, c, h, h+1, &tc)
			if met && (!a.Meets(c, 2*b.Bank.CapacityWh) || ta.UnmetHours != tc.UnmetHours || math.Abs(ta.UnmetWh-tc.UnmetWh) > 1e-3) {
				t.Fatalf("hour %d: met before, now %+v and %+v", h, a, c)
			}
			met = met || a.Meets(c, b.Bank.CapacityWh)
		}
	})
}

// Neither well holds less than nothing or more than its width.
func TestWellsStayWithinTheirWalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 20)
		b.Bank.Model = storage.TwoWell
		c, full := b.Bank.WellFraction, b.Bank.CapacityWh
		s := b.Start()
		var tally sim.Tally
		for h := range in.Hours() {
			s = b.Span(in, s, h, h+1, &tally)
			bound, tolerance := s.StoredWh-s.AvailableWh, 1e-9*full
			if s.AvailableWh < 0 || s.AvailableWh > c*full+tolerance || bound < -tolerance || bound > (1-c)*full+tolerance {
				t.Fatalf("hour %d: %g Wh available of at most %g Wh, %g Wh bound of at most %g Wh", h, s.AvailableWh, c*full, bound, (1-c)*full)
			}
		}
	})
}

// With a well as wide as the bank nothing is bound, and two wells are a bucket.
func TestOneWideWellIsABucket(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 20)
		wide := b
		b.Bank.Model = storage.Bucket
		wide.Bank.Model, wide.Bank.WellFraction = storage.TwoWell, 1
		b.Generator, wide.Generator = nil, nil // whose start can hang on the last bit
		one, two := b.Span(in, b.Start(), 0, in.Hours(), new(sim.Tally)), wide.Span(in, wide.Start(), 0, in.Hours(), new(sim.Tally))
		if math.Abs(one.StoredWh-two.StoredWh) > 1e-6*b.Bank.CapacityWh || math.Abs(two.AvailableWh-two.StoredWh) > 1e-6*b.Bank.CapacityWh {
			t.Fatalf("the bucket ends with %g Wh, the well with %g Wh, %g Wh of it available", one.StoredWh, two.StoredWh, two.AvailableWh)
		}
	})
}

// Flexible loads take only what would be thrown away: bank and house fare the
// same without them, and what they get is missing from dump load and panels.
func TestFlexibleLoadsTakeOnlyWhatIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 30)
		plain := *in
		plain.FlexibleW, plain.FlexibleWh, plain.WeeklyW, plain.WeeklyWh, plain.TogetherW = nil, nil, nil, nil, nil
		with, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		without, err := sim.Run(&plain, b)
		if err != nil {
			t.Fatal(err)
		}
		day, week := 0.0, 0.0
		for h := range with.UnmetW {
			left := without.DumpW[h] + without.OverDumpW[h] + without.CurtailedW[h]
			rest := with.DumpW[h] + with.OverDumpW[h] + with.CurtailedW[h]
			tolerance := 1e-9*b.Bank.CapacityWh + 1e-6
			if math.Abs(with.StoredWh[h]-without.StoredWh[h]) > tolerance || math.Abs(with.UnmetW[h]-without.UnmetW[h]) > tolerance || math.Abs(left-rest-with.FlexibleW[h]) > tolerance {
				t.Fatalf("hour %d: %g Wh and %g W unmet, without flexible loads %g Wh and %g W; of %g W left they take %g W and leave %g W",
					h, with.StoredWh[h], with.UnmetW[h], without.StoredWh[h], without.UnmetW[h], left, with.FlexibleW[h], rest)
			}
			if in.FlexibleW == nil {
				continue
			}
			if h%24 == 0 {
				day = in.FlexibleWh[h/24]
			}
			if in.WeeklyW != nil && h%168 == 0 {
				week = in.WeeklyWh[h/168]
			}
			maximum := day + week
			if day -= with.FlexibleW[h]; day < 0 { // at least so much was for the week
				week, day = week+day, 0
			}
			if with.FlexibleW[h] > maximum+tolerance {
				t.Fatalf("hour %d: %g W for a need of %g Wh", h, with.FlexibleW[h], maximum)
			}
		}
	})
}
