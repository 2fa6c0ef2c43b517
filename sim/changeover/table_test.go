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

// runPair is the plain way: gate the hydro series and run the year.
func runPair(t testingT, in *sim.Input, bus sim.Bus, p changeover.Pair) changeover.Outcome {
	t.Helper()
	gated := *in
	gated.HydroW = sim.Gate(make([]float64, in.Hours()), in.HydroW, 24*p.Open, 24*p.Close)
	y, err := sim.Run(&gated, bus)
	if err != nil {
		t.Fatal(err)
	}
	o := changeover.Outcome{
		UnmetHours: float64(y.Tally.UnmetHours),
		UnmetKWh:   y.Tally.UnmetWh / 1000,
		LowHours:   float64(y.Tally.LowHours),
	}
	for _, h := range in.DryStopHour {
		if valveOpen(p, h/24) {
			o.DryPipeStops++
		}
	}
	for d := range in.Hours() / 24 {
		if slices.Max(gated.HydroW[24*d:24*d+24]) > 0 {
			o.HydroDays++
		}
	}
	return o
}

func valveOpen(p changeover.Pair, day int) bool {
	if p.Open <= p.Close {
		return p.Open <= day && day < p.Close
	}
	return day < p.Close || day >= p.Open
}

func same(a, b changeover.Outcome) bool {
	kwh := math.Abs(a.UnmetKWh-b.UnmetKWh) <= 1e-9*math.Max(a.UnmetKWh, b.UnmetKWh)+1e-12
	a.UnmetKWh, b.UnmetKWh = 0, 0
	return a == b && kwh
}

func TestPairsEqualRunningEach(t *testing.T) {
	for i, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			in, bus := homestead(k, uint64(i))
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
				differ[want.UnmetKWh+want.LowHours] = true
			}
			if len(differ) < 20 {
				t.Errorf("only %d of the pairs differ: the homestead tests nothing", len(differ))
			}
		})
	}
}
