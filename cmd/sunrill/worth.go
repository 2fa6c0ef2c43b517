package main

import (
	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/record"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
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
light you want (--target, --fuel), with the creek and without, by the prices in
[costs] of site.toml; [limits] panels = "12 kW" is what roof and ground hold.
Then each way to live over all years of the record: as it is, with hydro, with
more panels, with a bigger bank, with both, with a generator, sizes searched so
that each leaves no more unmet hours than hydro does, what each costs a year and
which price would turn the verdict. Writes mixes.csv, worth.csv, worth.json,
turning-points.csv, charts and report.html.`,
		example: "sunrill worth",
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.StringVar(&want.target, "target", "", "unmet hours at most, in the one-in-five year: \"20 h\"")
			fs.StringVar(&want.fuel, "fuel", "", "fuel at most, in a mean year: \"50 L\", or none")
			fs.BoolVar(&want.scratch, "from-scratch", false, "as if nothing stood yet")
			fs.IntVar(&madeUp, "made-up", 200, "number of made-up years beside the record; 0: none")
		},
		run: func(c *call) error {
			if madeUp < 0 || madeUp > 100000 {
				return usageError{"--made-up: a number from 0 to 100000"}
			}
			if _, err := want.read(nil); err != nil {
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
			r, err := worthStudy(c, h, years, madeUp, want, step)
			done()
			if err != nil {
				return err
			}
			v, err := c.worthReport(h, years, r)
			if err != nil {
				return err
			}
			sec := v.Section()
			said, _ := v.Verdict()
			sec.Text = sec.Text[len(said):] // the page's verdict says the rest
			page := c.studyPage(h, "Ways to live, compared", v.Verdict, []report.Section{sec})
			files := func(f *record.Folder) error { return record.Worth(f, r) }
			return c.publish(h.Site, page, files, record.WorthObject(r), sec.Text...)
		},
	}
}

// worthReport gathers what the section shows.
func (c *call) worthReport(h *series.Homestead, years []weather.Year, r *worth.Result) (report.Worth, error) {
	d, err := c.doubts(h, years)
	if r.Sure != nil && r.Sure.Priced {
		d.Causes = append(d.Causes, sim.ThePrices)
	}
	return report.Worth{Result: r, System: units(h.Site), Doubts: d}, err
}

// worthStudy compares the ways to live over these years and so many made-up
// ones.
func worthStudy(c *call, h *series.Homestead, years []weather.Year, madeUp int, want wanted, step func(done, total int)) (*worth.Result, error) {
	s := h.Site
	h, imagined, err := withPanels(h)
	if err != nil {
		return nil, err
	}
	p := &worth.Plan{ShapeW: imagined, Bus: h.Bus(), Hydro: h.Machine != nil, Prices: s.Prices, System: units(s)}
	for _, a := range s.Arrays {
		p.PanelW += a.PowerW
	}
	p.Years = series.Held(years, h)
	p.Water = func(times float64) []*sim.Input { return series.Held(years, h.WithWater(times)) }
	p.Generator = worth.DefaultGenerator(sim.PeakDemand(p.Years), s.Bank.FloorSoC)
	if s.Hydro != nil {
		p.PipeM = s.Hydro.Penstock.LengthM
	}
	if h.RainMovesStream() && madeUp > 0 {
		chain, err := weather.FitChain(s.Rain, weather.ChainOptions{YearMonth: s.YearMonth, YearDay: s.YearDay, Seed: c.opts.seed})
		if err != nil {
			return nil, err
		}
		p.MadeUp = scenario.MadeUpYears(chain, madeUp, workersOver(h)(chain))
	}
	p.Progress = step
	drawn, err := c.drawn(h)
	if err != nil {
		return nil, err
	}
	p.Draws = len(drawn)
	p.Draw = func(d int) ([]*sim.Input, *worth.Prices) {
		return series.Held(years, drawn[d]), s.Prices.Drawn(s.Uncertainty.Prices, sim.DrawOf(d+1), c.opts.seed)
	}
	r, err := worth.Compare(c.ctx, p)
	if err != nil {
		return nil, err
	}
	p.Progress = nil
	return r, want.mixes(c, s, p, r)
}
