package sim_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim"
	"sunrill/storage"
)

// plainYear is the second opinion: the hour on the bus written down straight
// from the rules and equations, with nothing prepared and no thought of speed.
// It returns the same slices as Run, and the tally as far as it can be counted
// from them.
func plainYear(in *sim.Input, b sim.Bus) *sim.Year {
	n := len(in.DemandW)
	series := func() []float64 { return make([]float64, n) }
	y := &sim.Year{
		In: in, Bus: b, ServedW: series(), UnmetW: series(), FlexibleW: series(), BankInW: series(), BankOutW: series(),
		GeneratorW: series(), DumpW: series(), OverDumpW: series(), CurtailedW: series(), StoredWh: series(), SoC: series(),
	}
	k := b.Bank
	cap := k.CapacityWh
	c := 1.0
	if k.Model == storage.TwoWell {
		c = k.WellFraction
	}
	q := k.StartSoC * cap
	q1 := c * q
	off, genHours, need, weekNeed := false, 0, 0.0, 0.0
	y.Tally.MinSoC = math.Inf(1)

	for h := range n {
		tempC := k.IndoorC
		if in.BankC != nil {
			tempC = in.BankC[h]
		}
		floor := k.FloorAt(tempC) * cap
		if in.FlexibleW != nil && h%24 == 0 {
			need = in.FlexibleWh[h/24]
		}
		if in.WeeklyW != nil && h%(7*24) == 0 {
			weekNeed = in.WeeklyWh[h/(7*24)]
		}

		// The generator and the disconnect look at the charge that they find.
		quiet := false
		if g := b.Generator; g != nil && g.QuietFromH != g.QuietToH {
			clock := (in.Start.Hour() + h) % 24
			for q := g.QuietFromH; q%24 != g.QuietToH; q++ {
				quiet = quiet || q%24 == clock
			}
		}
		running := false
		if g := b.Generator; g != nil && !quiet {
			stop := math.Min(g.StopSoC, sim.FullSoC) * cap
			switch {
			case genHours > 0:
				running = genHours < g.MinRunH || q < stop
			case cap > 0:
				running = q <= g.StartSoC*cap || off && q < k.ReconnectSoC*cap
			}
		}
		wasOff := off
		if off && (q >= k.ReconnectSoC*cap || running) {
			off = false
		}
		cannot := 0.0
		if in.OverW != nil {
			cannot = in.OverW[h]
		}
		firm := in.DemandW[h] - cannot
		if off {
			firm = 0
		}

		// Leaks first, then what the bank can take and give in this hour.
		q *= 1 - k.SelfDischargePerH
		q1 *= 1 - k.SelfDischargePerH
		canTake, canGive := 0.0, 0.0
		if cap > 0 {
			room, above := cap-q, q-floor
			if k.Model == storage.TwoWell {
				r := math.Exp(-k.WellRatePerH)
				pull := (1 - r + c*(k.WellRatePerH-1+r)) / k.WellRatePerH
				room = math.Min(room, -(-c*cap+q1*r+q*c*(1-r))/pull)
				above = math.Min(above, (q1*r+q*c*(1-r))/pull)
			}
			canGive = math.Max(0, math.Min(k.MaxDischargeW, above*k.DischargeEfficiency))
			canTake = math.Max(0, math.Min(k.ChargeLimitAt(tempC), room/k.ChargeEfficiency))
		}

		// Hydro and its like, then panels and theirs, to the house.
		hydro, pv := 0.0, 0.0
		for _, s := range in.Sources {
			if s.Throttled {
				pv += s.W[h]
			} else {
				hydro += s.W[h]
			}
		}
		hydroToHouse := math.Min(hydro, firm)
		pvToHouse := math.Min(pv, firm-hydroToHouse)
		short := firm - hydroToHouse - pvToHouse
		hydroLeft, pvLeft := hydro-hydroToHouse, pv-pvToHouse

		// What is left charges the bank, hydro first, then flexible loads.
		take := func(limit float64) float64 {
			byHydro := math.Min(hydroLeft, limit)
			byPV := math.Min(pvLeft, limit-byHydro)
			hydroLeft -= byHydro
			pvLeft -= byPV
			return byHydro + byPV
		}
		charge := take(canTake)
		if in.FlexibleW != nil {
			y.FlexibleW[h] = take(math.Min(in.FlexibleW[h], need))
			need -= y.FlexibleW[h]
			if in.WeeklyW != nil {
				weekly := take(math.Min(in.TogetherW[h]-y.FlexibleW[h], math.Min(in.WeeklyW[h], weekNeed)))
				weekNeed -= weekly
				y.FlexibleW[h] += weekly
			}
		}
		y.DumpW[h] = math.Min(hydroLeft, b.DumpW)
		y.OverDumpW[h] = hydroLeft - y.DumpW[h]
		y.CurtailedW[h] = pvLeft

		// Short: a generator that runs, the bank, one that is started now.
		give := 0.0
		fromGen := func(limit float64) float64 {
			g := math.Max(0, math.Min(limit, b.Generator.RatedW-y.GeneratorW[h]))
			y.GeneratorW[h] += g
			return g
		}
		if running {
			short -= fromGen(short)
		}
		give = math.Min(short, canGive)
		short -= give
		if b.Generator != nil && !running && !quiet && short > sim.UnmetThresholdW {
			running = true
			short -= fromGen(short)
		} else if running && give == 0 && short == 0 {
			charge += fromGen(canTake - charge)
		}
		if running && y.GeneratorW[h] == 0 && !wasOff && (genHours == 0 || genHours >= b.Generator.MinRunH) {
			running = false
		}
		y.ServedW[h], y.UnmetW[h] = firm-short, in.DemandW[h]-firm+short
		y.BankInW[h], y.BankOutW[h] = charge, give

		// The wells after the hour.
		draw := 0.0
		if cap > 0 {
			draw = give/k.DischargeEfficiency - charge*k.ChargeEfficiency
		}
		if k.Model == storage.TwoWell && cap > 0 {
			kk := k.WellRatePerH
			r := math.Exp(-kk)
			q1 = q1*r + (q*kk*c-draw)*(1-r)/kk - draw*c*(kk-1+r)/kk
		}
		q -= draw
		y.StoredWh[h] = q
		if cap > 0 {
			y.SoC[h] = q / cap
			// It opens where the cells have no more to give, whatever they may give an hour.
			off = off || k.ReconnectSoC > 0 && short > sim.UnmetThresholdW && canGive < k.MaxDischargeW
		}
		if running {
			genHours++
			y.Tally.GeneratorHours++
		} else {
			genHours = 0
		}
		if y.UnmetW[h] > sim.UnmetThresholdW {
			y.Tally.UnmetHours++
		}
		if y.OverDumpW[h] > sim.UnmetThresholdW {
			y.Tally.HazardHours++
		}
		if cap > 0 && y.SoC[h] < k.ComfortSoC-1e-9 {
			y.Tally.LowHours++
		}
		y.Tally.MinSoC = math.Min(y.Tally.MinSoC, y.SoC[h])
	}
	return y
}

// The engine agrees with the second opinion in every quantity of every hour of
// a hundred years, to 1e-9 of what bank and house deal in.
func TestRunAgainstPlainEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 365)
		got, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		want := plainYear(in, b)
		for name, pair := range map[string][2][]float64{
			"served": {got.ServedW, want.ServedW}, "unmet": {got.UnmetW, want.UnmetW}, "flexible": {got.FlexibleW, want.FlexibleW},
			"bank in": {got.BankInW, want.BankInW}, "bank out": {got.BankOutW, want.BankOutW}, "generator": {got.GeneratorW, want.GeneratorW},
			"dump": {got.DumpW, want.DumpW}, "over dump": {got.OverDumpW, want.OverDumpW}, "curtailed": {got.CurtailedW, want.CurtailedW},
			"stored": {got.StoredWh, want.StoredWh}, "SoC": {got.SoC, want.SoC},
		} {
			tolerance := 1e-9 * (b.Bank.CapacityWh + 3000)
			if name == "SoC" {
				tolerance = 1e-9
			}
			for h := range pair[0] {
				if math.Abs(pair[0][h]-pair[1][h]) > tolerance {
					t.Fatalf("%s in hour %d: %.9g, by the plain equations %.9g", name, h, pair[0][h], pair[1][h])
				}
			}
		}
		g, w := got.Tally, want.Tally
		if g.UnmetHours != w.UnmetHours || g.HazardHours != w.HazardHours || g.LowHours != w.LowHours || g.GeneratorHours != w.GeneratorHours ||
			math.Abs(g.MinSoC-w.MinSoC) > 1e-9 {
			t.Fatalf("counted %+v, by the plain equations %+v", g, w)
		}
	})
}
