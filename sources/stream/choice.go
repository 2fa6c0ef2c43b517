package stream

import (
	"context"
	"math"
)

// clearLead is how many standard errors the curve must be ahead on readings
// left out to be preferred to the catchment model; a judgement. On gauged
// rivers the catchment model is the better one nine times of ten, so the
// doubt is its.
const clearLead = 1.5

// Choice is two models fitted to the same readings.
type Choice struct {
	Best, Other *Fitted
	Lead        float64 // standard errors by which the curve is ahead on readings left out; NaN: not tested

	Curve, Catchment float64 // NSE of logarithms on readings left out, the same for both
}

// Choose fits the curve and the catchment model, judges both by the readings
// left out of the same splits, and takes the catchment model unless the curve
// is clearly better: ahead by more than 1.5 standard errors, and in the NSE of
// logarithms too. Only the chosen model gets its rounds.
func Choose(ctx context.Context, d Data, o FitOptions) (*Choice, error) {
	rounds := o.rounds()
	work := &progress{total: 2*trialSteps + rounds, tell: o.Progress}
	curve, err := try(ctx, CurveKind, d, o, work)
	if err != nil {
		return nil, err
	}
	catchment, err := try(ctx, CatchmentKind, d, o, work)
	if err != nil {
		return nil, err
	}
	c := &Choice{Best: catchment, Other: curve}
	c.Lead, c.Curve, c.Catchment = compare(curve, catchment)
	if c.Lead > clearLead && c.Curve > c.Catchment {
		c.Best, c.Other = curve, catchment
	}
	return c, c.Best.draw(ctx, rounds, work)
}

// compare lays two fits side by side on the readings left out: by how many
// standard errors the misses of b are greater than those of a (negative where
// they are less, NaN without a test), and the NSE of logarithms of each on the
// same readings. The misses count as they do in the fit, those of a week
// together. A reading that one of them takes for wrong counts against it;
// one that both do is passed over.
func compare(a, b *Fitted) (lead, scoreA, scoreB float64) {
	nan := math.NaN()
	if a.left == nil || b.left == nil {
		return nan, nan, nan
	}
	var weeks, read, byA, byB []float64
	last := math.MinInt
	for i, g := range a.all {
		wrongA, wrongB := a.wrong[i] != nil, b.wrong[i] != nil
		if wrongA && wrongB {
			continue
		}
		qa, lossA := a.unseen(i)
		qb, lossB := b.unseen(i)
		read, byA, byB = append(read, g.FlowM3S), append(byA, qa), append(byB, qb)
		week := dayNumber(g.Date) / 7
		if week != last {
			weeks = append(weeks, 0)
		}
		weeks[len(weeks)-1] += lossB - lossA
		last = week
	}
	mean, spread := meanOf(weeks), 0.0
	for _, d := range weeks {
		spread += (d - mean) * (d - mean)
	}
	if n := float64(len(weeks)); spread > 0 {
		lead = mean / math.Sqrt(spread/(n-1)/n)
	}
	return lead, NSELog(read, byA), NSELog(read, byB)
}

// unseen returns what models that had not seen reading i of all say of it, the
// middle of the splits, and what it adds to their misfit.
func (f *Fitted) unseen(i int) (flowM3S, loss float64) {
	g := f.all[i]
	miss := func(q float64) float64 {
		sd := math.Hypot(g.StandardError()/(g.FlowM3S+f.t.addM3S), modelSD)
		u := student(math.Log((q+f.t.addM3S)/(g.FlowM3S+f.t.addM3S)) / sd)
		return u * u
	}
	if s := f.wrong[i]; s != nil {
		return s.ModelM3S, miss(s.ModelM3S)
	}
	k := f.usedAt[i]
	for _, q := range f.left {
		flowM3S += math.Log(q[k]+f.t.addM3S) / splits
		loss += f.t.own[k] * miss(q[k]) / splits
	}
	return math.Max(0, math.Exp(flowM3S)-f.t.addM3S), loss
}
