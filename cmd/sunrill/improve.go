package main

import (
	"fmt"
	"slices"

	"sunrill/plots/report"
	"sunrill/sim/files"
	"sunrill/sim/plans"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

func improveCommand() command {
	return command{
		name:  "improve",
		args:  "[SITE] [flags]",
		brief: "what would help: single changes, tried and ranked",
		long: `Tries a catalogue of single changes over all years of the record: one nozzle more,
a wider pipe, a tank, other rounds, more panels or the same ones turned or tilted,
a bigger bank, uses moved to noon or spared, other valve dates. It ranks them by
the dark hours that they save, with their effort and, where the site has prices,
the money for an hour saved; says what does nothing and what makes it worse, and
what each use costs in dark hours; and takes the next three steps in order, each
chosen after the last. Writes improve.csv, improve.json, a chart and report.html.`,
		example: "sunrill improve",
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		run:     runImprove,
	}
}

func runImprove(c *call) error {
	h, err := c.homestead()
	if err != nil {
		return err
	}
	years, err := c.pick(h)
	if err != nil {
		return err
	}
	b, err := c.base(h, years)
	if err != nil {
		return err
	}
	if err := c.underDraws(b); err != nil {
		return err
	}
	step, done := c.progress("changes")
	r, err := b.Improve(c.ctx, step)
	done()
	if err != nil {
		return err
	}
	v := report.Improve{Result: r, System: units(h.Site)}
	sec := v.Section()
	page := c.studyPage(h, "What would help: "+span(years), v.Verdict(), []report.Section{sec})
	said := v.Verdict().Sentences
	page.Sections[0].Text = sec.Text[len(said):] // the page's verdict says the rest
	write := func(f *record.Folder) error { return record.Improve(f, r) }
	return c.publish(h.Site, page, write, record.ImproveObject(r), v.Below()...)
}

// base is the homestead of a call as the base of other plans: they are read
// from the same folder, on top of what --set says.
func (c *call) base(h *series.Homestead, years []weather.Year) (*plans.Base, error) {
	own, err := settings(c.opts.set)
	if err != nil {
		return nil, err
	}
	o := site.Options{FillGaps: c.opts.fillGaps, Cache: new(files.Cache)}
	return plans.NewBase(func(set []files.Setting) (*site.Site, error) {
		o := o
		o.Set = slices.Concat(own, set)
		return c.read(h.Site.Folder, o)
	}, h, years), nil
}

// underDraws has a base run under the draws that --draws asks for.
func (c *call) underDraws(b *plans.Base) error {
	n, err := b.Draw(c.ctx, c.opts.draws, c.opts.seed)
	if err == nil && n < c.opts.draws {
		c.warn(fmt.Sprintf("of so long a record it takes %d draws, not %d; --years picks fewer years", n, c.opts.draws))
	}
	return err
}
