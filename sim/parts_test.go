package sim

import "testing"
import "time"

func BenchmarkParts(b *testing.B) {
	n := 8760
	in := &Input{Start: time.Now(), PVW: make([]float64, n), HydroW: make([]float64, n), DemandW: make([]float64, n)}
	for h := range n {
		in.PVW[h] = float64(h % 700)
		in.DemandW[h] = float64(h % 500)
	}
	bus := Bus{}
	bus.Bank.CapacityWh = 5000
	bus.Bank.MaxChargeW, bus.Bank.MaxDischargeW = 500, 500
	bus.Bank.ChargeEfficiency, bus.Bank.DischargeEfficiency = 0.9, 0.9
	y, err := Run(in, bus)
	if err != nil {
		b.Fatal(err)
	}
	best := func(b *testing.B, f func()) {
		least := time.Hour
		for b.Loop() {
			t := time.Now()
			f()
			least = min(least, time.Since(t))
		}
		b.ReportMetric(float64(least)/1e3, "best-µs")
	}
	b.Run("alloc", func(b *testing.B) { best(b, func() { newYear(in, bus) }) })
	b.Run("span", func(b *testing.B) {
		best(b, func() {
			p := bus.ready(in)
			var t Tally
			p.span(in, State{}, 0, n, &t, nil)
		})
	})
	b.Run("spanput", func(b *testing.B) {
		best(b, func() {
			p := bus.ready(in)
			var t Tally
			p.span(in, State{}, 0, n, &t, y)
		})
	})
}
