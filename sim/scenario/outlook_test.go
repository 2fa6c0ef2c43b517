package scenario_test

import (
	"context"
	"math"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/storage"
)

// battery is a bank without losses: 10 kWh, floor 20 %.
func battery(soc float64) storage.Bank {
	return storage.Bank{CapacityWh: 10000, ChargeEfficiency: 1, DischargeEfficiency: 1, ChargeAboveC: -273.15, IndoorC: 20, MaxChargeW: 5000, MaxDischargeW: 5000, FloorSoC: 0.2, StartSoC: soc}
}

func constant(n int, v float64) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// courses are ten futures of 100 W of demand: hydro carries the first sunny of
// them, the others stand without any source.
func courses(days, sunny int) func() func(int) scenario.Course {
	return func() func(int) scenario.Course {
		return func(i int) scenario.Course {
			h := 24 * days
			in := &sim.Input{DemandW: constant(h, 100), Sources: sim.PanelsAndCreek(constant(h, 0), constant(h, 0))}
			if i < sunny {
				in.Set(sim.Panels, constant(h, 150))
			}
			flow := constant(days, 0.001)
			for d := range flow {
				if d >= i {
					flow[d] = 0.003 // the creek rises on day i
				}
			}
			return scenario.Course{In: in, FlowM3S: flow, LeftM3S: flow,
				Hydro: func(dst []float64, open func(int) bool) ([]float64, int) {
					w := constant(h, 0)
					stops := 0
					for d := range days {
						if open(d) {
							stops++
							for k := 24 * d; k < 24*d+24; k++ {
								w[k] = 120
							}
						}
					}
					return w, stops
				}}
		}
	}
}

func ahead(soc float64, sunny int) scenario.Ahead {
	return scenario.Ahead{
		Start: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Hours: 24 * 30, Futures: 10,
		Bus:    sim.Bus{Bank: battery(soc)},
		Worker: courses(30, sunny),
		Plans:  []scenario.ValvePlan{{Kind: scenario.WithoutIt}},
		Uses:   []string{"fridge", "lamp"},
		Demand: func(without []int) func(int) sim.Input {
			w := 100.0
			for _, u := range without {
				w -= []float64{50, 10}[u]
			}
			return func(int) sim.Input { return sim.Input{DemandW: constant(24*30, w)} }
		},
		Sets: []scenario.SetNeed{{FlowM3S: 0.002, PowerW: 200}},
	}
}

// By hand: (60 % − 20 %) of 10 kWh carry 100 W for 40 hours, so that the house
// is dark from hour 40, on the second day, in the six futures without sun.
func TestLookAheadByHand(t *testing.T) {
	o, err := scenario.LookAhead(context.Background(), ahead(0.6, 4), 0.1, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := o.Plans[0]
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6 && !(math.IsInf(got, 1) && math.IsInf(want, 1)) {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	near("chance on day 1", p.ChanceByDay[0], 0)
	near("chance on day 2", p.ChanceByDay[1], 0.6)
	if len(p.Chance) != 3 {
		t.Fatalf("%d leads within 30 days, want 7, 14 and 30", len(p.Chance))
	}
	near("within 7 days", p.Chance[0], 0.6)
	near("middling", p.Dark.Median, 40.0/24)
	near("one in five", p.Dark.OneIn5, 40.0/24)
	near("dark hours", p.UnmetHours, 0.6*(720-40))
	near("four in five", p.UnmetP80, 680)
	near("lowest charge, first day, 1 in 10", p.Charge[0].P10, 0.6-0.24)
	near("lowest charge, last day", p.Charge[29].P50, 0.2)
	near("lowest charge, sunny", p.Charge[29].P90, 1)
	near("charge at the end", p.End.P10, 0.2)

	// Without the fridge 50 W last 80 hours; without both 40 W last 100: still dark.
	if len(o.Uses) != 2 || o.Uses[0].Use != 0 {
		t.Fatalf("uses %+v: the fridge helps most", o.Uses)
	}
	near("hours without the fridge", o.Uses[0].UnmetHours, 0.6*(720-80))
	near("hours without the lamp", o.Uses[1].UnmetHours, 0.6*(720-math.Floor(4000.0/90)))
	if o.Met || len(o.PutOff) != 2 {
		t.Errorf("put off %+v, met %v: nothing is enough", o.PutOff, o.Met)
	}
	near("hours without both", o.PutOff[1].UnmetHours, 0.6*(720-100))

	// The creek rises on day i of future i.
	s := o.Sets[0]
	near("early", s.Early, 1)
	near("middling rise", s.Median, 4)
	near("late", s.Late, 7)
	near("all rise", s.Fraction, 1)
	if s.NowYes {
		t.Error("the creek carries the set on the first day in 1 of 10 futures only")
	}
	near("flow on day 6", o.Flow[5].P50, float64(float32(0.003)))
	near("flow on day 5", o.Flow[4].P50, float64(float32(0.001)))
}

// What suffices ends the list: 60 W of 100 put off leave 40 W, which one bank
// of 90 % carries for 175 hours, more than 7 days.
func TestPutOffEndsWhereItSuffices(t *testing.T) {
	a := ahead(0.9, 0)
	a.Hours = 24 * 7
	a.Worker = courses(7, 0)
	a.Demand = func(without []int) func(int) sim.Input {
		return func(int) sim.Input { return sim.Input{DemandW: constant(24*7, 100-[]float64{0, 60, 70}[len(without)])} }
	}
	o, err := scenario.LookAhead(context.Background(), a, 0.1, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !o.Met || len(o.PutOff) != 1 || o.PutOff[0].Chance != 0 {
		t.Errorf("put off %+v, met %v; one is enough", o.PutOff, o.Met)
	}
}

func TestBestPlan(t *testing.T) {
	open := func(int) bool { return true }
	never := func(int) bool { return false }
	later := func(d int) bool { return d >= 7 }
	a := ahead(0.6, 0)
	a.Plans = []scenario.ValvePlan{{Kind: scenario.CloseNow, Open: never}, {Kind: scenario.OpenNow, Open: open, Walks: 1}, {Kind: scenario.Wait, WaitDays: 7, Open: later}}
	o, err := scenario.LookAhead(context.Background(), a, 0.1, nil)
	if err != nil {
		t.Fatal(err)
	}
	// 120 W carry 100 W: open now is never dark; a week's wait is dark from
	// hour 40 to 168.
	if o.Best != 1 || o.Plans[1].UnmetHours != 0 {
		t.Errorf("best plan %d (%g hours), want to open now", o.Best, o.Plans[1].UnmetHours)
	}
	if got := o.Plans[2].UnmetHours; got != 168-40 {
		t.Errorf("waiting: %g hours, want 128", got)
	}
	if o.Plans[1].DryStops != 30 || o.Plans[2].DryStops != 23 {
		t.Errorf("dry-pipe stops %g and %g, want 30 and 23", o.Plans[1].DryStops, o.Plans[2].DryStops)
	}
	// Where the bank carries the house anyway, fewest stops decide: closed.
	b := ahead(1, 10)
	b.Plans = a.Plans
	if o, err = scenario.LookAhead(context.Background(), b, 0.1, nil); err != nil {
		t.Fatal(err)
	}
	if o.Best != 0 {
		t.Errorf("best plan %d, want to leave it closed", o.Best)
	}
}
