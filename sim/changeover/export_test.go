package changeover

import (
	"math/rand/v2"

	"sunrill/sim"
)

// OpeningDay plays the opening half of a rule on a year.
func OpeningDay(r *Rule, in *sim.Input, south bool) int {
	o := opening{flowM3S: r.OpenFlowM3S, days: r.OpenRun, rainMM: r.OpenRainMM}
	return int(o.next(nil, newDaily(in, south), func(day int) int { return day })[0])
}

// AnyRules picks rules out of all that are tried, each as the one of a result,
// with the pairs that they come to in each year.
func AnyRules(ins []*sim.Input, bus sim.Bus, m Measures, south bool, n int, r *rand.Rand) (rules []*Result, pairs [][]Pair) {
	b := &rulebook{south: south, runs: func(int) bool { return true }}
	for _, in := range ins {
		t := NewSearch(bus).Pairs(in)
		b.tables, b.days = append(b.tables, t), append(b.days, newDaily(in, south))
	}
	b.calendar = Study{Years: sim.Held(ins)}.calendar(b.tables[0])
	opens, ebbs, springs := b.candidates(m.filled())
	for range n {
		one := rule{opens[1+r.IntN(len(opens)-1)], ebbs[0], springs[0]}
		if r.IntN(3) > 0 {
			one.ebb = ebbs[r.IntN(len(ebbs))]
		}
		if r.IntN(3) > 0 {
			one.spring = springs[r.IntN(len(springs))]
		}
		rules, pairs = append(rules, &Result{Rule: b.facts(one), all: outcomes{calendar: b.calendar}}), append(pairs, b.play(one))
	}
	return rules, pairs
}
