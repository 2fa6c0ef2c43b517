package loads_test

import (
	"fmt"

	"sunrill/loads"
)

// An inverter that idles at 20 W is a poor servant of small loads.
func ExampleInverter_Draw() {
	inv := loads.Inverter{RatedW: 2000, IdleW: 20, Efficiency: 0.885}
	for _, w := range []float64{0, 20, 200, 1600} {
		fmt.Printf("%4.0f W for the house take %.0f W from the bus\n", w, inv.Draw(w))
	}
	// Output:
	//    0 W for the house take 20 W from the bus
	//   20 W for the house take 43 W from the bus
	//  200 W for the house take 246 W from the bus
	// 1600 W for the house take 1828 W from the bus
}

func ExampleFindTypical() {
	t, _ := loads.FindTypical("lights")
	fmt.Printf("%s: %g × %g W, %s (%s)\n", t.Name, t.Count, t.Watts, t.Hours, t.Source)
	// Output:
	// lights, LED: 6 × 10 W, 06-08 17-22 (watts by a utility's table (New York): watts and hours a month; number and hours from memory)
}
