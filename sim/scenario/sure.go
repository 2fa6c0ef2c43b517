package scenario

import (
	"context"

	"sunrill/sim"
	"sunrill/weather"
)

// Sure is how sure a scenario's outcome is, over draws: unmet hours in one year
// of five and in the worst. Those with hydro are empty where the site has none.
type Sure struct {
	OneInFive, Worst               sim.Doubt // with hydro where the site has it
	OneInFiveWithout, WorstWithout sim.Doubt
	Helps                          int // draws in which hydro halves the hours of one year in five, or better
	Draws                          int
}

// Drawn is a homestead under one draw, see [Homestead].
type Drawn struct {
	NewWorker func() Worker
	Over      func(c *weather.Generator) func() Worker
}

// over returns the workers of a weather generator's synthetic years.
func (d Drawn) over(c *weather.Generator) func() Worker {
	if d.Over == nil {
		return d.NewWorker
	}
	return d.Over(c)
}

// syntheticADraw is the number of synthetic years that each draw runs: enough for
// its one year in five.
const syntheticADraw = 100

// sure runs every scenario again under each draw.
func (s *study) sure(ctx context.Context, r *Result, chain *weather.Generator) error {
	record, err := s.sureOf(ctx, s.drawn(s.Record))
	if err != nil {
		return err
	}
	for i := range r.Scenarios {
		sc := &r.Scenarios[i]
		switch {
		case sc.Name == NameSynthetic:
			n := min(s.o.Synthetic, syntheticADraw)
			over := make([]func() Worker, len(s.Drawn))
			for d := range over {
				over[d] = s.Drawn[d].over(chain)
			}
			sc.Sure, err = s.sureOf(ctx, s.drawnYears(n, func(d int) func(i int) *sim.Input {
				worker := over[d]()
				var made weather.Record
				return func(i int) *sim.Input {
					y := chain.Synthesize(&made, i)
					return worker(made, i*y.Days)(y)
				}
			}))
		case sc.Name == NameRecord:
			sc.Sure = record
		case sc.Name == nameWorst || sc.Name == nameDriest: // one year of the record
		case sc.OnsetWeeks > 0:
			sc.Sure, err = s.sureOf(ctx, s.drawn(weather.Later(s.Record, 7*sc.OnsetWeeks)))
		default:
			sc.Sure, err = s.sureOf(ctx, s.drawn(weather.Scaled(s.Record, sc.RainFactor)))
		}
		if err != nil {
			return err
		}
		if sc.Sure != nil {
			sc.Sure.OneInFive.Middle, sc.Sure.Worst.Middle = sc.Best().UnmetP80, sc.Best().UnmetWorst
			sc.Sure.OneInFiveWithout.Middle, sc.Sure.WorstWithout.Middle = sc.Without.UnmetP80, sc.Without.UnmetWorst
		}
	}
	return nil
}

// drawn are the record's years under weather r, under each draw.
func (s *study) drawn(r weather.Record) sim.Years {
	return s.drawnYears(len(s.Years), func(d int) func(i int) *sim.Input {
		year := s.Drawn[d].NewWorker()(r, 0)
		return func(i int) *sim.Input { return year(s.Years[i]) }
	})
}

// drawnYears are n years under each draw; under makes those of a draw, for one
// goroutine.
func (s *study) drawnYears(n int, under func(draw int) func(i int) *sim.Input) sim.Years {
	return sim.Years{N: n, Draws: len(s.Drawn), Maker: func() func(int, int) *sim.Input {
		at, year := -1, (func(int) *sim.Input)(nil)
		return func(draw, i int) *sim.Input {
			if draw != at { // draws come in order
				at, year = draw, under(draw)
			}
			return year(i)
		}
	}}
}

func (s *study) sureOf(ctx context.Context, ys sim.Years) (*Sure, error) {
	with, without := make([]float64, ys.Runs()), make([]float64, ys.Runs())
	err := ys.Visit(ctx, s.step, func(c sim.Case) error {
		unmet := func(in *sim.Input) float64 {
			var t sim.Tally
			s.Bus.Span(in, s.Bus.Start(), 0, in.Hours(), &t)
			return float64(t.UnmetHours)
		}
		if s.Hydro {
			with[c.Place] = unmet(c.In)
		}
		without[c.Place] = unmet(c.As(sim.Variant{Hydro: sim.HydroOff}))
		return nil
	})
	if err != nil {
		return nil, err
	}
	u := &Sure{Draws: ys.Draws}
	for d := range ys.Draws {
		a := sim.NewSpread(without[d*ys.N : (d+1)*ys.N])
		u.OneInFiveWithout.Draws = append(u.OneInFiveWithout.Draws, a.At(0.8))
		u.WorstWithout.Draws = append(u.WorstWithout.Draws, a.At(1))
		b := a
		if s.Hydro {
			b = sim.NewSpread(with[d*ys.N : (d+1)*ys.N])
		}
		u.OneInFive.Draws = append(u.OneInFive.Draws, b.At(0.8))
		u.Worst.Draws = append(u.Worst.Draws, b.At(1))
		if b.At(0.8) <= a.At(0.8)/2 && a.At(0.8) > 0 {
			u.Helps++
		}
	}
	return u, nil
}
