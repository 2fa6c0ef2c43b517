package changeover

import (
	"math/rand/v2"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// OpeningDay plays the opening half of a rule on a year.
func OpeningDay(r *Rule, in *sim.Input, south bool) int {
	o := opening{flowM3S: r.OpenFlowLPS / 1000, days: r.OpenDays, rainMM: r.OpenRainMM}
	return int(o.next(nil, newDaily(in, south), func(day int) int { return day })[0])
}

// AnyRules picks rules out of all that are tried, with their texts and the pairs
// that they come to in each year.
func AnyRules(ins []*sim.Input, bus sim.Bus, u measure.System, south bool, n int, r *rand.Rand) (texts []string, pairs [][]Pair) {
	b := &rulebook{south: south, runs: func(int) bool { return true }}
	for _, in := range ins {
		t := NewSearch(bus).Pairs(in)
		b.tables, b.days = append(b.tables, t), append(b.days, newDaily(in, south))
	}
	b.calendar = Study{Years: sim.Held(ins)}.calendar(b.tables[0])
	opens, ebbs, springs := b.candidates(u)
	for range n {
		one := rule{opens[1+r.IntN(len(opens)-1)], ebbs[0], springs[0]}
		if r.IntN(3) > 0 {
			one.ebb = ebbs[r.IntN(len(ebbs))]
		}
		if r.IntN(3) > 0 {
			one.spring = springs[r.IntN(len(springs))]
		}
		texts, pairs = append(texts, b.text(one, u)), append(pairs, b.play(one))
	}
	return texts, pairs
}
