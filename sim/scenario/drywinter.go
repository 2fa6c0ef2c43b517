package scenario

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"sunrill/sim"
	"sunrill/weather"
)

// Worker turns weather into the hourly inputs of its water years, for one
// goroutine. It is given a record, and the day from which the sky draws what
// rain and temperature do not tell (0 for the record's own dates), and returns
// a function that makes any water year within that record; the input is valid
// until the next is made. Hydro is in it where the site has it.
type Worker func(r weather.Record, fromDay int) func(y weather.Year) *sim.Input

// Homestead is the site as this package sees it.
type Homestead struct {
	Record    weather.Record
	Years     []weather.Year // those of the record to run
	NewWorker func() Worker
	// Over returns the workers of a weather generator's synthetic years; nil: NewWorker's.
	Over  func(c *weather.Generator) func() Worker
	Drawn []Drawn // the same under each draw; nil: none
	Bus   sim.Bus
	Hydro bool // the creek works; else there is nothing to compare
	// MinM3S is the stream flow from which the smallest set of the turbine runs.
	MinM3S float64
	// Fixed says why other weather than the record's cannot be run, such as an
	// own record of flow; "": it can.
	Fixed string
	Notes []string // what else the reader must know of this site's weather
}

// Options change what [DryWinter] runs. The zero value is ready to use.
type Options struct {
	Factors   []float64 // on rain; nil: 0.5, 0.75, 1.25 and 1.5
	Weeks     []int     // that the onset is put off; nil: 2, 4, 6 and 8
	Synthetic int       // synthetic years; 0: 1,000, below 0: none
	Seed      uint64
	Progress  sim.Progress
}

// Names of scenarios that the verdict looks for.
const (
	NameRecord    = "record"
	nameWorst     = "worst year on record"
	nameDriest    = "driest year on record"
	NameSynthetic = "made-up years"

	// Where the record has more years than were run.
	nameWorstRun  = "worst year run"
	nameDriestRun = "driest year run"
)

// fitYears is the number of years that the fit report makes up.
const fitYears = 500

// study is a run of DryWinter under way.
type study struct {
	Homestead
	o      Options
	step   func()
	record pair // the record's years as they were
	kinds  []sim.Kind
}

// SyntheticYears are n years that a chain makes up, run by workers of newWorker.
func SyntheticYears(chain *weather.Generator, n int, newWorker func() Worker) sim.Years {
	return sim.Years{N: n, Maker: func() func(int, int) *sim.Input {
		worker := newWorker()
		var r weather.Record
		return func(_, i int) *sim.Input {
			y := chain.Synthesize(&r, i)
			return worker(r, i*y.Days)(y)
		}
	}}
}

// DryWinter runs the homestead through the scenarios.
func DryWinter(ctx context.Context, h Homestead, o Options) (*Result, error) {
	if len(h.Years) == 0 {
		return nil, errors.New("the record holds no whole water year")
	}
	for _, f := range o.Factors {
		if !(f >= 0 && f <= 10) {
			return nil, fmt.Errorf("rain × %g: a factor is 0 to 10", f)
		}
	}
	for _, w := range o.Weeks {
		if w < 0 || w > 26 {
			return nil, fmt.Errorf("onset put off by %d weeks: it is 0 to 26", w)
		}
	}
	if o.Factors == nil {
		o.Factors = []float64{0.5, 0.75, 1.25, 1.5}
	}
	if o.Weeks == nil {
		o.Weeks = []int{2, 4, 6, 8}
	}
	if o.Synthetic == 0 {
		o.Synthetic = 1000
	}
	return (&study{Homestead: h, o: o}).run(ctx)
}

func (s *study) run(ctx context.Context) (*Result, error) {
	r := &Result{Notes: append([]string(nil), s.Notes...)}
	r.Record = s.readRecord()
	var chain *weather.Generator
	total := len(s.Years)
	aDraw := total
	if s.Fixed != "" {
		r.Notes = append(r.Notes, s.Fixed)
	} else {
		total += len(s.Years) * (len(s.o.Factors) + len(s.o.Weeks))
		aDraw = total
		if s.o.Synthetic > 0 {
			total += s.o.Synthetic
			aDraw += min(s.o.Synthetic, syntheticADraw)
			first := s.Years[0].Start
			var err error
			chain, err = weather.FitGenerator(s.Record, weather.GeneratorOptions{YearMonth: first.Month(), YearDay: first.Day(), Seed: s.o.Seed})
			if err != nil {
				return nil, err
			}
			r.Notes = append(r.Notes, chain.Notes...)
		}
	}
	if len(s.Drawn) > 0 {
		total += len(s.Drawn) * aDraw
	}
	s.step = s.o.Progress.Steps(total)

	if err := s.baseline(ctx, r); err != nil {
		return nil, err
	}
	if s.Fixed == "" {
		for _, f := range s.o.Factors {
			if err := s.changed(ctx, r, fmt.Sprintf("rain × %g", f), f, 0, weather.Scaled(s.Record, f)); err != nil {
				return nil, err
			}
		}
		for _, w := range s.o.Weeks {
			if err := s.changed(ctx, r, fmt.Sprintf("onset %d weeks later", w), 1, w, weather.Later(s.Record, 7*w)); err != nil {
				return nil, err
			}
		}
	}
	if chain != nil {
		if err := s.synthetic(ctx, r, chain); err != nil {
			return nil, err
		}
	}
	if len(s.Drawn) > 0 {
		return r, s.sure(ctx, r, chain)
	}
	return r, nil
}

func (s *study) readRecord() Record {
	first := s.Years[0].Start
	r := Record{FirstYear: s.Years[0].Number(), LastYear: s.Years[len(s.Years)-1].Number(), Years: len(s.Years)}
	r.Chosen = len(weather.WaterYears(s.Record, first.Month(), first.Day())) > len(s.Years)
	r.DriestMM, r.WettestMM = math.Inf(1), math.Inf(-1)
	for _, y := range s.Years {
		mm := s.rainOf(y)
		r.RainMM += mm / float64(len(s.Years))
		if mm < r.DriestMM {
			r.DriestYear, r.DriestMM = y.Number(), mm
		}
		if mm > r.WettestMM {
			r.WettestYear, r.WettestMM = y.Number(), mm
		}
	}
	return r
}

func (s *study) rainOf(y weather.Year) (mm float64) {
	from := s.Record.Index(y.Start)
	for _, v := range s.Record.RainMM[from : from+y.Days] {
		mm += v
	}
	return mm
}

// pair is a year with and without hydro; with is nil without hydro.
type pair struct{ with, without *count }

func (s *study) newPair(fan bool) pair {
	p := pair{without: &count{}}
	if s.Hydro {
		p.with = &count{}
	}
	if fan {
		p.without.fan = &fanCount{}
		if p.with != nil {
			p.with.fan = &fanCount{}
		}
	}
	return p
}

func (p pair) merge(o pair) {
	p.without.merge(o.without)
	if p.with != nil {
		p.with.merge(o.with)
	}
}

func (p pair) scenario(name string, factor float64, weeks int) Scenario {
	sc := Scenario{Name: name, RainFactor: factor, OnsetWeeks: weeks, Years: p.without.hours.years, Without: p.without.outcome()}
	if p.with != nil {
		o := p.with.outcome()
		sc.With = &o
	}
	return sc
}

// add runs one year both ways.
func (s *study) add(p pair, c sim.Case) error {
	if p.with != nil {
		y, err := c.Run(c.In, s.Bus)
		if err != nil {
			return err
		}
		p.with.add(y, s.MinM3S)
	}
	y, err := c.Run(c.As(sim.Variant{Hydro: sim.HydroOff}), s.Bus)
	if err != nil {
		return err
	}
	p.without.add(y, s.MinM3S)
	return nil
}

// under are the record's years under weather r.
func (s *study) under(r weather.Record) sim.Years {
	return sim.Years{N: len(s.Years), Maker: func() func(int, int) *sim.Input {
		year := s.NewWorker()(r, 0)
		return func(_, i int) *sim.Input { return year(s.Years[i]) }
	}}
}

// years runs the record's years under weather r and keeps them apart.
func (s *study) years(ctx context.Context, r weather.Record) ([]pair, error) {
	pairs := make([]pair, len(s.Years))
	err := s.under(r).Visit(ctx, s.step, func(c sim.Case) error {
		if c.Place == 0 {
			s.kinds = c.In.Kinds()
		}
		pairs[c.Year] = s.newPair(false)
		return s.add(pairs[c.Year], c)
	})
	return pairs, err
}

// baseline runs the record, and picks out its worst and its driest year.
func (s *study) baseline(ctx context.Context, r *Result) error {
	pairs, err := s.years(ctx, s.Record)
	if err != nil {
		return err
	}
	all := s.newPair(false)
	worst, driest, maximum := 0, 0, -1.0
	for i, p := range pairs {
		all.merge(p)
		best := p.without
		if p.with != nil {
			best = p.with
		}
		// The most unmet hours; among equals the deepest deficit.
		if bad := float64(best.unmetHours) + best.deepestWh/1e12; bad > maximum {
			worst, maximum = i, bad
		}
		if s.Years[i].Number() == r.Record.DriestYear {
			driest = i
		}
	}
	s.record, r.Sources = all, s.kinds
	r.Record.WorstYear = s.Years[worst].Number()
	ofWorst, ofDriest := nameWorst, nameDriest
	if r.Record.Chosen {
		ofWorst, ofDriest = nameWorstRun, nameDriestRun
	}
	r.Scenarios = append(r.Scenarios,
		all.scenario(NameRecord, 1, 0),
		pairs[worst].scenario(ofWorst, 1, 0),
		pairs[driest].scenario(ofDriest, 1, 0))
	return nil
}

func (s *study) changed(ctx context.Context, r *Result, name string, factor float64, weeks int, under weather.Record) error {
	pairs, err := s.years(ctx, under)
	if err != nil {
		return err
	}
	all := s.newPair(false)
	for _, p := range pairs {
		all.merge(p)
	}
	r.Scenarios = append(r.Scenarios, all.scenario(name, factor, weeks))
	return nil
}

// synthetic runs the synthetic years. Each worker keeps counts of its own and one
// year's weather.
func (s *study) synthetic(ctx context.Context, r *Result, chain *weather.Generator) error {
	counts := make([]pair, sim.Workers())
	for w := range counts {
		counts[w] = s.newPair(true)
	}
	var start time.Time
	newWorker := s.NewWorker
	if s.Over != nil {
		newWorker = s.Over(chain)
	}
	err := SyntheticYears(chain, s.o.Synthetic, newWorker).Visit(ctx, s.step, func(c sim.Case) error {
		if c.Year == 0 {
			start = c.In.Start
		}
		return s.add(counts[c.Worker], c)
	})
	if err != nil {
		return err
	}
	all := counts[0]
	for _, c := range counts[1:] {
		all.merge(c)
	}
	sc := all.scenario(NameSynthetic, 1, 0)
	r.Scenarios = append(r.Scenarios, sc)
	fit, err := chain.Report(fitYears)
	if err != nil {
		return err
	}
	best := sc.Best()
	r.Synthetic = &Synthetic{
		Years: s.o.Synthetic, Seed: s.o.Seed,
		P50: best.UnmetP50, P80: best.UnmetP80, P95: best.UnmetP95, Worst: best.UnmetWorst, WorstRange: best.WorstRange,
		RainMM: float64(all.without.rainMicroMM) / 1e6 / float64(s.o.Synthetic),
		Fit:    fit,
		Beside: s.beside(all),
	}
	floor := s.Bus.Bank.FloorAt(s.Bus.Bank.IndoorC)
	r.FanWithout = all.without.fan.fan(start, floor)
	if all.with != nil {
		r.FanWith = all.with.fan.fan(start, floor)
	}
	return nil
}

// surely is the share of sets of synthetic years that the record is held to.
const surely = 0.95

// beside lays the record's years beside the synthetic ones.
func (s *study) beside(made pair) []Beside {
	var rows []Beside
	years := s.record.without.hours.years
	add := func(hydro bool, record, made *count) {
		was, is := record.outcome(), made.outcome()
		row := func(f Figure, record, made float64, r sim.Range) {
			rows = append(rows, Beside{Figure: f, Hydro: hydro, Record: record, Synthetic: made, Low: r.Low, High: r.High})
		}
		row(MeanUnmet, was.UnmetMean, is.UnmetMean, sim.CountedMeanRange(made.hours.by[:], years, surely))
		row(UnmetOneIn5, was.UnmetP80, is.UnmetP80, sim.CountedRange(made.hours.by[:], 0.8, years, surely))
		// Of as many years as the record has, not of a thousand.
		deepest := made.deepestYears()
		row(DeepestDeficit, math.Round(was.DeepestDeficitWh/deepStepWh)*deepStepWh, deepest.AtRange(1, years, 0).Low, deepest.AtRange(1, years, surely))
		if hydro && s.MinM3S > 0 {
			mean := func(c *count) float64 {
				sum := 0.0
				for days, n := range c.lowDays {
					sum += float64(days) * float64(n)
				}
				return sum / float64(max(c.hours.years, 1))
			}
			row(LowDays, mean(record), mean(made), sim.CountedMeanRange(made.lowDays[:], years, surely))
		}
	}
	if made.with != nil {
		add(true, s.record.with, made.with)
	}
	add(false, s.record.without, made.without)
	return rows
}
