package changeover_test

import (
	"context"
	"fmt"
	"time"

	"sunrill/sim"
	"sunrill/sim/changeover"
)

// A house without a bank: panels carry it until 14 November and from 10 March
// on, the creek runs from November to April.
func ExampleStudy_Run() {
	in, bus := known(time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC), 31, 212, 45, 160)
	r, err := changeover.Study{
		Bus: bus, Years: sim.Held([]*sim.Input{in}),
	}.Run(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Date(r.Best.Pair.Open).Format("2 January"), "to", r.Date(r.Best.Pair.Close).Format("2 January"))
	for _, c := range r.Costs {
		if !c.Closing && c.Weeks > 0 {
			fmt.Printf("%d weeks late: %.0f unmet hours\n", c.Weeks, c.UnmetHours)
		}
	}
	// Output:
	// 15 November to 10 March
	// 1 weeks late: 168 unmet hours
	// 2 weeks late: 336 unmet hours
	// 4 weeks late: 672 unmet hours
}
