package weather

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// The matrices of Richardson and Wright (1984) for highs and lows belong to
// residuals of unit variance that are correlated by .633 on the day and, by A M0,
// by .621 (highs), .445 (high with the low before), .572 (low with the high
// before) and .664 (lows) from day to day. From these correlations the step must
// be theirs; B to 0.02, for their third variable, radiation, is left out. And the
// stationary covariance M = A M Aᵀ + B Bᵀ of the step has the correlations.
func TestStepAgainstPublishedMatrices(t *testing.T) {
	m1 := [2][2]float64{{.567 + .086*.633, .567*.633 + .086}, {.253 + .504*.633, .253*.633 + .504}}
	s := stepOf(.633, m1)
	a, b := mat.NewDense(2, 2, nil), mat.NewDense(2, 2, nil)
	wantA, wantB := [2][2]float64{{.567, .086}, {.253, .504}}, [2][2]float64{{.781, 0}, {.328, .637}}
	for i := range 2 {
		for j := range 2 {
			a.Set(i, j, s.a[i][j])
			b.Set(i, j, s.b[i][j])
			if math.Abs(s.a[i][j]-wantA[i][j]) > 1e-9 || math.Abs(s.b[i][j]-wantB[i][j]) > 0.02 {
				t.Errorf("[%d][%d]: A %.3f, B %.3f, published %.3f and %.3f", i, j, s.a[i][j], s.b[i][j], wantA[i][j], wantB[i][j])
			}
		}
	}
	var bb, m, lagged mat.Dense
	bb.Mul(b, b.T())
	m.CloneFrom(&bb)
	for range 200 {
		var am, next mat.Dense
		am.Mul(a, &m)
		next.Mul(&am, a.T())
		next.Add(&next, &bb)
		m.CloneFrom(&next)
	}
	lagged.Mul(a, &m)
	m0 := [2][2]float64{{1, .633}, {.633, 1}}
	for i := range 2 {
		for j := range 2 {
			if math.Abs(m.At(i, j)-m0[i][j]) > 1e-9 || math.Abs(lagged.At(i, j)-m1[i][j]) > 1e-9 {
				t.Errorf("[%d][%d]: covariance %.4f of the day, %.4f with the day before, want %.3f and %.3f", i, j, m.At(i, j), lagged.At(i, j), m0[i][j], m1[i][j])
			}
		}
	}
}

// No other shape makes the amounts likelier than the fitted one.
func TestGammaIsTheLikeliest(t *testing.T) {
	src := rand.NewPCG(3, 4)
	for _, shape := range []float64{0.4, 0.75, 1, 3} {
		g := distuv.Gamma{Alpha: shape, Beta: shape / 8, Src: src}
		amounts := make([]float64, 4000)
		for i := range amounts {
			amounts[i] = g.Rand()
		}
		fitted, mean := fitGamma(amounts)
		likelihood := func(a float64) (sum float64) {
			d := distuv.Gamma{Alpha: a, Beta: a / mean}
			for _, x := range amounts {
				sum += d.LogProb(x)
			}
			return sum
		}
		best := likelihood(fitted)
		for _, f := range []float64{0.98, 1.02} {
			if l := likelihood(fitted * f); l >= best {
				t.Errorf("shape %.3f has log likelihood %.4f, the fitted %.3f only %.4f", fitted*f, l, fitted, best)
			}
		}
		if math.Abs(fitted/shape-1) > 0.08 {
			t.Errorf("shape %.3f fitted to amounts of shape %g", fitted, shape)
		}
	}
}

func TestNodesAreStandardNormal(t *testing.T) {
	var m [5]float64
	for i, z := range nodeZ {
		for k := range m {
			m[k] += nodeWeight[i] * math.Pow(z, float64(k))
		}
	}
	for k, want := range [5]float64{1, 0, 1, 0, 3} {
		if math.Abs(m[k]-want) > 1e-12 {
			t.Errorf("moment %d of the nodes is %g, of a standard normal %g", k, m[k], want)
		}
	}
}

func TestMidMonthsKeepTheMeans(t *testing.T) {
	means := [12]float64{4, 5, 8, 11, 15, 18, 22, 21, 17, 12, 7, 4}
	v := midMonths(means)
	for i := range v {
		got := (v[(i+11)%12] + 6*v[i] + v[(i+1)%12]) / 8
		if math.Abs(got-means[i]) > 1e-9 {
			t.Errorf("month %d: mean %g, want %g", i+1, got, means[i])
		}
	}
}

// Days made up with the same chances all year show the fraction of wet days and
// the spells of Richardson (1981), WRR 17(1): P01/(1+P01−P11), 1/(1−P11) and,
// between them, 1/P01.
func TestSyntheticSpellsAgainstRichardsonsFormulas(t *testing.T) {
	for _, p := range []MonthRain{
		{WetAfterDry: 0.43, WetAfterWet: 0.72}, {WetAfterDry: 0.10, WetAfterWet: 0.70}, {WetAfterDry: 0.06, WetAfterWet: 0.38},
	} {
		p.Shape, p.MeanMM, p.scale = 0.75, 8, 1
		c := &Generator{Seed: 9, start: time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC), before: p.before(p.WetFraction())}
		c.days = calendarDays(c.start, 365)
		for i := range c.Months {
			c.Months[i] = p
			c.Seasons[i/6].Months[i] = true
		}
		var months [12]monthCount
		var all monthCount
		year := Record{Start: c.start, RainMM: make([]float64, 365)}
		for n := range 1500 {
			c.Fill(year, n)
			count(&months, year, c.days)
		}
		for _, m := range months {
			all.days += m.days
			all.wet += m.wet
			all.spells += m.spells
			all.spellDays += m.spellDays
		}
		if got, want := all.wetFraction(), p.WetFraction(); math.Abs(got/want-1) > 0.015 {
			t.Errorf("share of wet days %.4f, the formula gives %.4f", got, want)
		}
		if got, want := all.wetSpell(), p.WetSpell(); math.Abs(got/want-1) > 0.015 {
			t.Errorf("wet spells of %.3f days, the formula gives %.3f", got, want)
		}
	}
}

// Where dry spells last, the chain settles to the fraction of wet days and to the
// mean dry spell that stepping its states by the day gives, and synthetic years to
// both; a spell that has lasted goes on.
func TestLastingDrySpells(t *testing.T) {
	p := MonthRain{WetAfterDry: 0.42, WetAfterWet: 0.6, Lasting: -1, Shape: 0.75, MeanMM: 8}
	p.scale = 1
	long := p.wetAfterLong()
	if want := 0.42 / (0.42 + 0.58*math.E); math.Abs(long-want) > 1e-12 {
		t.Fatalf("a wet day after a long spell has the chance %.4f, want %.4f", long, want)
	}
	state := spellState{1}
	for range 2000 {
		state = p.step(&state, long)
	}
	if math.Abs(state[0]-p.WetFraction()) > 1e-9 {
		t.Errorf("wet share %.6f, the stepped chain has %.6f", p.WetFraction(), state[0])
	}
	for k, x := range p.before(p.WetFraction()) {
		if math.Abs(x-state[k]) > 1e-9 {
			t.Errorf("state %d is told as %.6f, stepped %.6f", k, x, state[k])
		}
	}
	c := &Generator{Seed: 9, start: time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC), before: p.before(p.WetFraction())}
	c.days = calendarDays(c.start, 365)
	for i := range c.Months {
		c.Months[i] = p
		c.Seasons[i/6].Months[i] = true
	}
	year := Record{Start: c.start, RainMM: make([]float64, 365)}
	spells, dryDays, goOn, lasted := 0.0, 0.0, 0.0, 0.0
	for n := range 1000 {
		c.Fill(year, n)
		dry := 0
		for _, mm := range year.RainMM {
			if !isWet(mm) {
				dry++
				continue
			}
			if dry > 0 {
				spells++
				dryDays += float64(dry)
				if dry >= longDry {
					lasted++
					goOn += float64(dry - longDry)
				}
			}
			dry = 0
		}
	}
	if got := dryDays / spells; math.Abs(got/p.DrySpell()-1) > 0.02 {
		t.Errorf("dry spells of %.3f days, the formula gives %.3f", got, p.DrySpell())
	}
	// Spells of four days last (1 − p)/p more.
	if got, want := goOn/lasted, (1-long)/long; math.Abs(got/want-1) > 0.04 {
		t.Errorf("long spells go on for %.2f days, want %.2f", got, want)
	}
}
