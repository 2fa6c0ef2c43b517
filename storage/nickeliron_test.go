package storage_test

import (
	"testing"

	"sunrill/storage"
)

// A bank of 48 V is 40 cells of 1.2 V; 400 Ah gas with 5 A per 100 Ah:
// Q = 0.05 × 40 × 20 = 40 m³/h, four times a flooded bank's 9.6. (The formula is
// the standard's, the current from memory.)
func TestNickelIron(t *testing.T) {
	b, ok := storage.Preset("nickel-iron", 19200, 48)
	if !ok {
		t.Fatal("no such preset")
	}
	v, ok := b.Vent()
	if !ok {
		t.Fatal("it gives off no gas")
	}
	near(t, "air", v.AirM3H, 40, 1e-9)
	if _, ok := b.VentEqualising(); ok {
		t.Error("it is equalised")
	}
	near(t, "round trip", b.ChargeEfficiency*b.DischargeEfficiency, 0.65, 0.005)
	near(t, "floor", b.FloorSoC, 0.2, 0)
	near(t, "charge in the cold", b.ChargeLimitAt(-20), b.MaxChargeW, 0)
	if b.Kind().SeldomFull != "" {
		t.Error("it suffers from being seldom full")
	}
	if unknown := (&storage.Bank{CapacityWh: 1, VoltageV: 1}); unknown.Kind().Cautions != nil {
		t.Error("a bank of no known chemistry has cautions")
	}
}
