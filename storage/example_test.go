package storage_test

import (
	"fmt"

	"sunrill/storage"
)

// A flooded bank of 400 Ah at 48 V, on a day that takes it down to 70 %.
func ExamplePreset() {
	bank, _ := storage.Preset("flooded", 19200, 48)
	fmt.Printf("usable at 25 °C %.1f kWh, at 0 °C %.1f kWh\n",
		(1-bank.FloorAt(25))*bank.CapacityWh/1000, (1-bank.FloorAt(0))*bank.CapacityWh/1000)
	fmt.Printf("%.0f cycles of 30 %%\n", bank.CyclesAt(0.3))
	vent, _ := bank.Vent()
	fmt.Printf("%.1f m³/h of fresh air while charging\n", vent.AirM3H)
	// Output:
	// usable at 25 °C 9.6 kWh, at 0 °C 8.1 kWh
	// 2074 cycles of 30 %
	// 9.6 m³/h of fresh air while charging
}

// ASTM E1049-85, section 5.4.4, figure 6.
func ExampleRainflow() {
	for _, c := range storage.Rainflow([]float64{-2, 1, -3, 5, -1, 3, -4, 4, -2}) {
		fmt.Printf("%.1f cycle of range %g about %g\n", c.Count, c.Range, c.Mean)
	}
	// Output:
	// 0.5 cycle of range 3 about -0.5
	// 0.5 cycle of range 4 about -1
	// 1.0 cycle of range 4 about 1
	// 0.5 cycle of range 8 about 1
	// 0.5 cycle of range 9 about 0.5
	// 0.5 cycle of range 8 about 0
	// 0.5 cycle of range 6 about 1
}
