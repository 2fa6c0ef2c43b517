package sim_test

import (
	"testing"

	"sunrill/sim"
	"sunrill/storage"
)

// Cold that lifts the floor above the charge empties no house that its sources
// carry: 144 W of water, 134 W of load, an idle bank.
func TestDisconnectLeavesAHouseThatSourcesCarry(t *testing.T) {
	bank := ideal()
	bank.FloorSoC, bank.ReconnectSoC, bank.StartSoC = 0.2, 0.6, 0.5
	bank.MaxChargeW = 0
	bank.CapacityByTemp = []storage.TempPoint{{TempC: -20, Fraction: 0.3}, {TempC: 20, Fraction: 1}}
	in := hours(fill(24, 0), fill(24, 144), fill(24, 134))
	in.BankC = fill(24, -20) // the floor is at 1 − 0.3 × 0.8 = 76 %, the charge at 50 %
	y := mustRun(t, in, sim.Bus{Bank: bank, DumpW: 100})
	if y.Tally.UnmetHours != 0 {
		t.Errorf("%d unmet hours while the water gives more than the house asks", y.Tally.UnmetHours)
	}
	in.DemandW[12] = 200 // and a shortage does open it
	y = mustRun(t, in, sim.Bus{Bank: bank, DumpW: 100})
	near(t, "the short hour", y.UnmetW[12], 56, 1e-9)
	near(t, "the hours behind the open disconnect", y.ServedW[13]+y.ServedW[23], 0, 1e-9)
}

// An empty available well is a shortage as an empty bucket is.
func TestDisconnectWithAnEmptyAvailableWell(t *testing.T) {
	bank := ideal()
	bank.Model, bank.WellFraction, bank.WellRatePerH = storage.TwoWell, 0.3, 0.01
	bank.FloorSoC, bank.ReconnectSoC = 0, 0.95
	in := hours(fill(6, 0), fill(6, 0), fill(6, 250))
	y := mustRun(t, in, sim.Bus{Bank: bank})
	if y.UnmetW[1] < 1 || y.StoredWh[1] < 500 {
		t.Fatalf("the second hour is short of %g W with %g Wh in the bank: the test needs an empty available well in a bank that is not", y.UnmetW[1], y.StoredWh[1])
	}
	near(t, "served behind the open disconnect", y.ServedW[2], 0, 1e-9)
}

// A limit of power is no empty bank: it leaves the house on.
func TestDisconnectIgnoresALimitOfPower(t *testing.T) {
	bank := ideal()
	bank.FloorSoC, bank.ReconnectSoC, bank.MaxDischargeW = 0.1, 0.9, 50
	in := hours(fill(4, 0), fill(4, 0), fill(4, 80))
	y := mustRun(t, in, sim.Bus{Bank: bank})
	near(t, "served in the last hour", y.ServedW[3], 50, 1e-9)
}

// A generator with nothing to carry stops when its shortest run is over, though
// the bank is not yet where it usually stops.
func TestGeneratorStopsWithNothingToDo(t *testing.T) {
	bank := ideal()
	bank.StartSoC, bank.MaxChargeW = 0.35, 50
	g := &sim.Generator{RatedW: 500, StartSoC: 0.3, StopSoC: 0.8, MinRunH: 2, FuelIdleLH: 0.3, FuelLPerKWh: 0.5}
	demand := fill(12, 100)
	sun := fill(12, 0)
	for h := 3; h < 12; h++ {
		sun[h] = 400 // carries the house and gives the bank all that it takes
	}
	y := mustRun(t, hours(sun, fill(12, 0), demand), sim.Bus{Bank: bank, Generator: g})
	// 250 Wh after the first hour; it runs in the second and the third, then
	// the sun does all.
	for h, want := range []float64{0, 150, 150, 0, 0, 0} {
		near(t, "generator", y.GeneratorW[h], want, 1e-9)
	}
	if y.Tally.GeneratorHours != 2 {
		t.Errorf("it runs %d hours, of which 2 carry anything", y.Tally.GeneratorHours)
	}
	near(t, "fuel", y.Tally.FuelL, 0.3*2+0.5*0.3, 1e-9)
}
