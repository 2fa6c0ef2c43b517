package changeover

import "sunrill/sim"

// OpeningDay plays the opening half of a rule on a year.
func OpeningDay(r *Rule, in *sim.Input, south bool) int {
	o := opening{flowM3S: r.OpenFlowLPS / 1000, days: r.OpenDays, rainMM: r.OpenRainMM}
	return int(o.next(nil, newDaily(in, south))[0])
}
