package storage_test

import (
	"testing"

	"sunrill/storage"
)

// Charge rates that makers allow: flooded lead-acid a tenth to an eighth of the
// 20 h capacity an hour (10 to 13 %), absorbed glass mat up to a fifth or so, so
// that a charger sized by the rule neither boils nor starves the bank. Common
// practice; the ranges are those of the trade, not of a page.
func TestChargeRatesAreTheTrades(t *testing.T) {
	for name, within := range map[string][2]float64{"flooded": {0.10, 0.13}, "agm": {0.10, 0.25}, "lfp": {0.2, 0.5}} {
		b, _ := storage.Preset(name, 1000, 12)
		if rate := b.MaxChargeW / b.CapacityWh; rate < within[0] || rate > within[1] {
			t.Errorf("%s charges at %.2f of its capacity an hour, common practice is %v", name, rate, within)
		}
	}
}

// Below the coldest point of the table the capacity stays what it was there: a
// bank at −30 °C has no more than at −20 °C, and the floor above it is
// 1 − 0.55 × 0.5, the table's 0.55 of −20 °C.
func TestFloorBelowTheTable(t *testing.T) {
	b, _ := storage.Preset("flooded", 1000, 12)
	for _, c := range []float64{-20, -25, -40} {
		near(t, "share", b.CapacityFraction(c), 0.55, 1e-12)
		near(t, "floor", b.FloorAt(c), 1-0.55*0.5, 1e-12)
	}
	last := 1.0
	for c := 25.0; c >= -45; c-- {
		if s := b.CapacityFraction(c); s > last || s <= 0 {
			t.Fatalf("%g °C leaves %g of the capacity, warmer air %g", c, s, last)
		} else {
			last = s
		}
	}
}
