package worth

import (
	"slices"

	"gonum.org/v1/gonum/stat"

	"sunrill/sim"
)

// Spread is how unmet hours spread over made-up years.
type Spread struct {
	Years         int     `json:"years"`
	WithP50       float64 `json:"with_hydro_p50"`
	WithP80       float64 `json:"with_hydro_p80"`
	WithP95       float64 `json:"with_hydro_p95"`
	WithoutP50    float64 `json:"without_hydro_p50"`
	WithoutP80    float64 `json:"without_hydro_p80"`
	WithoutP95    float64 `json:"without_hydro_p95"`
	HelpedInYears int     `json:"helped_in_years"` // in which hydro cut unmet hours by half or more
}

// madeUp runs made-up years with and without hydro.
func (c *comparison) madeUp() error {
	if c.MadeUp == nil || c.MadeUpYears <= 0 {
		return nil
	}
	n := c.MadeUpYears
	with, without := make([]float64, n), make([]float64, n)
	helped := make([]bool, n)
	b := c.Bus
	count := func(in *sim.Input, s setup) float64 {
		var t sim.Tally
		b.Span(c.input(in, s), b.Start(), 0, in.Hours(), &t)
		return float64(t.UnmetHours)
	}
	err := c.MadeUp(n, func(i int, in *sim.Input) {
		with[i], without[i] = count(in, c.withHydro()), count(in, c.asItIs())
		helped[i] = without[i] > 0 && with[i] <= without[i]/2
	})
	if err != nil {
		return err
	}
	m := &Spread{Years: n}
	for _, h := range helped {
		if h {
			m.HelpedInYears++
		}
	}
	slices.Sort(with)
	slices.Sort(without)
	at := func(q float64, v []float64) float64 { return stat.Quantile(q, stat.Empirical, v, nil) }
	m.WithP50, m.WithP80, m.WithP95 = at(.5, with), at(.8, with), at(.95, with)
	m.WithoutP50, m.WithoutP80, m.WithoutP95 = at(.5, without), at(.8, without), at(.95, without)
	c.r.MadeUp = m
	return nil
}
