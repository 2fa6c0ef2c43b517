package stream

import (
	"math"
	"math/rand/v2"
	"slices"
)

// DailyError is how the real creek's days differ from a fitted model's: on
// the logarithm of flow, a dull or a wet spell long, and more or less at high
// flow. On day t
//
//	ln(real + c) = ln(model + c) + s(model)·x(t)        x(t) = ρ·x(t−1) + √(1−ρ²)·N(0, 1)
//	s(q) = SD · (q/reference)^growth, kept between a third of SD and three times it
//
// The zero value is no error.
type DailyError struct {
	SD           float64 // of the logarithm, at ReferenceM3S
	Correlation  float64 // ρ, of a day with the next
	Growth       float64
	ReferenceM3S float64
	AddM3S       float64 // c: flows far below it count as none
}

// maxGrowth bounds how far the error may grow or shrink with flow.
const maxGrowth = 3

// sdAt returns s(q).
func (e DailyError) sdAt(flowM3S float64) float64 {
	return e.SD * growthAt(flowM3S, e.ReferenceM3S, e.Growth)
}

func growthAt(flowM3S, referenceM3S, growth float64) float64 {
	if growth == 0 || referenceM3S <= 0 {
		return 1
	}
	return math.Max(1.0/maxGrowth, math.Min(maxGrowth, math.Pow(flowM3S/referenceM3S, growth)))
}

// Apply fills dst (or, if nil, a new slice) with a possible real creek: a
// model's daily flow in m³/s with one random course of the error. dst may be
// flowM3S itself. The same rng gives the same course.
func (e DailyError) Apply(dst, flowM3S []float64, rng *rand.Rand) []float64 {
	if e.SD == 0 {
		return e.ApplyFrom(dst, flowM3S, 0, nil)
	}
	return e.ApplyFrom(dst, flowM3S, rng.NormFloat64(), rng)
}

// ApplyFrom is [DailyError.Apply] whose course begins with x on the first day: 0
// on the day of a reading that the model was made to agree with.
func (e DailyError) ApplyFrom(dst, flowM3S []float64, x float64, rng *rand.Rand) []float64 {
	if dst == nil {
		dst = make([]float64, len(flowM3S))
	}
	if len(dst) != len(flowM3S) {
		panic("stream: dst and flowM3S differ in length")
	}
	if e.SD == 0 {
		copy(dst, flowM3S)
		return dst
	}
	fresh := math.Sqrt(1 - e.Correlation*e.Correlation)
	for i, q := range flowM3S {
		if i > 0 {
			x = e.Correlation*x + fresh*rng.NormFloat64()
		}
		dst[i] = math.Max(0, (q+e.AddM3S)*math.Exp(e.sdAt(q)*x)-e.AddM3S)
	}
	return dst
}

// What daily errors usually are: the middle of the prior and its width on the
// logarithm (of SD and of 1−ρ) or plain (growth). Judgement, from models
// fitted to a few readings of gauged rivers.
const (
	usualSD, usualSDWidth         = 0.28, 0.5
	usualFresh, usualFreshWidth   = 0.09, 0.7
	usualGrowth, usualGrowthWidth = 0.0, 0.12

	sdSteps, freshSteps, growthSteps = 16, 7, 7
	gridReach                        = 2.5 // widths from the middle of the prior
	surprising                       = 3   // standard deviations beyond which a miss counts in step, not squared
)

// errorGrid is the daily errors that are thought possible, with their shares.
type errorGrid struct {
	errors   []DailyError
	fraction []float64 // adds up to 1
}

// dailyErrors weighs a grid of daily errors by their prior and by how likely
// they make the misses of readings left out. left holds the flows that models
// gave for the readings, by split; nil leaves the prior.
//
// The likelihood is that of a Kalman filter over the days of the readings, since
// misses of neighbouring days go together, the readings' own errors added.
func (t *target) dailyErrors(left [][]float64, known []float64) errorGrid {
	var g errorGrid
	reference := t.referenceM3S()
	step := func(i, steps int) float64 { return gridReach * (2*float64(i)/float64(steps-1) - 1) }
	var logs []float64
	fade := make([]float64, len(t.day)) // ρ^days since the reading before
	grown := make([][][]float64, growthSteps)
	for k := range growthSteps {
		grown[k] = make([][]float64, len(left))
		for s, q := range left {
			for _, v := range q {
				grown[k][s] = append(grown[k][s], growthAt(v, reference, usualGrowth+usualGrowthWidth*step(k, growthSteps)))
			}
		}
	}
	misses := make([][]float64, len(left))
	for s, q := range left {
		for i, v := range q {
			misses[s] = append(misses[s], t.read[i]-math.Log(v+t.addM3S))
		}
	}
	for j := range freshSteps {
		rho := math.Max(0, 1-usualFresh*math.Exp(usualFreshWidth*step(j, freshSteps)))
		for i := range t.day {
			if i > 0 {
				fade[i] = math.Pow(rho, float64(t.day[i]-t.day[i-1]))
			}
		}
		for k := range growthSteps {
			for i := range sdSteps {
				a, b, c := step(i, sdSteps), step(j, freshSteps), step(k, growthSteps)
				e := DailyError{SD: usualSD * math.Exp(usualSDWidth*a), Correlation: rho,
					Growth: usualGrowth + usualGrowthWidth*c, ReferenceM3S: reference, AddM3S: t.addM3S}
				logOf := -(a*a + b*b + c*c) / 2
				for s := range left {
					logOf += t.likelihood(misses[s], grown[k][s], fade, known, e.SD) / float64(len(left))
				}
				g.errors = append(g.errors, e)
				logs = append(logs, logOf)
			}
		}
	}
	maximum, sum := math.Inf(-1), 0.0
	for _, l := range logs {
		maximum = math.Max(maximum, l)
	}
	for _, l := range logs {
		g.fraction = append(g.fraction, math.Exp(l-maximum))
		sum += math.Exp(l - maximum)
	}
	for i := range g.fraction {
		g.fraction[i] /= sum
	}
	return g
}

// likelihood returns the logarithm of the likelihood of the misses of one split,
// but for a constant.
func (t *target) likelihood(miss, grown, fade, known []float64, sd float64) float64 {
	log := 0.0
	x, spread := 0.0, 1.0
	for i, y := range miss {
		x *= fade[i]
		spread = 1 - fade[i]*fade[i]*(1-spread)
		h := sd * grown[i]
		total := h*h*spread + known[i]
		scale := math.Sqrt(total)
		u := (y - h*x) / scale
		cost := u * u
		if math.Abs(u) > surprising {
			cost = surprising * (2*math.Abs(u) - surprising)
			u = math.Copysign(surprising, u)
		}
		log -= (math.Log(total) + cost) / 2
		gain := h * spread / total
		x += gain * u * scale
		spread *= 1 - gain*h
	}
	return log
}

// spread returns the variance, for each reading, of what is known apart from the
// daily error: the reading's own error, and the draws' spread on its day.
func (t *target) spread(sets [][]float64) []float64 {
	v := slices.Clone(t.readingVar)
	if len(sets) < 2 {
		return v
	}
	sum, squares := make([]float64, len(v)), make([]float64, len(v))
	for _, set := range sets {
		t.simulate(t.space.model(set))
		for i, q := range t.flow {
			d := math.Log(q+t.addM3S) - t.read[i]
			sum[i] += d
			squares[i] += d * d
		}
	}
	n := float64(len(sets))
	for i := range v {
		v[i] += math.Max(0, squares[i]-sum[i]*sum[i]/n) / (n - 1)
	}
	return v
}

// tenthSD is how many standard deviations a tenth of a normal lies below the
// middle.
const tenthSD = 1.2815515655446004

// referenceM3S is the geometric mean of the readings.
func (t *target) referenceM3S() float64 { return math.Exp(meanOf(t.read)) }

// draw picks an error by its share.
func (g errorGrid) draw(rng *rand.Rand) DailyError {
	u := rng.Float64()
	for i, p := range g.fraction {
		if u -= p; u < 0 {
			return g.errors[i]
		}
	}
	return g.errors[len(g.errors)-1]
}

// middle returns the mean of the grid, on its own scales.
func (g errorGrid) middle() DailyError {
	e := g.errors[0]
	var sd, fresh, growth float64
	for i, p := range g.fraction {
		sd += p * math.Log(g.errors[i].SD)
		fresh += p * math.Log(1-g.errors[i].Correlation)
		growth += p * g.errors[i].Growth
	}
	e.SD, e.Correlation, e.Growth = math.Exp(sd), 1-math.Exp(fresh), growth
	return e
}

// Around returns the flows in m³/s between which the real creek is on 8 days of
// 10 on which the model says flowM3S, and how many readings between half and
// twice that flow tell so; what the others tell counts less there.
func (f *Fitted) Around(flowM3S float64) (low, high float64, readings int) {
	for _, g := range f.Used {
		if g.FlowM3S >= flowM3S/2 && g.FlowM3S <= 2*flowM3S {
			readings++
		}
	}
	e := f.Error
	times := math.Exp(tenthSD * e.sdAt(flowM3S))
	return math.Max(0, (flowM3S+e.AddM3S)/times-e.AddM3S), (flowM3S+e.AddM3S)*times - e.AddM3S, readings
}
