package sim_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/sim"
)

// The bus does not know sources of one treatment apart: two of them are one that
// gives as much, in the run, in its deficits and in the count of many banks, to
// the last digits.
func TestSourcesOfOneTreatmentAreOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in, b := homestead(t, 20)
		sum := sim.PanelsAndCreek(make([]float64, in.Hours()), make([]float64, in.Hours()))
		for _, s := range in.Sources {
			to := sum[1].W
			if s.Throttled {
				to = sum[0].W
			}
			for h, w := range s.W {
				to[h] += w
			}
		}
		one := *in
		one.Sources = sum
		many, err := sim.Run(in, b)
		if err != nil {
			t.Fatal(err)
		}
		few, err := sim.Run(&one, b)
		if err != nil {
			t.Fatal(err)
		}
		if many.Tally != few.Tally || !slices.Equal(many.StoredWh, few.StoredWh) || !slices.Equal(many.CurtailedW, few.CurtailedW) || !slices.Equal(many.DumpW, few.DumpW) {
			t.Fatalf("apart\n%+v, together\n%+v", many.Tally, few.Tally)
		}
		if a, c := sim.Deficits(in, &b.Bank, nil), sim.Deficits(&one, &b.Bank, nil); a != c {
			t.Fatalf("deficits of %g Wh apart, %g Wh together", a, c)
		}
		buses := []sim.Bus{b, {Bank: b.Bank.Scaled(3 * b.Bank.CapacityWh)}}
		a, _ := sim.UnmetHours(in, buses)
		c, _ := sim.UnmetHours(&one, buses)
		if !slices.Equal(a, c) {
			t.Fatalf("unmet hours %v apart, %v together", a, c)
		}
		if a, c := in.Given().Total(), one.Given().Total(); math.Abs(a-c) > 1e-9*c {
			t.Fatalf("%g Wh apart, %g Wh together", a, c)
		}
	})
}

// wind is a source that no homestead has: it gives to a dump load.
var wind = sim.Kind{Key: "wind", Name: "windmill", From: "wind"}

// Each source is counted by its name, over the year, over its days and in its
// headline: 3 days of 100 W panels, 50 W creek and 20 W, 40 W, 60 W of wind.
func TestEachSourceIsCountedByName(t *testing.T) {
	const n = 72
	series := func(w ...float64) []float64 {
		s := make([]float64, n)
		for h := range s {
			s[h] = w[h/24%len(w)]
		}
		return s
	}
	in := &sim.Input{Start: time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC), Sources: sim.PanelsAndCreek(series(100), series(50)), DemandW: series(500)}
	in.Sources = append(in.Sources, sim.Source{Kind: wind, W: series(20, 40, 60)})
	y, err := sim.Run(in, sim.Bus{})
	if err != nil {
		t.Fatal(err)
	}
	want := func(what string, got sim.Yields, wh ...float64) {
		t.Helper()
		for i, name := range []string{"panels", "creek", "windmill"} {
			if len(got) != 3 || got[i].Name != name || got[i].Wh != wh[i] {
				t.Errorf("%s: %+v, want %v Wh of panels, creek and windmill", what, got, wh)
			}
		}
	}
	want("year", sim.Summarize(y).Given, 7200, 3600, 2880)
	for d, p := range y.Days() {
		want("day", p.Given, 2400, 1200, 480*float64(d+1))
	}
	if got := y.Tally.UnmetWh; got != 72*500-7200-3600-2880 {
		t.Errorf("%g Wh unmet", got)
	}
}

// What is set in a copy stays there, and a variant changes what it is of and
// nothing else: twice the panels leave the wind, no creek leaves it too.
func TestSourcesOfACopy(t *testing.T) {
	in := &sim.Input{Sources: sim.PanelsAndCreek([]float64{100}, []float64{50}), DemandW: []float64{200}}
	in.Sources = append(in.Sources, sim.Source{Kind: wind, W: []float64{20}})
	other := *in
	other.Set(wind, []float64{7})
	for _, c := range []struct {
		what                string
		in                  *sim.Input
		panels, creek, wind float64
	}{
		{"the first", in, 100, 50, 20},
		{"its copy", &other, 100, 50, 7},
		{"twice the panels", sim.Variant{Panels: []float64{2}}.Of(in), 200, 50, 20},
		{"no hydro", sim.Variant{Hydro: sim.HydroOff}.Of(in), 100, 0, 20},
		{"the first again", in, 100, 50, 20},
	} {
		if c.in.W(sim.Panels)[0] != c.panels || c.in.W(sim.Creek)[0] != c.creek || c.in.W(wind)[0] != c.wind {
			t.Errorf("%s: %v", c.what, c.in.Sources)
		}
	}
}
