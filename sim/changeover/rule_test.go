package changeover_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/changeover/ruletest"
	"sunrill/sim/measure"
)

// Whoever plays a rule's text word for word turns the valve on the days that the
// rule does, whatever its signals and their order: no condition is left out, and
// no day is one off.
func TestRulesAreWhatTheirTextsSay(t *testing.T) {
	for _, u := range []measure.System{measure.Metric, measure.US} {
		south := u == measure.US
		var ins []*sim.Input
		var bus sim.Bus
		k := kinds[0]
		k.south, k.capWh, k.hydroW = south, 5000, 70
		for y := range 3 {
			var in *sim.Input
			in, bus = homestead(k, uint64(300+y))
			for h := range in.W(sim.Panels) {
				in.W(sim.Panels)[h] *= 1.4
			}
			for d := range in.FlowM3S {
				in.FlowM3S[d] *= 3
			}
			in.Start = in.Start.AddDate(4*y, 0, 0)
			ins = append(ins, in)
		}
		m := changeover.Measures{}
		if south {
			m = changeover.Measures{BucketM3: u.BucketSeconds(1), FlowPerM3S: u.FlowAxis().Factor, RainMM: 25.4}
		}
		rules, pairs := changeover.AnyRules(ins, bus, m, south, 400, rand.New(rand.NewPCG(7, 7)))
		said := map[string]int{}
		for i, rule := range rules {
			text := report.Changeover{Result: rule, System: u}.Rule()
			for y, in := range ins {
				days := make([]ruletest.Day, in.Hours()/24)
				for d := range days {
					days[d] = ruletest.Day{Date: in.Start.AddDate(0, 0, d), RainMM: in.RainMM[d], FlowLPS: 1000 * in.FlowM3S[d]}
				}
				open, close, err := ruletest.Play(text, days, func(open int) []float64 { return noonPct(t, in, bus, open) })
				if err != nil {
					t.Fatal(err)
				}
				want := pairs[i][y]
				if want == changeover.Never {
					want = changeover.Pair{Open: -1, Close: -1}
				}
				if (changeover.Pair{Open: open, Close: close}) != want {
					t.Fatalf("year %d: %s\nplayed it opens on day %d and closes on day %d, the rule on %d and %d", y, text, open, close, want.Open, want.Close)
				}
				for _, word := range []string{"meter", "bucket", "creek has run", "rain", "Close it on", "leave it open"} {
					if open >= 0 && close < len(days) && strings.Contains(text, word) || word == "leave it open" && strings.Contains(text, word) {
						said[word]++
					}
				}
			}
		}
		for _, word := range []string{"meter", "bucket", "rain", "Close it on", "leave it open"} {
			if said[word] < 5 {
				t.Errorf("only %d texts that close the valve speak of %q", said[word], word)
			}
		}
	}
}

// noonPct is what the bank's meter shows at noon of each day with a valve that is
// opened on a day and stays open.
func noonPct(t *testing.T, in *sim.Input, bus sim.Bus, open int) []float64 {
	t.Helper()
	run := *in
	run.Set(sim.Creek, openedOn(in, open).hydroW)
	y, err := sim.Run(&run, bus)
	if err != nil {
		t.Fatal(err)
	}
	noon := make([]float64, in.Hours()/24)
	for d := range noon {
		noon[d] = 100 * y.SoC[24*d+11]
	}
	return noon
}
