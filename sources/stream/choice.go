package stream

import (
	"context"
	"fmt"
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
	c := &Choice{Best: catchment, Other: curve, Lead: lead(curve, catchment)}
	if c.Lead > clearLead && curve.HeldOut.NSELog > catchment.HeldOut.NSELog {
		c.Best, c.Other = curve, catchment
	}
	return c, c.Best.draw(ctx, rounds, work)
}

// lead returns by how many standard errors the misses of b on readings left out
// are greater than those of a; negative where they are less, NaN without a test.
// The misses count as they do in the fit, and those of a week together.
func lead(a, b *Fitted) float64 {
	if a.left == nil || b.left == nil {
		return math.NaN()
	}
	var weeks []float64
	for i := range a.t.day {
		d := b.lossOf(i) - a.lossOf(i)
		if i > 0 && a.t.week[i] == a.t.week[i-1] {
			weeks[len(weeks)-1] += d
		} else {
			weeks = append(weeks, d)
		}
	}
	mean, spread := meanOf(weeks), 0.0
	for _, d := range weeks {
		spread += (d - mean) * (d - mean)
	}
	n := float64(len(weeks))
	if spread == 0 {
		return 0
	}
	return mean / math.Sqrt(spread/(n-1)/n)
}

// lossOf returns what reading i adds to the misfit of models that had not seen
// it, the mean of the splits.
func (f *Fitted) lossOf(i int) float64 {
	sum := 0.0
	for _, q := range f.left {
		u := student((math.Log(q[i]+f.t.addM3S) - f.t.read[i]) / f.t.sigma[i])
		sum += f.t.own[i] * u * u / splits
	}
	return sum
}

// Why says which model was taken and why.
func (c *Choice) Why() string {
	kind, other := c.Best.Kind, c.Other.Kind
	a, b := c.Best.HeldOut.NSELog, c.Other.HeldOut.NSELog
	switch {
	case math.IsNaN(c.Lead):
		return fmt.Sprintf("Two models were tried, the curve and the catchment model. The readings are from too few weeks to test one against the other, so it is the %s model: on gauged rivers it is right more often.", kind)
	case kind == CurveKind:
		return fmt.Sprintf("Two models were tried on readings left out in turn. The curve is clearly better there (%.2f, the catchment model %.2f; 1 is perfect), so it is taken.", a, b)
	case c.Lead > 0 && b > a:
		return fmt.Sprintf("Two models were tried on readings left out in turn. The curve is a little better there (%.2f, the catchment model %.2f; 1 is perfect), but not clearly, so it is the catchment model: on gauged rivers it is right more often.", b, a)
	}
	return fmt.Sprintf("Two models were tried on readings left out in turn. The %s model is taken: it tells more there (%.2f, the %s %.2f; 1 is perfect).", kind, a, other, b)
}
