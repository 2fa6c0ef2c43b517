package plans

import (
	"context"
	"fmt"
	"slices"

	"golang.org/x/sync/errgroup"

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

	draws []sim.Draw // besides the middle
	seed  uint64
	drawn []*series.Homestead // Home as they have it
}

// NewBase prepares a site that read gives for the water years that pick takes
// of it.
func NewBase(read func([]files.Setting) (*site.Site, error), h *series.Homestead, years []weather.Year) *Base {
	return &Base{Read: read, Home: h.Keep(), Years: years}
}

// maxRuns bounds the years under draws that are kept in memory, about 0.7 MB
// each: of a long record there are fewer draws.
const maxRuns = 300

// Draw has the base and its plans run under so many draws of what nobody knows
// for sure, the middle values not among them; 0 or 1: under the middle values
// alone. It returns how many there are.
func (b *Base) Draw(ctx context.Context, n int, seed uint64) (int, error) {
	b.draws, b.drawn = nil, nil
	if n = min(n, maxRuns/max(len(b.Years), 1)); n <= 1 {
		return 1, nil
	}
	b.draws, b.seed = sim.DrawsTo(n), seed
	drawn, err := b.Home.Draws(ctx, b.draws, seed)
	if err != nil {
		return 0, err
	}
	for _, h := range drawn {
		b.drawn = append(b.drawn, h.Keep())
	}
	return n, nil
}

// under returns a homestead that [Base.Prepare] made, or the base's own, as each
// draw has it; itself where there are none.
func (b *Base) under(h *series.Homestead) []*series.Homestead {
	if b.draws == nil {
		return []*series.Homestead{h}
	}
	if h == b.Home {
		return b.drawn
	}
	all := make([]*series.Homestead, len(b.draws))
	var group errgroup.Group
	group.SetLimit(sim.Workers())
	for i, d := range b.draws {
		group.Go(func() error {
			all[i] = h.DrawBeside(d, b.seed, b.drawn[i])
			return nil
		})
	}
	group.Wait() // nothing fails
	return all
}

// Tried is a plan that was run.
type Tried struct {
	Home *series.Homestead
	Outcome
}

// Outcome is how a homestead fares: a value for each year, in order, under one
// draw after the other.
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

// prepare is [Base.Prepare] with the base's years in the new homestead.
func (b *Base) prepare(set []files.Setting) (*series.Homestead, []weather.Year, error) {
	h, err := b.Prepare(set)
	if err != nil {
		return nil, nil, err
	}
	years, err := same(b.Years, h)
	return h, years, err
}

// After is the base once a plan was made.
func (b *Base) After(set []files.Setting) (*Base, error) {
	h, years, err := b.prepare(set)
	if err != nil {
		return nil, err
	}
	read := func(more []files.Setting) (*site.Site, error) { return b.Read(slices.Concat(set, more)) }
	after := &Base{Read: read, Home: h, Years: years, draws: b.draws, seed: b.seed}
	if b.draws != nil {
		after.drawn = b.under(h)
	}
	return after, nil
}

// Try runs a plan over the base's years.
func (b *Base) Try(ctx context.Context, set []files.Setting) (*Tried, error) {
	h, years, err := b.prepare(set)
	if err != nil {
		return nil, err
	}
	o, err := run(ctx, years, b.under(h))
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

// run tallies every year under every draw.
func run(ctx context.Context, years []weather.Year, draws []*series.Homestead) (Outcome, error) {
	o := newOutcome(len(years) * len(draws))
	bus := draws[0].Bus()
	err := series.Over(years, draws...).Visit(ctx, nil, func(c sim.Case) error {
		var t sim.Tally
		bus.Span(c.In, bus.Start(), 0, c.In.Hours(), &t)
		o.put(c.Place, c.In, &t)
		return nil
	})
	return o, err
}

// byDraw returns the mean dark hours of each draw.
func (o *Outcome) byDraw(draws int) []float64 {
	n := len(o.Unmet) / draws
	all := make([]float64, draws)
	for d := range all {
		all[d] = mean(o.Unmet[d*n : (d+1)*n])
	}
	return all
}
