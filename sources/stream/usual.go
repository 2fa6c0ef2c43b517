package stream

import (
	"math"
	"math/rand/v2"
)

// Without a fit nobody knows how good a described creek is. These are how far
// it may be off, one standard deviation on the logarithm; judgement.
const (
	describedSize  = 0.25 // of all flows alike
	describedShape = 0.5  // of each other parameter, as a fraction of its usual spread over many creeks
)

// UsualDraws returns n creeks around one that is described but not fitted: each
// parameter moved by half of what it usually spreads over many creeks, the
// size by a quarter, and the daily error as models usually have it. A
// record of rain and evaporation tells what flows are usual and keeps the mean
// flow of each draw to that of m but for the size. A yield table and the floor
// move with the size alone.
func UsualDraws(m Model, rainMM, petMM []float64, n int, seed uint64) []Draw {
	flow := m.Flow(nil, rainMM, petMM)
	mean, middle := meanOf(flow), NewDuration(flow).FlowM3S(0.5)
	t := &target{addM3S: nothingOf * middle}
	if middle > 0 {
		t.read = []float64{math.Log(middle)}
	} else {
		t.read = []float64{math.Log(math.Max(mean, 1e-9))}
	}
	grid := t.dailyErrors(nil, nil)
	draws := make([]Draw, n)
	parallel(n, func(_, i int) {
		rng := rand.New(rand.NewPCG(seed, 3<<32+uint64(i)))
		size := math.Exp(describedSize * rng.NormFloat64())
		moved := moved(m, rng)
		if got := meanOf(moved.Flow(nil, rainMM, petMM)); got > 0 {
			moved = sized(moved, size*mean/got)
		}
		draws[i] = Draw{moved, grid.draw(rng)}
	})
	return draws
}

// moved draws the shape of a creek anew.
func moved(m Model, rng *rand.Rand) Model {
	times := func(v, low, high, minimum, maximum float64) float64 {
		sd := math.Log(high/low) / (2 * tenthSD)
		return math.Max(math.Min(minimum, v), math.Min(math.Max(maximum, v), v*math.Exp(describedShape*sd*rng.NormFloat64())))
	}
	switch c := m.(type) {
	case Curve:
		c.SoilDepthMM = times(c.SoilDepthMM, usualSoil.low, usualSoil.high, 1, 2000)
		c.QuickFraction = times(c.QuickFraction, usualQuickFraction.low, usualQuickFraction.high, 0, 0.95)
		c.QuickDays = times(c.QuickDays, usualQuickDays.low, usualQuickDays.high, 0.05, 30)
		c.RecessionDays = times(c.RecessionDays, usualRecession.low, usualRecession.high, 1, 1000)
		if c.Table == nil {
			c.Exponent = times(c.Exponent, usualExponent.low, usualExponent.high, 0.2, 4)
		}
		return c
	case Catchment:
		c.X1MM = times(c.X1MM, usualX1.low, usualX1.high, 1, 10000)
		c.X2MMD += describedShape * (usualX2.high - usualX2.low) / (2 * tenthSD) * rng.NormFloat64()
		c.X3MM = times(c.X3MM, usualX3.low, usualX3.high, 1, 5000)
		c.X4D = times(c.X4D, usualX4.low, usualX4.high, 0.5, maxX4)
		return c
	}
	return m
}

// sized makes all flows of a creek greater by a factor.
func sized(m Model, factor float64) Model {
	switch c := m.(type) {
	case Curve:
		c.FloorM3S *= factor
		c.GainM3S *= factor
		c.AreaM2 *= factor
		if c.Table != nil {
			table := make([]YieldPoint, len(c.Table))
			for i, p := range c.Table {
				table[i] = YieldPoint{p.IndexMM, p.FlowM3S * factor}
			}
			c.Table = table
		}
		return c
	case Catchment:
		c.AreaM2 *= factor
		return c
	}
	return m
}
