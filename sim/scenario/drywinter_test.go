package scenario_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/storage"
	"sunrill/weather"
)

var ctx = context.Background()

// rain is an invented record: wet winters, dry summers, by a plain generator.
func rain(years int) weather.Record {
	r := weather.Record{Start: time.Date(1991, 10, 1, 0, 0, 0, 0, time.UTC)}
	x := uint64(77)
	uniform := func() float64 {
		x = x*6364136223846793005 + 1442695040888963407
		return float64(x>>11) / (1 << 53)
	}
	end := r.Start.AddDate(years, 0, 0)
	wet, strength := false, 1.0
	for day := r.Start; day.Before(end); day = day.AddDate(0, 0, 1) {
		if day.Month() == time.October && day.Day() == 1 {
			strength = 0.6 + 0.8*uniform()
		}
		season := 0.5 + 0.5*math.Cos(2*math.Pi*float64(day.YearDay()-15)/365)
		p := 0.05 + 0.3*season*strength
		if wet {
			p = 0.4 + 0.3*season
		}
		mm := 0.0
		if wet = uniform() < p; wet {
			mm = 0.2 - 9*strength*math.Log(1-uniform())
		}
		r.RainMM = append(r.RainMM, mm)
	}
	return r
}

// worker is an invented homestead: the sun is dim on wet days and in winter, a
// creek runs from a store that rain fills.
func worker() scenario.Worker {
	return func(r weather.Record, _ int) func(weather.Year) *sim.Input {
		store, flow := 0.0, make([]float64, r.Days())
		for d, mm := range r.RainMM {
			store = 0.97*store + mm
			flow[d] = math.Max(0, store-40)
		}
		return func(y weather.Year) *sim.Input {
			from := r.Index(y.Start)
			n := y.Hours()
			in := &sim.Input{Start: y.Start, Sources: sim.PanelsAndCreek(make([]float64, n), make([]float64, n)), DemandW: make([]float64, n), RainMM: r.RainMM[from : from+y.Days]}
			for d := range y.Days {
				clear := 0.8
				if mm := r.RainMM[from+d]; mm > 0 {
					clear = 0.2 + 0.3*math.Exp(-mm/8)
				}
				season := math.Cos(2 * math.Pi * float64(y.Start.AddDate(0, 0, d).YearDay()+10) / 365)
				for h := range 24 {
					if h >= 8 && h < 16 {
						in.W(sim.Panels)[24*d+h] = 1100 * clear * (1 - 0.6*season)
					}
					in.W(sim.Creek)[24*d+h] = math.Min(300, 2*flow[from+d])
					in.DemandW[24*d+h] = 170
				}
			}
			return in
		}
	}
}

func homestead(years int) scenario.Homestead {
	r := rain(years)
	return scenario.Homestead{
		Record: r, Years: weather.WaterYears(r, time.October, 1), NewWorker: worker, Hydro: true,
		Bus: sim.Bus{DumpW: 500, Bank: storage.Bank{
			CapacityWh: 9000, FloorSoC: 0.4, StartSoC: 1, ChargeEfficiency: 0.95, DischargeEfficiency: 0.95,
			MaxChargeW: 3000, MaxDischargeW: 3000, IndoorC: 20,
		}},
	}
}

func dryWinter(t *testing.T, h scenario.Homestead, o scenario.Options) *scenario.Result {
	t.Helper()
	r, err := scenario.DryWinter(ctx, h, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The scenarios of the record are what running its years one by one gives.
func TestRecordAgainstYearByYear(t *testing.T) {
	h := homestead(10)
	r := dryWinter(t, h, scenario.Options{Synthetic: -1, Factors: []float64{0.6}, Weeks: []int{4}})
	for _, c := range []struct {
		name    string
		weather weather.Record
	}{
		{"record", h.Record}, {"rain × 0.6", weather.Scaled(h.Record, 0.6)}, {"onset 4 weeks later", weather.Later(h.Record, 28)},
	} {
		var with, without []float64
		deepest := 0.0
		year := worker()(c.weather, 0)
		for _, y := range h.Years {
			in := year(y)
			run, err := sim.Run(in, h.Bus)
			if err != nil {
				t.Fatal(err)
			}
			with = append(with, float64(run.Tally.UnmetHours))
			deepest = math.Max(deepest, sim.Summarize(run).DeepestDeficit.DepthWh)
			in.Set(sim.Creek, make([]float64, in.Hours()))
			if run, err = sim.Run(in, h.Bus); err != nil {
				t.Fatal(err)
			}
			without = append(without, float64(run.Tally.UnmetHours))
		}
		slices.Sort(with)
		slices.Sort(without)
		s := r.Find(c.name)
		if s == nil {
			t.Fatalf("no scenario %q", c.name)
		}
		// Of 10 years: the fifth, the eighth and the last.
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"median with hydro", s.With.UnmetP50, with[4]}, {"1 in 5 with hydro", s.With.UnmetP80, with[7]},
			{"1 in 20 with hydro", s.With.UnmetP95, with[9]}, {"worst with hydro", s.With.UnmetWorst, with[9]},
			{"median without", s.Without.UnmetP50, without[4]}, {"1 in 5 without", s.Without.UnmetP80, without[7]}, {"worst without", s.Without.UnmetWorst, without[9]},
			{"deepest with hydro", s.With.DeepestDeficitWh, deepest},
		} {
			if v.got != v.want {
				t.Errorf("%s, %s: %g, one by one %g", c.name, v.what, v.got, v.want)
			}
		}
	}
	if with := r.Find("worst year on record").With.UnmetWorst; with != r.Find("record").With.UnmetWorst {
		t.Errorf("the worst year has %g unmet hours, the record's worst %g", with, r.Find("record").With.UnmetWorst)
	}
}

// The same seed gives the same result on one processor and on many; another
// seed gives other years.
func TestSameSeedSameResult(t *testing.T) {
	result := func(procs int, seed uint64) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(procs))
		b, err := json.Marshal(dryWinter(t, homestead(4), scenario.Options{Synthetic: 60, Seed: seed, Factors: []float64{}, Weeks: []int{}}))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	one := result(1, 5)
	if many := result(3, 5); many != one {
		t.Errorf("one processor and three differ:\n%s\n%s", one, many)
	}
	if result(2, 6) == one {
		t.Error("another seed gives the same years")
	}
}

// More rain never leaves a house with a creek shorter than less does, in this
// homestead; without rain the creek gives nothing.
func TestLessRain(t *testing.T) {
	r := dryWinter(t, homestead(6), scenario.Options{Synthetic: -1, Factors: []float64{0, 0.5, 1.5}, Weeks: []int{}})
	none := r.Find("rain × 0")
	if none.With.UnmetMean != none.Without.UnmetMean {
		t.Errorf("without rain the creek leaves %g hours, no creek %g", none.With.UnmetMean, none.Without.UnmetMean)
	}
	if half, more := r.Find("rain × 0.5"), r.Find("rain × 1.5"); half.Without.UnmetMean > more.Without.UnmetMean {
		t.Errorf("panels alone: half the rain leaves %g hours, half as much again %g; a drier year is a brighter one", half.Without.UnmetMean, more.Without.UnmetMean)
	}
	for _, s := range r.Scenarios {
		if s.With.UnmetP50 > s.With.UnmetP80 || s.With.UnmetP80 > s.With.UnmetP95 || s.With.UnmetP95 > s.With.UnmetWorst {
			t.Errorf("%s: shares of years out of order: %+v", s.Name, s.With)
		}
	}
}

func TestFansAndSyntheticYears(t *testing.T) {
	r := dryWinter(t, homestead(8), scenario.Options{Synthetic: 200, Factors: []float64{}, Weeks: []int{}})
	if r.Synthetic.Years != 200 || r.Synthetic.Worst < r.Synthetic.P95 {
		t.Errorf("made-up years: %+v", r.Synthetic)
	}
	if ratio := r.Synthetic.RainMM / r.Record.RainMM; math.Abs(ratio-1) > 0.08 {
		t.Errorf("made-up years have %.0f mm, the record %.0f mm", r.Synthetic.RainMM, r.Record.RainMM)
	}
	for _, f := range []*scenario.Fan{r.FanWith, r.FanWithout} {
		if len(f.Median) != 52 || f.Start.Month() != time.October {
			t.Fatalf("a fan of %d weeks from %v", len(f.Median), f.Start)
		}
		for d := range f.Median {
			if f.OneIn20[d] > f.OneIn5[d] || f.OneIn5[d] > f.Median[d] || f.OneIn20[d] < 0 || f.Median[d] > 1 {
				t.Fatalf("week %d: 1 in 20 %g, 1 in 5 %g, median %g", d, f.OneIn20[d], f.OneIn5[d], f.Median[d])
			}
		}
	}
}

// Ten times the years need no more memory.
func TestMemoryIsFlatInTheNumberOfYears(t *testing.T) {
	live := func(years int) uint64 {
		var m runtime.MemStats
		h := homestead(3)
		var total atomic.Int64
		o := scenario.Options{Synthetic: years, Factors: []float64{}, Weeks: []int{}}
		o.Progress = func(done, of int) {
			total.Store(int64(of))
			if done == of { // all years run, all counts held
				runtime.GC()
				runtime.ReadMemStats(&m)
			}
		}
		dryWinter(t, h, o)
		if got := total.Load(); got != int64(years+3) {
			t.Fatalf("progress counts to %d, want %d", got, years+3)
		}
		return m.HeapAlloc
	}
	few, many := live(40), live(400)
	if many > few+2_000_000 {
		t.Errorf("400 years hold %d bytes, 40 years %d", many, few)
	}
}

func TestOddScenarios(t *testing.T) {
	one := dryWinter(t, homestead(1), scenario.Options{Synthetic: 20, Factors: []float64{}, Weeks: []int{}})
	if len(one.Notes) == 0 || !strings.Contains(one.Notes[0], "cannot be known") {
		t.Errorf("one year of record, and no word on what cannot be known: %q", one.Notes)
	}
	h := homestead(2)
	h.Hydro = false
	none := dryWinter(t, h, scenario.Options{Synthetic: 20})
	if none.Scenarios[0].With != nil || none.FanWith != nil || len(none.Scenarios) != 3+4+4+1 {
		t.Errorf("a house without hydro: %d scenarios, first %+v", len(none.Scenarios), none.Scenarios[0])
	}
	h.Fixed = "the creek's own record knows no other weather"
	fixed := dryWinter(t, h, scenario.Options{})
	if len(fixed.Scenarios) != 3 || fixed.Synthetic != nil || fixed.Notes[0] != h.Fixed {
		t.Errorf("fixed weather: %d scenarios, notes %q", len(fixed.Scenarios), fixed.Notes)
	}
	for _, o := range []scenario.Options{{Factors: []float64{-0.5}}, {Factors: []float64{math.NaN()}}, {Weeks: []int{-1}}, {Weeks: []int{40}}} {
		if _, err := scenario.DryWinter(ctx, h, o); err == nil {
			t.Errorf("accepted: %+v", o)
		}
	}
	stopping, stop := context.WithCancel(ctx)
	_, err := scenario.DryWinter(stopping, homestead(3), scenario.Options{Synthetic: 1000, Progress: func(done, _ int) {
		if done >= 30 {
			stop()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("an interrupted study ends with %v", err)
	}
}

// A synthetic year does not depend on which goroutine made it, nor on how many
// are made.
func TestSyntheticYearsByNumber(t *testing.T) {
	chain, err := weather.FitGenerator(rain(12), weather.GeneratorOptions{YearMonth: time.October, YearDay: 1, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	sums := func(n int) []float64 {
		out := make([]float64, n)
		err := scenario.SyntheticYears(chain, n, worker).Visit(ctx, nil, func(c sim.Case) error {
			for h := range c.In.W(sim.Panels) {
				out[c.Year] += c.In.W(sim.Panels)[h] + c.In.W(sim.Creek)[h]
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	few, many := sums(3), sums(8)
	for i := range few {
		if few[i] != many[i] {
			t.Errorf("year %d: %g of three, %g of eight", i, few[i], many[i])
		}
	}
	if many[0] == many[1] {
		t.Error("two made-up years are alike")
	}
}
