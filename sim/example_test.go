package sim_test

import (
	"fmt"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// Two days of a cabin: six hours of sun, lights in the evening, and a trickle
// of hydro that the bank catches by night.
func ExampleRun() {
	const n = 48
	in := &sim.Input{
		Start:   time.Date(2016, time.December, 1, 0, 0, 0, 0, time.UTC),
		Sources: sim.PanelsAndCreek(make([]float64, n), make([]float64, n)), DemandW: make([]float64, n),
	}
	for h := range n {
		in.W(sim.Creek)[h], in.DemandW[h] = 40, 60
		if clock := h % 24; clock >= 9 && clock < 15 {
			in.W(sim.Panels)[h] = 150
		} else if clock >= 17 && clock < 22 {
			in.DemandW[h] = 300
		}
	}
	bank, _ := storage.Preset("lfp", 1200, 24)
	y, err := sim.Run(in, sim.Bus{Bank: bank, DumpW: 200})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := sim.Summarize(y)
	fmt.Printf("asked %.1f kWh, served %.1f kWh, short in %d hours\n", s.Tally.DemandWh/1000, s.Tally.ServedWh/1000, s.UnmetHours)
	fmt.Printf("the bank sinks to %.0f %%; the deepest deficit is %.1f kWh\n", 100*s.MinSoC, s.DeepestDeficit.DepthWh/1000)
	// Output:
	// asked 5.3 kWh, served 4.0 kWh, short in 18 hours
	// the bank sinks to 20 %; the deepest deficit is 2.3 kWh
}

// A bigger bank of the same kind, beside the first.
func ExampleTallies() {
	in := year()
	var buses []sim.Bus
	for _, kWh := range []float64{0, 5, 10, 20} {
		bank, _ := storage.Preset("lfp", 1000*kWh, 48)
		buses = append(buses, sim.Bus{Bank: bank, DumpW: 500})
	}
	for i, t := range sim.Tallies(in, buses) {
		fmt.Printf("%4.0f kWh: short in %d hours\n", buses[i].Bank.CapacityWh/1000, t.UnmetHours)
	}
	// Output:
	//    0 kWh: short in 5378 hours
	//    5 kWh: short in 2807 hours
	//   10 kWh: short in 2723 hours
	//   20 kWh: short in 2620 hours
}
