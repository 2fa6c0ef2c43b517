package changeover_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"sunrill/sim"
	"sunrill/sim/changeover"
)

// testingT is a test's or rapid's.
type testingT interface {
	Helper()
	Fatal(args ...any)
}

// opened returns what the turbine and its keeper do from the day of opening on,
// a day each: joined from the openings of in, if it has some.
type opened struct {
	hydroW        []float64
	stops, visits []bool
}

func openedOn(in *sim.Input, day int) opened {
	days := in.Hours() / 24
	o := opened{make([]float64, in.Hours()), make([]bool, in.Hours()), make([]bool, days)}
	whole := sim.Opening{Until: days, As: -1, PowerW: in.W(sim.Creek), DryStopHour: in.DryStopHour, VisitDay: in.VisitDay}
	at := &whole
	if in.Openings != nil {
		at = &in.Openings[day]
	}
	for d := day; d < days; {
		for at.Until <= d {
			at = &in.Openings[at.As]
		}
		copy(o.hydroW[24*d:24*at.Until], at.PowerW[24*(d-at.Day):])
		for _, h := range at.DryStopHour {
			o.stops[h] = o.stops[h] || h >= 24*d
		}
		for _, v := range at.VisitDay {
			o.visits[v] = o.visits[v] || v >= d
		}
		d = at.Until
	}
	o.visits[day] = true
	return o
}

// runPair is the plain way: run the year with the series of a valve that is
// opened and closed on the days of the pair.
func runPair(t testingT, in *sim.Input, bus sim.Bus, p changeover.Pair) changeover.Outcome {
	t.Helper()
	days := in.Hours() / 24
	gated := *in
	gated.Set(sim.Creek, make([]float64, in.Hours()))
	var o changeover.Outcome
	part := func(from, to int) {
		if from >= to {
			return
		}
		way := openedOn(in, from)
		copy(gated.W(sim.Creek)[24*from:24*to], way.hydroW[24*from:24*to])
		for h := 24 * from; h < 24*to; h++ {
			if way.stops[h] {
				o.DryPipeStops++
			}
		}
		for d := from; d < to; d++ {
			if way.visits[d] {
				o.Visits++
			}
		}
		if to < days {
			o.Visits++ // to close it
		}
		o.OpenDays += float64(to - from)
	}
	if p.Open <= p.Close {
		part(p.Open, p.Close)
	} else {
		part(0, p.Close)
		part(p.Open, days)
	}
	y, err := sim.Run(&gated, bus)
	if err != nil {
		t.Fatal(err)
	}
	o.UnmetHours, o.UnmetWh, o.LowHours = float64(y.Tally.UnmetHours), y.Tally.UnmetWh, float64(y.Tally.LowHours)
	o.FuelL = y.Tally.FuelL
	for d := range days {
		if slices.Max(gated.W(sim.Creek)[24*d:24*d+24]) > 0 {
			o.HydroDays++
		}
	}
	return o
}

// ways gives a year openings: each goes its own way for some days, some to the
// year's end, and then as an earlier one that is still on its own.
func alternatives(in *sim.Input, r *rand.Rand) {
	days := in.Hours() / 24
	for o := range days {
		w := sim.Opening{Day: o, Until: min(days, o+1+r.IntN(8)), As: 0}
		switch {
		case o == 0:
			w.Until, w.As = days, -1
			w.PowerW, w.DryStopHour, w.VisitDay = in.W(sim.Creek), in.DryStopHour, in.VisitDay
			in.Openings = append(in.Openings, w)
			continue
		case r.IntN(30) == 0:
			w.Until, w.As = days, -1
		case w.Until == days:
			w.As = -1
		default:
			if e := r.IntN(o); in.Openings[e].Until > w.Until {
				w.As = e
			}
		}
		for d := o; d < w.Until; d++ {
			fraction := 1.5 * r.Float64()
			for h := 24 * d; h < 24*d+24; h++ {
				w.PowerW = append(w.PowerW, fraction*in.W(sim.Creek)[h])
			}
			if r.IntN(4) == 0 {
				w.DryStopHour = append(w.DryStopHour, 24*d+r.IntN(24))
			}
			if d == o || r.IntN(3) == 0 {
				w.VisitDay = append(w.VisitDay, d)
			}
		}
		in.Openings = append(in.Openings, w)
	}
}

func same(a, b changeover.Outcome) bool {
	wh := math.Abs(a.UnmetWh-b.UnmetWh) <= 1e-9*math.Max(a.UnmetWh, b.UnmetWh)+1e-9
	fuel := math.Abs(a.FuelL-b.FuelL) <= 1e-6*math.Max(a.FuelL, b.FuelL) // held in 32 bits
	a.UnmetWh, b.UnmetWh, a.FuelL, b.FuelL = 0, 0, 0, 0
	return a == b && wh && fuel
}

func TestPairsEqualRunningEach(t *testing.T) {
	for i, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			in, bus := homestead(k, uint64(i))
			if i%2 == 0 || i == 5 || i == twoWells {
				alternatives(in, rand.New(rand.NewPCG(uint64(i), 9)))
			}
			s := changeover.NewSearch(bus)
			table := s.Pairs(in)
			s.Around(table, in)
			year := changeover.Pair{Open: 0, Close: table.Days}
			if got, want := table.Of(year), runPair(t, in, bus, year); !same(got, want) {
				t.Errorf("open all year: %+v, the run gives %+v", got, want)
			}
			if got, want := table.Of(changeover.Never), runPair(t, in, bus, changeover.Never); !same(got, want) {
				t.Errorf("never: %+v, the run gives %+v", got, want)
			}
			r := rand.New(rand.NewPCG(uint64(i), 2))
			differ := map[float64]bool{}
			for range 100 {
				p := changeover.Pair{Open: r.IntN(table.Days), Close: 1 + r.IntN(table.Days)}
				if p.Open >= p.Close && r.IntN(4) > 0 {
					p.Open, p.Close = p.Close-1, p.Open+1
				}
				got, want := table.Of(p), runPair(t, in, bus, p)
				if !same(got, want) {
					t.Errorf("open on day %d, closed on day %d: %+v, the run gives %+v", p.Open, p.Close, got, want)
				}
				differ[want.UnmetWh+want.LowHours] = true
			}
			if len(differ) < 20 {
				t.Errorf("only %d of the pairs differ: the homestead tests nothing", len(differ))
			}
		})
	}
}
