package changeover

import (
	"context"

	"sunrill/sim"
)

// Sure is how sure the dates are, over draws: each has a best pair of its own.
type Sure struct {
	Draws int
	// Open and Close are days of the year that the years share, in the draws whose
	// best pair has dates; Dated is their number, Never that of the draws in which
	// the valve had better stay closed.
	Open, Close  sim.Doubt
	Dated, Never int
	// Unmet hours a year, on average, with the best dates of the middle values, and
	// with the valve closed.
	AtBest, Closed sim.Doubt
	// Regret is what those dates leave unmet beyond the draw's own best ones.
	Regret sim.Doubt
	// Helps is the number of draws in which those dates leave less than half of
	// what a closed valve leaves.
	Helps int
}

// sure asks for the best dates under each draw.
func (s Study) sure(ctx context.Context, best Pair, around bool, step func()) (*Sure, error) {
	u := &Sure{Draws: s.Draws.Draws}
	for d := range s.Draws.Draws {
		one := s
		one.Years = s.Draws.Draw(d)
		g, err := one.tables(ctx, around, func(int) { step() })
		if err != nil {
			return nil, err
		}
		o := g.mean.outcomes()
		own := o.best()
		at, closed := o.of(best).UnmetHours, o.of(Never).UnmetHours
		u.AtBest.Draws, u.Closed.Draws = append(u.AtBest.Draws, at), append(u.Closed.Draws, closed)
		u.Regret.Draws = append(u.Regret.Draws, at-o.of(own).UnmetHours)
		if at < closed/2 {
			u.Helps++
		}
		switch {
		case own.Open == own.Close:
			u.Never++
		case own != Pair{0, o.days} && !own.around():
			u.Dated++
			u.Open.Draws, u.Close.Draws = append(u.Open.Draws, float64(own.Open)), append(u.Close.Draws, float64(own.Close))
		}
	}
	return u, nil
}
