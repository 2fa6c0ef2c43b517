package series_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sources/stream"
)

func unmet(t *testing.T, h *series.Homestead) (hours int, pv, hydro, demand float64) {
	t.Helper()
	in := h.Input(last(h))
	b := h.Bus()
	tally := sim.Tallies(in, []sim.Bus{b})[0]
	return tally.UnmetHours, in.Given().Of(sim.Panels), in.Given().Of(sim.Creek), tally.DemandWh
}

// Each cause moves what it is the cause of, and nothing else; draw 0 moves
// nothing.
func TestDrawMovesItsCauseAlone(t *testing.T) {
	h := demo(t)
	hours, pv, hydro, demand := unmet(t, h)
	if a, b, c, d := unmet(t, h.Draw(sim.Draw{}, 1)); a != hours || b != pv || c != hydro || d != demand {
		t.Error("the middle differs from the site")
	}
	pvMoves := []sim.Cause{sim.TheSky, sim.TheSunHours}
	hydroMoves := []sim.Cause{sim.TheCreek, sim.TheHead, sim.TheFlow, sim.TheEfficiency}
	for _, c := range h.Causes() {
		var d sim.Draw
		d[c] = 3
		_, p, w, l := unmet(t, h.Draw(d, 1))
		if (p != pv) != slices.Contains(pvMoves, c) || (w != hydro) != slices.Contains(hydroMoves, c) || (l != demand) != (c == sim.TheLoads) {
			t.Errorf("cause %d: panels %.0f to %.0f Wh, creek %.0f to %.0f Wh, demand %.0f to %.0f Wh", c, pv, p, hydro, w, demand, l)
		}
	}
	if len(h.Causes()) != sim.Causes-1 { // all but prices
		t.Errorf("causes %v", h.Causes())
	}
	// The sun's factor is on what falls on the panels: near enough on watts.
	var d sim.Draw
	d[sim.TheSunHours] = 3
	want := sim.Factor(h.Site.Uncertainty.Sun, sim.Z(1, sim.TheSunHours, 0, 3))
	if _, p, _, _ := unmet(t, h.Draw(d, 1)); math.Abs(p/pv/want-1) > 0.02 {
		t.Errorf("panels × %.3f for sun × %.3f", p/pv, want)
	}
	d = sim.Draw{}
	d[sim.TheLoads] = 3
	more := sim.Factor(h.Site.Uncertainty.Loads, sim.Z(1, sim.TheLoads, 0, 3))
	if _, _, _, l := unmet(t, h.Draw(d, 1)); math.Abs(l/demand-more) > 0.3*math.Abs(more-1) { // the inverter's own draw stays
		t.Errorf("demand × %.3f for loads × %.3f", l/demand, more)
	}
	d = sim.Draw{}
	d[sim.TheFlow] = 3
	times := sim.Factor(h.Site.Uncertainty.Flow, sim.Z(1, sim.TheFlow, 0, 3))
	for i, q := range h.Draw(d, 1).FlowM3S() {
		if math.Abs(q-times*h.FlowM3S()[i]) > 1e-12 {
			t.Fatalf("flow × %.3f for × %.3f", q/h.FlowM3S()[i], times)
		}
	}
	d = sim.Draw{}
	d[sim.TheHead] = 3
	head := sim.Factor(h.Site.Uncertainty.Head, sim.Z(1, sim.TheHead, 0, 3))
	if got := h.Draw(d, 1).Machine.Plant.Penstock.GrossHeadM; math.Abs(got-44*head) > 1e-9 {
		t.Errorf("head %g, want %g", got, 44*head)
	}
}

// A site that is sure of everything is the same in every draw.
func TestDrawsOfASureSite(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s.Uncertainty = site.Uncertainty{}
	s.Sun.Variability = 0
	s.Stream.Fitted = []site.Parameter{{Name: "recession_days", Value: 48, Low: 48, High: 48}}
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	hours, pv, hydro, demand := unmet(t, h)
	for i := range 4 {
		if a, b, c, d := unmet(t, h.Draw(sim.DrawOf(i+1), 1)); a != hours || b != pv || c != hydro || d != demand {
			t.Errorf("draw %d: %d h, %g, %g, %g Wh; the site %d h, %g, %g, %g Wh", i+1, a, b, c, d, hours, pv, hydro, demand)
		}
	}
	if cs := h.Causes(); len(cs) != 1 || cs[0] != sim.TheCreek {
		t.Errorf("causes %v", cs)
	}
}

// A homestead whose sky, creek, head, flow, efficiency, sun and loads are drawn
// from the stated ranges lies in the 8-in-10 range of other draws in 70 to 90
// cases of 100.
func TestPlantedTruthLiesInTheRange(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	const days = 3*365 + 1
	s.Rain.RainMM = s.Rain.RainMM[:days]
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	years := h.Years()[:1]
	carried := func(seed uint64, ds ...sim.Draw) sim.Doubt {
		hs, err := h.Draws(context.Background(), ds, seed)
		if err != nil {
			t.Fatal(err)
		}
		var d sim.Doubt
		bus := h.Bus()
		d.Draws = make([]float64, len(ds))
		err = series.Over(years, hs...).Visit(context.Background(), nil, func(c sim.Case) error {
			d.Draws[c.Draw] = sim.Tallies(c.In, []sim.Bus{bus})[0].UnmetWh
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	const truths, draws = 100, 20
	inside := 0
	for k := range truths {
		truth := carried(1, sim.DrawOf(10_001+k)).Draws[0]
		low, high := carried(uint64(2+k), sim.DrawsTo(draws)...).Range()
		if low <= truth && truth <= high {
			inside++
		}
	}
	if inside < 70 || inside > 90 {
		t.Errorf("the truth lies in the 8-in-10 range %d times of %d", inside, truths)
	}
	t.Logf("%d of %d inside", inside, truths)
}

// Where a fit left joint draws, the creek is one of them with its daily error:
// over many numbers each of them comes up, and none else.
func TestCreekIsOneOfTheFitsDraws(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s.Rain.RainMM = s.Rain.RainMM[:2*365+2]
	own := *s.Stream.Curve
	bigger := own
	bigger.GainM3S *= 2
	s.Stream.Draws = []stream.Draw{{Model: own}, {Model: bigger, Error: stream.DailyError{SD: 0.2, Correlation: 0.9, ReferenceM3S: 1e-3}}}
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	if !h.Fitted() {
		t.Error("draws are not known for a fit")
	}
	exact := h.FlowM3S()
	pet := h.PotentialEvaporation()
	var plain, strayed int
	for k := 1; k <= 20; k++ {
		var d sim.Draw
		d[sim.TheCreek] = k
		flow := h.Draw(d, 1).FlowM3S()
		if slices.Equal(flow, exact) {
			plain++
			continue
		}
		strayed++
		twice := bigger.Flow(nil, s.Rain.RainMM, pet)
		logs, n := 0.0, 0
		for i, q := range flow {
			if twice[i] > 0 && q > 0 {
				logs, n = logs+math.Abs(math.Log(q/twice[i])), n+1
			}
		}
		if mean := logs / float64(n); mean < 0.03 || mean > 0.5 {
			t.Errorf("draw %d strays by %.2f of its model on a mean day, of 0.2 × 0.8", k, mean)
		}
	}
	if plain != 10 || strayed != 10 {
		t.Errorf("%d and %d of the two creeks in 20 draws", plain, strayed)
	}
}
