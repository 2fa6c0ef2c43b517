package plans

import (
	"context"
	"fmt"
	"slices"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// Plan is a site with some values set otherwise.
type Plan struct {
	Name string
	Set  []files.Setting
}

// Base is the homestead that plans are changes of.
type Base struct {
	// Read reads the site's folder with settings.
	Read func(set []files.Setting) (*site.Site, error)
	// Home is what Read(nil) gives, made ready; [NewBase] has it keep its parts.
	Home  *series.Homestead
	Years []weather.Year
}

// NewBase prepares a site that read gives for the water years that pick takes
// of it.
func NewBase(read func([]files.Setting) (*site.Site, error), h *series.Homestead, years []weather.Year) *Base {
	return &Base{Read: read, Home: h.Keep(), Years: years}
}

// Tried is a plan that was run.
type Tried struct {
	Home *series.Homestead
	Outcome
}

// Outcome is how a homestead fares: a value for each year, in order.
type Outcome struct {
	Unmet, Low, Hazard, Generator []int // hours
	Stops, Walks                  []int // dry-pipe stops, walks to the turbine
	FuelL                         []float64
}

// newOutcome makes room for so many years.
func newOutcome(n int) Outcome {
	return Outcome{make([]int, n), make([]int, n), make([]int, n), make([]int, n), make([]int, n), make([]int, n), make([]float64, n)}
}

// put puts down one year.
func (o *Outcome) put(i int, in *sim.Input, t *sim.Tally) {
	o.Unmet[i], o.Low[i], o.Hazard[i], o.Generator[i] = t.UnmetHours, t.LowHours, t.HazardHours, t.GeneratorHours
	o.Stops[i], o.Walks[i], o.FuelL[i] = len(in.DryStopHour), len(in.VisitDay), t.FuelL
}

// UnmetHours is the spread of the unmet hours over the years.
func (o *Outcome) UnmetHours() sim.Spread { return spread(o.Unmet) }

func spread(counts []int) sim.Spread {
	values := make([]float64, len(counts))
	for i, n := range counts {
		values[i] = float64(n)
	}
	return sim.NewSpread(values)
}

func mean(counts []int) float64 {
	sum := 0
	for _, n := range counts {
		sum += n
	}
	return float64(sum) / float64(len(counts))
}

func meanOf(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// Prepare reads the folder with settings and makes it ready, sharing with the
// base what they leave alone. The error is [files.Problems] where the settings
// do not fit.
func (b *Base) Prepare(set []files.Setting) (*series.Homestead, error) {
	s, err := b.Read(set)
	if err != nil {
		return nil, err
	}
	return b.Home.With(s)
}

// After is the base once a plan was made.
func (b *Base) After(set []files.Setting) (*Base, error) {
	h, err := b.Prepare(set)
	if err != nil {
		return nil, err
	}
	years, err := same(b.Years, h)
	if err != nil {
		return nil, err
	}
	read := func(more []files.Setting) (*site.Site, error) { return b.Read(slices.Concat(set, more)) }
	return &Base{Read: read, Home: h, Years: years}, nil
}

// Try runs a plan over the base's years.
func (b *Base) Try(ctx context.Context, set []files.Setting) (*Tried, error) {
	h, err := b.Prepare(set)
	if err != nil {
		return nil, err
	}
	years, err := same(b.Years, h)
	if err != nil {
		return nil, err
	}
	o, err := run(ctx, h, years)
	return &Tried{h, o}, err
}

// same returns the years of another homestead that are called as these are.
func same(years []weather.Year, h *series.Homestead) ([]weather.Year, error) {
	of := map[int]weather.Year{}
	for _, y := range h.Years() {
		of[y.Number()] = y
	}
	var all []weather.Year
	for _, y := range years {
		o, ok := of[y.Number()]
		if !ok {
			return nil, files.Problems{{What: fmt.Sprintf("the water year %d is not in all the records that are compared", y.Number()), Hint: "--years picks those that are"}}
		}
		all = append(all, o)
	}
	return all, nil
}

// run tallies every year.
func run(ctx context.Context, h *series.Homestead, years []weather.Year) (Outcome, error) {
	n := len(years)
	o := newOutcome(n)
	bus := h.Bus()
	err := series.Over(years, h).Visit(ctx, nil, func(c sim.Case) error {
		var t sim.Tally
		bus.Span(c.In, bus.Start(), 0, c.In.Hours(), &t)
		o.put(c.Place, c.In, &t)
		return nil
	})
	return o, err
}
