package worth

import (
	"context"
	"math"
	"sync/atomic"
	"time"

	"sunrill/sim"
)

// World is what the ways are run through: the middle of what is known, or one
// draw of it.
type World struct {
	Years  []*sim.Input // every year of the record, hydro as described, its valve worked as it is judged
	Prices *Prices      // nil: none given
	// Through returns Years with waterway k of the plan in place of the one
	// described.
	Through func(k int) []*sim.Input
}

// Waterway is a pipe and what is fitted at its end.
type Waterway struct {
	Pipe      string // the size by its name
	BoreM     float64
	BoreRatio float64   // BoreM over the bore described
	NozzlesM  []float64 // bores; nil: a spear valve
	SpearM3S  float64   // the greatest flow of a spear valve
}

// Valve is how the valve is worked where hydro is weighed.
type Valve struct {
	Best                      bool    // by the best fixed dates; false: as described
	Open, Close               *Date   // those dates; nil: open all year
	UnmetHours, OwnUnmetHours float64 // of a mean year, by the best dates and by those described
}

// Date is a day of the calendar.
type Date struct {
	Month time.Month
	Day   int
}

// Plan is a homestead as the comparison needs it.
type Plan struct {
	World
	Bus    sim.Bus
	PanelW float64 // what stands today, at standard test conditions
	// ShapeW is what the arrays of Years have where that is not what stands: a
	// site without panels is run with some, so that mixes can have them. 0: PanelW.
	ShapeW    float64
	Hydro     bool          // the site describes a turbine
	PipeM     float64       // length of the penstock
	HeadM     float64       // from the intake down
	Generator sim.Generator // what the ways with a generator use where the bus has none

	Grid      *Grid      // of the mixes; nil: none are looked for
	Waterways []Waterway // that mixes may have, the one described first; nil: that one alone
	Target    Target     // of the mixes
	Valve     Valve      // how it is worked in World

	Synthetic sim.Years // synthetic years; N = 0: none
	// Other returns the world with every flow of the creek and the head times
	// factors, run through intake, pipe and machine; nil: it is not tried.
	Other func(water, head float64) World
	// Draw returns the world as draw d, 0 to Draws − 1, has it.
	Draw     func(d int) World
	Draws    int // 0: none
	Progress sim.Progress

	scratch bool // nothing stands
}

// DefaultGenerator returns a generator that carries a demand of peakW, at the
// bus, for homesteads that describe none. Its fuel is that of a small petrol
// set measured by its owner (idle 0.28 L an hour for 1.2 kW, and 0.48 L for
// each kWh): one machine, so an order of magnitude. Start, stop and run time
// are common practice.
func DefaultGenerator(peakW, floorSoC float64) sim.Generator {
	ratedW := math.Max(1000, math.Ceil(peakW/500)*500)
	return sim.Generator{
		RatedW: ratedW, StartSoC: math.Min(floorSoC+0.1, 0.9), StopSoC: 0.9, MinRunH: 2,
		FuelIdleLH: 0.280 / 1200 * ratedW, FuelLPerKWh: 0.481,
	}
}

// setup is one way to live, as numbers.
type setup struct {
	panelW, bankWh   float64
	hydro, generator bool
	water            int // the waterway, with hydro
}

// through returns the years through a waterway.
func (p *Plan) through(water int) []*sim.Input {
	if water == 0 {
		return p.Years
	}
	return p.Through(water)
}

func (p *Plan) baseline() setup {
	return setup{panelW: p.PanelW, bankWh: p.Bus.Bank.CapacityWh, generator: p.Bus.Generator != nil}
}

func (p *Plan) withHydro() setup {
	s := p.baseline()
	s.hydro = true
	return s
}

func (p *Plan) shapeW() float64 {
	if p.ShapeW > 0 {
		return p.ShapeW
	}
	return p.PanelW
}

// variant returns a setup as what it changes of the homestead.
func (p *Plan) variant(s setup) sim.Variant {
	var v sim.Variant
	if s.bankWh != p.Bus.Bank.CapacityWh {
		bank := p.Bus.Bank.Scaled(s.bankWh)
		v.Bank = &bank
	}
	switch {
	case !s.generator:
		v.NoGenerator = true
	case p.Bus.Generator == nil:
		v.Generator = &p.Generator
	}
	if !s.hydro {
		v.Hydro = sim.HydroOff
	}
	if shape := p.shapeW(); s.panelW != shape && shape > 0 {
		v.Panels = []float64{s.panelW / shape}
	}
	return v
}

// reaches reports whether a setup leaves no more unmet hours in a mean year
// than target. Years that cannot change the answer any more are not run.
func (p *Plan) reaches(s setup, target float64) bool {
	maximum := target*float64(len(p.Years)) + 1e-9
	var sum atomic.Int64
	v := p.variant(s)
	b := v.Bus(p.Bus)
	// Nothing here fails, and it is soon done.
	_ = sim.Held(p.Years).Visit(context.Background(), nil, func(c sim.Case) error {
		if float64(sum.Load()) > maximum {
			return nil
		}
		var t sim.Tally
		b.Span(c.As(v), b.Start(), 0, c.In.Hours(), &t)
		sum.Add(int64(t.UnmetHours))
		return nil
	})
	return float64(sum.Load()) <= maximum
}

// darkMonth returns the calendar month in which the panels give least.
func (p *Plan) darkMonth() time.Month {
	var sum [13]float64
	for _, in := range p.Years {
		panelsW := in.W(sim.Panels)
		for d := range in.Hours() / 24 {
			m := in.Start.AddDate(0, 0, d).Month()
			for h := 24 * d; h < 24*d+24; h++ {
				sum[m] += panelsW[h]
			}
		}
	}
	darkest := time.December
	if p.Years[0].Start.Month() >= time.March && p.Years[0].Start.Month() <= time.August {
		darkest = time.June // no panels: the middle of the southern winter
	}
	for m := time.January; m <= time.December; m++ {
		if sum[m] < sum[darkest] {
			darkest = m
		}
	}
	return darkest
}
