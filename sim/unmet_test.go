package sim_test

import (
	"testing"

	"pgregory.net/rapid"

	"sunrill/sim"
)

// Banks taken through the hours together have the unmet hours that each has by
// itself, whatever stands at the bus.
func TestUnmetHoursTogetherAndAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 20)
		plain := b
		plain.Generator, plain.Bank.ReconnectSoC = nil, 0
		buses := []sim.Bus{b, plain}
		for _, times := range []float64{0, 0.3, 1, 2.5, 40} {
			one := plain
			one.Bank = plain.Bank.Scaled(times * plain.Bank.CapacityWh)
			buses = append(buses, one)
		}
		got, over := sim.UnmetHours(in, buses)
		for i, t0 := range sim.Tallies(in, buses) {
			if got[i] != t0.UnmetHours || over != t0.OverHours {
				t.Fatalf("bank %d of %g Wh: %d unmet hours, %d over; by itself %d and %d", i, buses[i].Bank.CapacityWh, got[i], over, t0.UnmetHours, t0.OverHours)
			}
		}
	})
}
