package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim/files"
	"sunrill/sim/plans"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

func compareCommand() command {
	return command{
		name:  "compare",
		args:  "[SITE] [SITE ...] [flags]",
		brief: "sites or plans side by side over the same years",
		long: `Lays up to six sites, or one site and plans of it, side by side over the same water
years: what differs in their files, how long they are dark in a middling year, in
one of five and in the worst, in which months, the stops, the fuel and the money,
and in how many of the years each is better than the first. A plan is a name and
values that are set otherwise; --set counts for all. Writes compare.csv,
compare-years.csv, compare-months.csv, compare-days.csv, compare.json, charts laid
over one another and report.html.`,
		example: `sunrill compare --plan "bigger bank: bank.capacity=20 kWh" --plan "tank: forebay.volume=5 m3"`,
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.StringArray("plan", nil, "`\"name: key=value; key=value\"`, a plan of the site; may be repeated")
		},
		run: runCompare,
	}
}

func runCompare(c *call) error {
	texts, err := c.flags.GetStringArray("plan")
	if err != nil {
		return err
	}
	folders := c.args
	switch n := max(len(folders), 1) + len(texts); {
	case len(folders) > 1 && len(texts) > 0:
		return usageError{"--plan is of one site; compare takes several sites, or one and its plans"}
	case n < 2:
		return usageError{"compare needs two sites, or a site and a --plan \"name: key=value\""}
	case n > plans.MaxSides:
		return usageError{fmt.Sprintf("compare lays %d side by side at most, not %d", plans.MaxSides, n)}
	}
	var all []plans.Plan
	for _, text := range texts {
		p, err := plans.ParsePlan(text)
		if err != nil {
			return usageError{"--plan: " + err.Error()}
		}
		all = append(all, p)
	}
	if len(folders) > 1 {
		c.args = folders[:1]
		c.beside = folders[1:]
	}
	h, err := c.homestead()
	if err != nil {
		return err
	}
	var sides []plans.Side
	if len(all) > 0 {
		sides, err = c.planSides(h, all)
	} else {
		sides, err = c.siteSides(h, folders[1:])
	}
	if err != nil {
		return err
	}
	years, err := c.pickCommon(sides)
	if err != nil {
		return err
	}
	step, done := c.progress("years")
	r, err := plans.Compare(c.ctx, sides, years, step)
	done()
	if err != nil {
		return err
	}
	v := report.Compare{Result: r, System: units(h.Site)}
	said := v.Verdict().Sentences
	sec := v.Section()
	page := c.studyPage(h, "Side by side: "+span(years), v.Verdict(), []report.Section{sec})
	page.Sections[0].Text = sec.Text[len(said):]
	write := func(f *record.Folder) error { return record.Compare(f, r) }
	return c.publish(h.Site, page, write, record.CompareObject(r), page.Sections[0].Text...)
}

// planSides are a site as it is, and its plans. All that is wrong with any of
// the plans is told at once.
func (c *call) planSides(h *series.Homestead, all []plans.Plan) ([]plans.Side, error) {
	years, err := c.pick(h)
	if err != nil {
		return nil, err
	}
	b, err := c.base(h, years)
	if err != nil {
		return nil, err
	}
	if err := c.underDraws(b); err != nil {
		return nil, err
	}
	sides := []plans.Side{b.Side("as it is", b.Home)}
	var wrong files.Problems
	for _, p := range all {
		if slices.ContainsFunc(sides, func(s plans.Side) bool { return s.Name == p.Name }) {
			return nil, usageError{fmt.Sprintf("--plan: there are two called %q", p.Name)}
		}
		h, err := b.Prepare(p.Set)
		var ps files.Problems
		if errors.As(err, &ps) {
			wrong = append(wrong, ps...)
			continue
		}
		if err != nil {
			return nil, err
		}
		for _, w := range slices.Concat(h.Site.Warnings, h.Warnings()) {
			if !slices.Contains(b.Home.Site.Warnings, w) && !slices.Contains(b.Home.Warnings(), w) {
				c.warn(p.Name + ": " + w)
			}
		}
		sides = append(sides, b.Side(p.Name, h))
	}
	if wrong != nil {
		return nil, wrong
	}
	return sides, nil
}

// siteSides are several sites. They go by their names or, where two have one
// name, by their folders.
func (c *call) siteSides(h *series.Homestead, folders []string) ([]plans.Side, error) {
	own, err := settings(c.opts.set)
	if err != nil {
		return nil, err
	}
	sides := []plans.Side{{Home: h}}
	for _, folder := range folders {
		s, err := c.read(folder, site.Options{FillGaps: c.opts.fillGaps, Set: own})
		if err != nil {
			return nil, inFolder(folder, err)
		}
		o, err := series.New(s)
		if err != nil {
			return nil, inFolder(folder, err)
		}
		for _, w := range slices.Concat(s.Warnings, o.Warnings()) {
			c.warn(folder + ": " + w)
		}
		sides = append(sides, plans.Side{Home: o})
	}
	if c.opts.draws > 1 {
		for i := range sides {
			if sides[i].Draws, err = c.drawn(sides[i].Home); err != nil {
				return nil, err
			}
		}
	}
	names := map[string]int{}
	for _, s := range sides {
		names[s.Home.Site.Name]++
	}
	for i := range sides {
		s := sides[i].Home.Site
		sides[i].Name = s.Name
		if names[s.Name] > 1 {
			sides[i].Name = filepath.Base(filepath.Clean(s.Folder))
		}
		for k := range sides[:i] {
			if sides[k].Name == sides[i].Name {
				sides[i].Name = s.Folder
			}
		}
	}
	return sides, nil
}

// inFolder puts the folder before the files of problems.
func inFolder(folder string, err error) error {
	var ps files.Problems
	if !errors.As(err, &ps) {
		return err
	}
	told := slices.Clone(ps)
	for i := range told {
		if p := &told[i]; p.File != "" && p.File[0] != '-' {
			p.File = filepath.Join(folder, p.File)
		}
	}
	return told
}

// pickCommon returns the water years that --years names and all sides have.
func (c *call) pickCommon(sides []plans.Side) ([]weather.Year, error) {
	years, err := c.pick(sides[0].Home)
	if err != nil {
		return nil, err
	}
	common := slices.DeleteFunc(slices.Clone(years), func(y weather.Year) bool {
		return slices.ContainsFunc(sides, func(s plans.Side) bool {
			return !slices.ContainsFunc(s.Home.Years(), func(o weather.Year) bool { return o.Number() == y.Number() })
		})
	})
	if len(common) == 0 {
		return nil, usageError{fmt.Sprintf("no water year of %d to %d is in the records of all", years[0].Number(), years[len(years)-1].Number())}
	}
	if len(common) < len(years) {
		c.warn(fmt.Sprintf("only %d of %d water years are in the records of all", len(common), len(years)))
	}
	return common, nil
}
