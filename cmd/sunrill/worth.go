package main

import (
	"strings"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/record"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/sim/sizing"
	"sunrill/sim/worth"
	"sunrill/weather"
)

func worthCommand() command {
	madeUp := 200
	var want wanted
	return command{
		name:  "worth",
		args:  "[SITE] [flags]",
		brief: "whether hydro is worth it, against panels, bank, generator",
		long: `Looks for the cheapest mix of panels, bank, generator and creek that gives the
light you want (--target, --fuel), with the creek through pipes and nozzles of
several sizes and without it, by the prices in [costs] of site.toml; [limits]
panels = "12 kW" is what roof and ground hold. The valve is worked by its best
fixed dates. Every mix is weighed again in each draw, and to find which price,
life, rate, own hours, water or head would turn the verdict.
Then each way to live over all years of the record: as it is, with hydro, with
more panels, with a bigger bank, with both, with a generator, sizes searched so
that each leaves no more unmet hours than hydro does, and what each costs a
year. Writes mixes.csv, worth.csv, worth.json, turning-points.csv, charts and
report.html.`,
		example: "sunrill worth",
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.StringVar(&want.target, "target", "", "unmet hours a year at most, in the one-in-five year and in a mean one: \"20 h\"")
			fs.StringVar(&want.fuel, "fuel", "", "fuel at most, in a mean year: \"50 L\", or none")
			fs.BoolVar(&want.scratch, "from-scratch", false, "as if nothing stood yet")
			fs.IntVar(&madeUp, "made-up", 200, "number of made-up years beside the record; 0: none")
		},
		run: func(c *call) error {
			if madeUp < 0 || madeUp > 100000 {
				return usageError{"--made-up: a number from 0 to 100000"}
			}
			if _, err := want.read(); err != nil {
				return err
			}
			h, err := c.homestead()
			if err != nil {
				return err
			}
			if err := needsHydro(h, "nothing to weigh"); err != nil {
				return err
			}
			years, err := c.pick(h)
			if err != nil {
				return err
			}
			step, done := c.progress("ways to live")
			v, err := worthStudy(c, h, years, madeUp, want, step)
			done()
			if err != nil {
				return err
			}
			sec := v.Section()
			said := v.Verdict().Sentences
			sec.Text = sec.Text[len(said):] // the page's verdict says the rest
			page := c.studyPage(h, "Ways to live, compared", v.Verdict(), []report.Section{sec})
			files := func(f *record.Folder) error { return record.Worth(f, v.Result) }
			return c.publish(h.Site, page, files, record.WorthObject(v.Result), sec.Text...)
		},
	}
}

// worthStudy compares the ways to live over these years and so many made-up
// ones, and gathers what the section shows.
func worthStudy(c *call, h *series.Homestead, years []weather.Year, madeUp int, want wanted, step func(done, total int)) (report.Worth, error) {
	s := h.Site
	v := report.Worth{System: units(s), Invented: strings.Contains(s.Name, "(invented)")}
	var err error
	if v.Doubts, err = c.doubts(h, years); err != nil {
		return v, err
	}
	h, valve, err := withBestValve(c, h, years)
	if err != nil {
		return v, err
	}
	h, imagined, err := withPanels(h)
	if err != nil {
		return v, err
	}
	p := &worth.Plan{ShapeW: imagined, Bus: h.Bus(), Hydro: h.Machine != nil, Valve: valve}
	for _, a := range s.Arrays {
		p.PanelW += a.PowerW
	}
	grid := worth.NewGrid(p, s.MaxPanelsW, want.scratch)
	p.Grid = &grid
	if p.Target, err = want.read(); err != nil {
		return v, err
	}
	var fits []sizing.Fit
	if h.Machine != nil {
		own := s.Hydro.Penstock
		p.PipeM, p.HeadM = own.LengthM, own.GrossHeadM
		fits = sizing.Fits(*s.Hydro, sizing.PipeSizes(own.Material, s.US), fitsEach, fitAreas)
		for _, f := range fits {
			p.Waterways = append(p.Waterways, worth.Waterway{Pipe: f.Pipe, BoreM: f.BoreM, BoreRatio: f.BoreM / own.BoreM, NozzlesM: f.NozzlesM, SpearM3S: f.SpearM3S})
		}
	}
	world := func(h *series.Homestead, held []*sim.Input, prices *worth.Prices) worth.World {
		return worth.World{Years: held, Prices: prices, Through: func(k int) []*sim.Input {
			return series.Watered(held, years, h.WithPlant(fits[k].On(h.Machine.Plant)))
		}}
	}
	p.World = world(h, series.Held(years, h), s.Prices)
	p.Other = func(water, head float64) worth.World {
		o := h.WithHead(head)
		if water != 1 {
			o = o.WithWater(water)
		}
		return world(o, series.Watered(p.Years, years, o), s.Prices)
	}
	p.Generator = worth.DefaultGenerator(sim.PeakDemand(p.Years), s.Bank.FloorSoC)
	if h.RainMovesStream() && madeUp > 0 {
		chain, err := weather.FitGenerator(s.Rain, weather.GeneratorOptions{YearMonth: s.YearMonth, YearDay: s.YearDay, Seed: c.opts.seed})
		if err != nil {
			return v, err
		}
		p.Synthetic = scenario.SyntheticYears(chain, madeUp, workersOver(h)(chain))
	}
	p.Progress = step
	drawn, err := c.drawn(h)
	if err != nil {
		return v, err
	}
	p.Draws = len(drawn)
	p.Draw = func(d int) worth.World {
		return world(drawn[d], series.Held(years, drawn[d]), s.Prices.Drawn(s.Uncertainty.Prices, sim.DrawOf(d+1), c.opts.seed))
	}
	if v.Result, err = worth.Compare(c.ctx, p); err != nil {
		return v, err
	}
	if u := v.Result.Sure; u != nil && u.Mixes != nil {
		v.Doubts.Causes = append(v.Doubts.Causes, sim.ThePrices)
	}
	return v, nil
}

// fitsEach and fitAreas are the pipes and nozzles that mixes may have: two sizes
// down and two up, and the nozzles described, a fifth narrower and a quarter wider.
const fitsEach = 2

var fitAreas = []float64{0.64, 1, 1.5625}

// withBestValve returns the homestead with its valve worked by the best dates of
// the changeover over these years, unless its own do as well.
func withBestValve(c *call, h *series.Homestead, years []weather.Year) (*series.Homestead, worth.Valve, error) {
	var v worth.Valve
	r, err := changeover.Study{
		Bus: h.Bus(), Years: series.OverOpen(years, h), DatesOnly: true,
		South: h.Site.Place.LatDeg < 0, Measures: measuresOf(units(h.Site)), Today: todaysDates(h.Valve),
	}.Run(c.ctx)
	if err != nil {
		return nil, v, err
	}
	own := r.Of(changeover.Pair{Open: 0, Close: r.Days()})
	if o, _ := ownDates(h.Valve, r); o != nil {
		own = *o
	}
	v.OwnUnmetHours, v.UnmetHours = own.UnmetHours, r.Best.UnmetHours
	if r.Best.Valve == changeover.Shut || own.UnmetHours <= r.Best.UnmetHours {
		return h, v, nil
	}
	v.Best = true
	valve := series.Valve{}
	if r.Best.Dated() {
		valve = series.Valve{Open: dateOf(r, r.Best.Pair.Open), Close: dateOf(r, r.Best.Pair.Close)}
		v.Open, v.Close = (*worth.Date)(valve.Open), (*worth.Date)(valve.Close)
	}
	return h.WithValve(valve), v, nil
}
