package series

import (
	"context"
	"math"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"
	"gonum.org/v1/gonum/stat/distuv"

	"sunrill/sim"
	"sunrill/sources/hydro"
	"sunrill/sources/stream"
	"sunrill/weather"
)

// Draw returns the homestead as a draw has it: under a sky of its own, with a
// creek that the readings or the parameters' ranges allow, and with one value each of what the
// owner is unsure of. Everything else is shared; draw 0 is the homestead
// itself. It may be called from several goroutines.
//
// More or less sun is a factor on every hour of the sky. A creek without a fit
// takes the width of the usual ranges of its parameters ([stream.Unsure]).
func (h *Homestead) Draw(d sim.Draw, seed uint64) *Homestead { return h.drawBeside(d, seed, nil) }

// DrawBeside returns the same as [Homestead.Draw] of a homestead that was made
// with [Homestead.With], and shares all that the change leaves alone with
// beside: the same draw of the homestead that it is a change of.
func (h *Homestead) DrawBeside(d sim.Draw, seed uint64, beside *Homestead) *Homestead {
	if !h.like.doubts {
		return h.Draw(d, seed)
	}
	return h.drawBeside(d, seed, beside)
}

func (h *Homestead) drawBeside(d sim.Draw, seed uint64, beside *Homestead) *Homestead {
	u, o := h.Site.Uncertainty, h.changed()
	z := func(c sim.Cause, part int) float64 { return sim.Z(seed, c, part, d[c]) }
	o.times.sun *= sim.Factor(u.Sun, z(sim.TheSunHours, 0))
	o.times.flow *= sim.Factor(u.Flow, z(sim.TheFlow, 0))
	one := func(c sim.Cause) float64 { return z(c, 0) }
	if house := h.drawnHouse(one); house != h {
		o.times.loads, o.house = house.times.loads, house.house
	}
	if h.Sky != nil {
		sky := h.drawnSky(skyNumber(d[sim.TheSky], seed))
		o.Sky, o.factors, o.sunHours = sky.sky, sky.factors, sky.sunHours
		if o.times.sun != 1 {
			o.sunHours = append([]float64(nil), sky.sunHours...)
			o.scaleSun()
		}
	}
	if beside != nil && h.like.creek && (h.like.plant || h.Machine == nil) {
		o.model, o.dayError, o.daySeed, o.flowM3S, o.falls = beside.model, beside.dayError, beside.daySeed, beside.flowM3S, beside.falls
	} else {
		if k := d[sim.TheCreek]; h.model != nil && k != 0 {
			o.drawCreek(z, weather.DrawSeed(seed, k))
		}
		if d[sim.TheCreek] != 0 || o.times.flow != h.times.flow {
			o.flowM3S = nil
			o.flow()
			if h.Machine != nil && o.flowM3S != nil {
				// Whoever visits the creek knows how this one falls.
				o.falls = hydro.FitRecession(o.flowM3S, o.record.RainMM)
			}
		}
	}
	if beside != nil && h.like.plant {
		o.Machine = beside.Machine
	} else {
		o.Machine = h.drawnMachine(one)
	}
	if beside != nil && beside.kept != nil {
		o = o.Keep()
		o.kept.fraction(beside.kept, h.like)
	}
	return o
}

// drawnHouse returns the homestead with one of the loads that its owner holds
// possible; itself where they are sure.
func (h *Homestead) drawnHouse(z func(sim.Cause) float64) *Homestead {
	f := sim.Factor(h.Site.Uncertainty.Loads, z(sim.TheLoads))
	if f == 1 {
		return h
	}
	o := h.changed()
	o.times.loads *= f
	o.ask()
	return o
}

// drawnMachine returns the machine under one of the heads and with one of the
// efficiencies that the owner holds possible; nil without one.
func (h *Homestead) drawnMachine(z func(sim.Cause) float64) *hydro.Machine {
	u := h.Site.Uncertainty
	head, eff := sim.Factor(u.Head, z(sim.TheHead)), sim.Factor(u.Efficiency, z(sim.TheEfficiency))
	if h.Machine == nil || head == 1 && eff == 1 {
		return h.Machine
	}
	return machine(h.Machine.Plant, head, eff).Prepare()
}

// drawCreek gives the homestead one of the creeks that a fit allows, with the
// daily error that the readings showed; without such draws, one whose parameters
// lie within their ranges.
func (o *Homestead) drawCreek(z func(c sim.Cause, part int) float64, seed uint64) {
	if draws := o.Site.Stream.Draws; draws != nil {
		at := distuv.UnitNormal.CDF(z(sim.TheCreek, 0)) // evenly over them
		d := draws[min(int(at*float64(len(draws))), len(draws)-1)]
		o.model, o.dayError, o.daySeed = d.Model, d.Error, seed
		return
	}
	zs := make([]float64, stream.MaxParameters)
	for part := range zs {
		zs[part] = z(sim.TheCreek, part)
	}
	o.model = stream.Unsure(o.model, o.fitted(), zs)
}

// Draws returns the homestead as each of the draws has it, made side by side.
func (h *Homestead) Draws(ctx context.Context, ds []sim.Draw, seed uint64) ([]*Homestead, error) {
	all := make([]*Homestead, len(ds))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(sim.Workers())
	for i, d := range ds {
		group.Go(func() error {
			if err := ctx.Err(); err != nil {
				return err
			}
			all[i] = h.Draw(d, seed)
			return nil
		})
	}
	return all, group.Wait()
}

// Causes returns what may differ from draw to draw on this site, prices apart.
func (h *Homestead) Causes() []sim.Cause {
	u := h.Site.Uncertainty
	hydro := h.Machine != nil && h.flowM3S != nil
	var cs []sim.Cause
	for c, has := range map[sim.Cause]bool{
		sim.TheSky:        h.Sky != nil && h.Site.Sun.Variability > 0,
		sim.TheCreek:      h.model != nil && hydro,
		sim.TheSunHours:   u.Sun > 0 && len(h.Site.Arrays) > 0,
		sim.TheHead:       u.Head > 0 && hydro,
		sim.TheFlow:       u.Flow > 0 && hydro,
		sim.TheEfficiency: u.Efficiency > 0 && hydro,
		sim.TheLoads:      u.Loads > 0,
	} {
		if has {
			cs = append(cs, c)
		}
	}
	slices.Sort(cs)
	return cs
}

// Fitted reports whether the creek comes from a fit that tells how sure it is.
func (h *Homestead) Fitted() bool {
	s := h.Site.Stream
	return s != nil && (s.Draws != nil || h.fitted() != nil)
}

// fitted returns the ranges that a fit left of the creek's parameters; nil
// where there was none, or it left none.
func (h *Homestead) fitted() map[string]stream.Span {
	var spans map[string]stream.Span
	for _, p := range h.Site.Stream.Fitted {
		if math.IsNaN(p.Low) || math.IsNaN(p.High) {
			continue
		}
		if spans == nil {
			spans = map[string]stream.Span{}
		}
		spans[p.Name] = stream.Span{Low: p.Low, High: p.High}
	}
	return spans
}

// machine returns a plant with other head and efficiency.
func machine(p hydro.Plant, head, eff float64) hydro.Plant {
	p.Penstock.GrossHeadM *= head
	t := &p.Turbine
	t.Overall = math.Min(1, t.Overall*eff)
	points := make([]hydro.Point, len(t.Efficiency))
	for i, q := range t.Efficiency {
		points[i] = hydro.Point{Fraction: q.Fraction, Efficiency: math.Min(1, q.Efficiency*eff)}
	}
	t.Efficiency = points
	return p
}

// skies are those of draws over one record.
type skies struct {
	mu   sync.Mutex
	made map[int]*drawnSky
}

// drawnSky is the sky of one draw over the homestead's own record.
type drawnSky struct {
	once              sync.Once
	sky               *weather.Sky
	factors, sunHours []float64
}

// skyNumber tells the skies of different seeds apart; 0 is the site's own with
// any.
func skyNumber(i int, seed uint64) int {
	if i == 0 {
		return 0
	}
	return int(weather.DrawSeed(seed, i) >> 2)
}

// drawnSky returns the sky of draw number i, made at most once.
func (h *Homestead) drawnSky(i int) *drawnSky {
	s := h.shared.skies
	s.mu.Lock()
	d := s.made[i]
	if d == nil {
		d = &drawnSky{}
		s.made[i] = d
	}
	s.mu.Unlock()
	d.once.Do(func() {
		d.sky = h.Sky.Draw(i)
		d.factors = d.sky.Factors(nil, h.record, h.fromDay)
		d.sunHours = d.sky.SunHours(nil, h.record.Start, d.factors)
	})
	return d
}

// scaleSun brings the days' sun hours to the homestead's own factor.
func (h *Homestead) scaleSun() {
	if f := h.times.sun; f != 1 {
		for d := range h.sunHours {
			h.sunHours[d] *= f
		}
	}
}
