package worth

import (
	"sunrill/sim"
)

// Spread is how unmet hours spread over synthetic years.
type Spread struct {
	Years         int
	WithP50       float64
	WithP80       float64
	WithP95       float64
	WithoutP50    float64
	WithoutP80    float64
	WithoutP95    float64
	HelpedInYears int // in which hydro cut unmet hours by half or more
}

// synthetic runs synthetic years with and without hydro.
func (c *comparison) synthetic() error {
	n := c.Synthetic.N
	if n == 0 {
		return nil
	}
	with, without := make([]float64, n), make([]float64, n)
	helped := make([]bool, n)
	b := c.Bus
	count := func(in *sim.Input) float64 {
		var t sim.Tally
		b.Span(in, b.Start(), 0, in.Hours(), &t)
		return float64(t.UnmetHours)
	}
	err := c.Synthetic.Visit(c.ctx, nil, func(k sim.Case) error {
		i := k.Year
		with[i], without[i] = count(k.In), count(k.As(sim.Variant{Hydro: sim.HydroOff}))
		helped[i] = without[i] > 0 && with[i] <= without[i]/2
		return nil
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
	w, o := sim.NewSpread(with), sim.NewSpread(without)
	m.WithP50, m.WithP80, m.WithP95 = w.At(.5), w.At(.8), w.At(.95)
	m.WithoutP50, m.WithoutP80, m.WithoutP95 = o.At(.5), o.At(.8), o.At(.95)
	c.r.Synthetic = m
	return nil
}
