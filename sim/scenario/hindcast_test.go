package scenario_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/scenario"
)

// hind is a homestead whose weeks are dark or not by the throw of a coin that
// falls dark with the chance p of the week; every outlook knows p and throws
// 20 coins of its own.
func hind(p func(k int) float64, told func(p float64) float64, dates int) scenario.Hind {
	const days = 7
	start := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	course := func(dark bool) scenario.Course {
		in := &sim.Input{DemandW: constant(24*days, 100), Sources: sim.PanelsAndCreek(constant(24*days, 3000), constant(24*days, 0))}
		if dark {
			in.Set(sim.Panels, constant(24*days, 0))
		}
		return scenario.Course{In: in}
	}
	h := scenario.Hind{Days: days, Bus: sim.Bus{Bank: battery(1)}}
	coin := rand.New(rand.NewPCG(1, 1))
	var came []bool
	for k := range dates {
		h.Dates = append(h.Dates, start.AddDate(0, 0, scenario.HindcastStep*k))
		came = append(came, coin.Float64() < p(k))
	}
	h.Bus.Bank.CapacityWh = 1000
	h.Plan = func(int) scenario.ValvePlan { return scenario.ValvePlan{Kind: scenario.WithoutIt} }
	h.Actual = func(k int) scenario.Course { return course(came[k]) }
	h.Courses = func(k int) (int, func() func(int) scenario.Course) {
		const n = 20
		return n, func() func(int) scenario.Course {
			return func(i int) scenario.Course { return course(float64(i) < n*told(p(k))-1e-9) }
		}
	}
	return h
}

// Chances that are told as they are come true as often as told, and the Brier
// score is the mean of p(1−p); the season's share scores the variance about the
// mean. Told always twice too high they do not. Ref: Brier (1950); the
// decomposition is Murphy's of 1973, from memory.
func TestHindcastKnowsAnHonestChance(t *testing.T) {
	chances := []float64{0.05, 0.2, 0.4, 0.6, 0.8}
	p := func(k int) float64 { return chances[k%len(chances)] }
	j, err := scenario.Hindcast(context.Background(), hind(p, func(p float64) float64 { return p }, 1500), nil)
	if err != nil {
		t.Fatal(err)
	}
	l := j.Leads[0]
	want, mean := 0.0, 0.0
	for _, c := range chances {
		want += c * (1 - c) / 5
		mean += c / 5
	}
	if math.Abs(l.Brier-want) > 0.015 {
		t.Errorf("Brier score %.3f of honest chances, want %.3f", l.Brier, want)
	}
	if ref := mean * (1 - mean); math.Abs(l.BrierClimate-ref) > 0.03 {
		t.Errorf("the season's share scores %.3f, want about %.3f", l.BrierClimate, ref)
	}
	if math.Abs(l.Came-mean) > 0.03 {
		t.Errorf("it came dark on %.3f of dates, want %.3f", l.Came, mean)
	}
	total := 0
	for _, b := range l.Bins {
		total += b.Dates
		if b.Dates > 100 && math.Abs(b.Told-b.Came) > 0.07 {
			t.Errorf("told %.2f, came %.2f on %d dates", b.Told, b.Came, b.Dates)
		}
	}
	if total != l.Dates || l.Dates < 1400 {
		t.Errorf("%d dates in the bins of %d", total, l.Dates)
	}
	double, err := scenario.Hindcast(context.Background(), hind(p, func(p float64) float64 { return math.Min(1, 2*p) }, 1500), nil)
	if err != nil {
		t.Fatal(err)
	}
	if !(double.Leads[0].Brier > 1.2*l.Brier) {
		t.Errorf("doubled chances score %.3f, honest ones %.3f", double.Leads[0].Brier, l.Brier)
	}
}

// Where dark weeks are dark again, the last week going on is perfect.
func TestHindcastLastWeekGoesOn(t *testing.T) {
	always := func(int) float64 { return 1 }
	j, err := scenario.Hindcast(context.Background(), hind(always, baseline, 120), nil)
	if err != nil {
		t.Fatal(err)
	}
	if l := j.Leads[0]; l.BrierRepeat != 0 || l.Brier != 0 || l.Came != 1 {
		t.Errorf("%+v", l)
	}
	alternate := func(k int) float64 { return float64(k % 2) }
	if j, err = scenario.Hindcast(context.Background(), hind(alternate, baseline, 120), nil); err != nil {
		t.Fatal(err)
	}
	if l := j.Leads[0]; l.BrierRepeat < 0.9 || l.Brier != 0 {
		t.Errorf("alternating weeks: the last week scores %.3f, the outlook %.3f", l.BrierRepeat, l.Brier)
	}
}

func baseline(p float64) float64 { return p }
