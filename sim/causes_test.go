package sim_test

import (
	"math"
	"testing"

	"sunrill/sim"
)

// A sum of independent normal numbers shares its variance out by the squares of
// their weights; the planted dominant cause ranks first with 20 draws, whatever
// the seed, and a cause that does nothing has nothing.
func TestBlameOfAPlantedCause(t *testing.T) {
	causes := []sim.Cause{sim.TheSky, sim.TheCreek, sim.TheHead, sim.TheLoads}
	weights := map[sim.Cause]float64{sim.TheSky: 1, sim.TheCreek: 3, sim.TheHead: 0, sim.TheLoads: 1.2}
	answer := func(seed uint64, d sim.Draw) float64 {
		sum := 100.0
		for _, c := range causes {
			sum += weights[c] * sim.Z(seed, c, 0, d[c])
		}
		return sum
	}
	of := func(seed uint64, n int) map[sim.Cause]float64 {
		var f []float64
		for _, d := range sim.BlameDraws(n, causes) {
			f = append(f, answer(seed, d))
		}
		b := sim.BlameOf(n, causes, f)
		if n <= 20 && b.Fractions[0].Cause != sim.TheCreek {
			t.Errorf("seed %d, %d draws: %v", seed, n, b.Fractions)
		}
		fractions := map[sim.Cause]float64{}
		for _, s := range b.Fractions {
			fractions[s.Cause] = s.Fraction
		}
		return fractions
	}
	for seed := range uint64(50) {
		if s := of(seed, 20); s[sim.TheHead] != 0 {
			t.Errorf("seed %d: the head does nothing and has %g", seed, s[sim.TheHead])
		}
	}
	total := 0.0
	for _, w := range weights {
		total += w * w
	}
	many := of(1, 5000)
	for c, w := range weights {
		if want := w * w / total; math.Abs(many[c]-want) > 0.04 {
			t.Errorf("cause %d has %.3f of the variance, by the weights %.3f", c, many[c], want)
		}
	}
}

// What the year does, the year is blamed for; and what years and draws make
// together, neither.
func TestBlameOfYears(t *testing.T) {
	causes := []sim.Cause{sim.TheLoads, sim.TheHead}
	const n, years = 200, 12
	of := func(cell func(z float64, year int) float64) sim.Blame {
		var answers [][]float64
		for _, d := range sim.BlameDraws(n, causes) {
			a := make([]float64, years)
			for y := range a {
				a[y] = cell(sim.Z(3, sim.TheLoads, 0, d[sim.TheLoads]), y)
			}
			answers = append(answers, a)
		}
		return sim.BlameOfYears(n, causes, answers)
	}
	level := func(y int) float64 { return math.Sqrt(12.0/143) * (float64(y) - 5.5) } // of variance 1
	b := of(func(z float64, y int) float64 { return z + math.Sqrt(3)*level(y) })
	if b.Fractions[0].Cause != sim.TheLoads || math.Abs(b.Fractions[0].Fraction-0.25) > 0.06 || math.Abs(b.Years-0.75) > 0.1 || b.Fractions[1].Fraction != 0 {
		t.Errorf("a quarter loads, three quarters years: %+v", b)
	}
	b = of(func(z float64, y int) float64 { return z * level(y) })
	if b.Years > 0.05 || b.Fractions[0].Fraction > 0.05 {
		t.Errorf("all of it together: %+v", b)
	}
	if b = of(func(float64, int) float64 { return 7 }); b.Years != 0 || b.Fractions[0].Fraction != 0 {
		t.Errorf("nothing varies: %+v", b)
	}
	if got := sim.Narrowed(0.75); math.Abs(got-0.5) > 1e-12 {
		t.Errorf("three quarters of the variance are half of the spread, not %g", got)
	}
}
