package worth

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// Plan is a homestead as the comparison needs it.
type Plan struct {
	Years     []*sim.Input // every year of the record, hydro gated as described
	Bus       sim.Bus
	PanelW    float64        // what stands today, at standard test conditions
	Hydro     bool           // the site describes a turbine
	PipeM     float64        // length of the penstock
	Generator sim.Generator  // what the ways with a generator use where the bus has none
	Prices    *Prices        // nil: none given
	System    measure.System // what the sentences are written in

	// MadeUp calls use for each of n made-up years; nil: none can be made.
	MadeUp      func(n int, use func(i int, in *sim.Input)) error
	MadeUpYears int
	// Water returns Years with every flow of the creek times a factor, run
	// through intake, pipe and machine as described; nil: it is not tried.
	Water    func(times float64) []*sim.Input
	Progress func(done, total int) // may be nil
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
}

func (p *Plan) asItIs() setup {
	return setup{panelW: p.PanelW, bankWh: p.Bus.Bank.CapacityWh, generator: p.Bus.Generator != nil}
}

func (p *Plan) withHydro() setup {
	s := p.asItIs()
	s.hydro = true
	return s
}

// bus returns what stands at the bus in a setup.
func (p *Plan) bus(s setup) sim.Bus {
	b := p.Bus
	if s.bankWh != b.Bank.CapacityWh {
		b.Bank = b.Bank.Scaled(s.bankWh)
	}
	switch {
	case !s.generator:
		b.Generator = nil
	case b.Generator == nil:
		g := p.Generator
		b.Generator = &g
	}
	return b
}

// input returns year i as a setup sees it.
func (p *Plan) input(in *sim.Input, s setup) *sim.Input {
	out := *in
	if !s.hydro {
		out.HydroW = make([]float64, in.Hours())
		out.TurbineM3S, out.DryStopHour = nil, nil
	}
	if s.panelW != p.PanelW && p.PanelW > 0 {
		out.PVW = scaled(in.PVW, s.panelW/p.PanelW)
	}
	return &out
}

func scaled(values []float64, by float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v * by
	}
	return out
}

// reaches reports whether a setup leaves no more unmet hours in a mean year
// than target. Years that cannot change the answer any more are not run.
func (p *Plan) reaches(s setup, target float64) bool {
	most := target*float64(len(p.Years)) + 1e-9
	var sum atomic.Int64
	b := p.bus(s)
	inParallel(len(p.Years), func(i int) {
		if float64(sum.Load()) > most {
			return
		}
		in := p.input(p.Years[i], s)
		var t sim.Tally
		b.Span(in, b.Start(), 0, in.Hours(), &t)
		sum.Add(int64(t.UnmetHours))
	})
	return float64(sum.Load()) <= most
}

// inParallel calls do for 0 to n−1, spread over the processors.
func inParallel(n int, do func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				do(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// darkMonth returns the calendar month in which the panels give least.
func (p *Plan) darkMonth() time.Month {
	var sum [13]float64
	for _, in := range p.Years {
		for d := range in.Hours() / 24 {
			m := in.Start.AddDate(0, 0, d).Month()
			for h := 24 * d; h < 24*d+24; h++ {
				sum[m] += in.PVW[h]
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
