package sim

import "context"

// Unmet counts the unmet hours of every year under every draw: a slice of years
// for each draw.
func (ys Years) Unmet(ctx context.Context, b Bus, step func()) ([][]int, error) {
	hours := make([][]int, max(ys.Draws, 1))
	for d := range hours {
		hours[d] = make([]int, ys.N)
	}
	err := ys.Visit(ctx, step, func(c Case) error {
		var t Tally
		b.Span(c.In, b.Start(), 0, c.In.Hours(), &t)
		hours[c.Draw][c.Year] = t.UnmetHours
		return nil
	})
	return hours, err
}

// Carried is how a house fares over its years, and how sure that is: unmet
// hours a year.
type Carried struct {
	Years, Draws               int
	Middling, OneInFive, Worst Doubt // of the years of each draw
	Mean                       Doubt

	// Where those of the middle values come out in as many years drawn again from
	// these ([Spread.AtRange]).
	MiddlingRange, OneInFiveRange, WorstRange Range
}

// NewCarried reads it from the unmet hours of every year: with the middle values
// and under each draw.
func NewCarried(middle []int, draws [][]int) Carried {
	c := Carried{Years: len(middle), Draws: len(draws)}
	spread := func(years []int) Spread {
		v := make([]float64, len(years))
		for i, h := range years {
			v[i] = float64(h)
		}
		return NewSpread(v)
	}
	read := func(years []int) (half, fifth, worst, mean float64) {
		s := spread(years)
		return s.At(0.5), s.At(0.8), s.At(1), s.Mean()
	}
	again := func(share float64) Range { return spread(middle).AtRange(share, len(middle), Middle) }
	c.MiddlingRange, c.OneInFiveRange, c.WorstRange = again(0.5), again(0.8), again(1)
	c.Middling.Middle, c.OneInFive.Middle, c.Worst.Middle, c.Mean.Middle = read(middle)
	for _, years := range draws {
		a, b, w, m := read(years)
		c.Middling.Draws = append(c.Middling.Draws, a)
		c.OneInFive.Draws = append(c.OneInFive.Draws, b)
		c.Worst.Draws = append(c.Worst.Draws, w)
		c.Mean.Draws = append(c.Mean.Draws, m)
	}
	return c
}

// AtFraction returns the index of the year, by [ByDarkness], that at least the given
// share of the years is no worse than: 0.5 is a middling year, 0.8 that of one
// in five.
func AtFraction(years []Summary, fraction float64) int {
	order := ByDarkness(years)
	places := make([]float64, len(order))
	for k := range places {
		places[k] = float64(k)
	}
	return order[int(Spread(places).At(fraction))]
}
