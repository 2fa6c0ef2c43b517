package main

import (
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/record"
	"sunrill/sim/scenario"
	"sunrill/sim/series"
	"sunrill/weather"
)

// What the book asks of the studies: their own usual values.
const (
	bookTargetHours = 10
	bookMadeUp      = 1000 // for dry winters
	bookWorthMadeUp = 200
)

func bookCommand() command {
	return command{
		name:  "book",
		args:  "[SITE] [flags]",
		brief: "all of them in one report: the book of the site",
		long: `Puts everything into one report.html. Its first page is for somebody who reads
nothing else: will it carry us, is hydro worth it, how big a bank, when to open
and close, what to do next, how sure. Then whether hydro is worth it, dry winters,
the bank, the changeover, the year and the cautions; in an appendix the site as it
was understood, assumptions with their reasons, and what was not modelled. The numbers of every
figure are in the CSV files beside it. The year that is told in
full is the middling one of those that --years names; the studies take all.`,
		example: "sunrill book",
		groups:  withSite | withYears | everyYear | withFiles | withDraws | withSeed | withResult,
		run:     runBook,
	}
}

// book is what the studies found. Hydro's are nil where the site has none.
type book struct {
	year       report.Year
	years      []report.YearLine
	carried    report.Carried
	changeover *report.Changeover
	winter     report.DryWinter
	bank       report.Bank
	worth      *report.Worth
}

func runBook(c *call) error {
	h, err := c.homestead()
	if err != nil {
		return err
	}
	years, err := c.pick(h)
	if err != nil {
		return err
	}
	step, done := c.progress("the book's studies")
	b, err := study(c, h, years, together(step))
	done()
	if err != nil {
		return err
	}
	page := b.page(c, h)
	names, err := c.writeReport(h.Site, page, func(f *record.Folder) error { return b.write(f, h.Site.Name) })
	if err != nil {
		return err
	}
	c.say("%s: %s\n", page.Title, page.Subtitle)
	c.sayAll(page.Verdict.Sentences)
	c.printFiles(names)
	return c.emit(b.result(h.Site.Name))
}

// study runs every study, as many at a time as there are processors.
func study(c *call, h *series.Homestead, years []weather.Year, part func() func(done, total int)) (*book, error) {
	b := &book{}
	var group errgroup.Group
	group.SetLimit(workers())
	if needsHydro(h, "") == nil {
		group.Go(func() error {
			r, err := changeoverStudy(c, h, years, part())
			if err != nil {
				return err
			}
			v, err := changeoverReport(h, r, years[r.MiddleYear()])
			if err != nil {
				return err
			}
			v.Doubts, err = c.doubts(h, years)
			b.changeover = &v
			return err
		})
		group.Go(func() error {
			v, err := worthStudy(c, h, years, bookWorthMadeUp, wanted{}, part())
			b.worth = &v
			return err
		})
	}
	group.Go(func() (err error) {
		b.winter, err = drywinterStudy(c, h, years, scenario.Options{Seed: c.opts.seed, Synthetic: bookMadeUp, Progress: part()})
		return err
	})
	group.Go(func() (err error) {
		b.bank, err = bankStudy(c, h, years, bookTargetHours, len(h.Site.Arrays) > 0, part())
		return err
	})
	group.Go(func() error {
		var err error
		if b.years, b.carried, err = yearStudy(c, h, years, part()); err != nil {
			return err
		}
		y, err := sim.Run(h.Input(years[b.carried.Middling]), h.Bus())
		if err != nil {
			return err
		}
		b.year = yearReport(h, y)
		return nil
	})
	return b, group.Wait()
}

// together makes one progress of several: each part counts as a hundred.
func together(step func(done, total int)) func() func(done, total int) {
	var mu sync.Mutex
	var parts []int
	return func() func(done, total int) {
		mu.Lock()
		defer mu.Unlock()
		i := len(parts)
		parts = append(parts, 0)
		return func(done, total int) {
			if total <= 0 {
				return
			}
			mu.Lock()
			defer mu.Unlock()
			parts[i] = 100 * done / total
			sum := 0
			for _, p := range parts {
				sum += p
			}
			step(sum, 100*len(parts))
		}
	}
}

// page puts the book together: the verdicts first, worst news first.
func (b *book) page(c *call, h *series.Homestead) report.Page {
	page := c.sitePage(h)
	page.Subtitle = "The book of the site"
	page.Verdict = b.carried.Verdict()
	if len(b.years) == 1 {
		said := b.year.Verdict()
		first := said.Sentences[0]
		page.Verdict.Sentences = append([]string{"In the year " + b.year.Name() + ": " + strings.ToLower(first[:1]) + first[1:]}, page.Verdict.Sentences...)
		page.Verdict.Bad = said.Bad
	}
	firsts := func(said report.Verdict) {
		if len(said.Sentences) > 0 {
			page.Verdict.Sentences = append(page.Verdict.Sentences, said.Sentences[0])
		}
	}
	firsts(b.winter.Verdict())
	if b.worth != nil {
		firsts(b.worth.Verdict())
	}
	firsts(b.bank.Verdict())
	stream := h.Site.Stream
	front := report.NewFront(report.Studies{Year: b.year, Carried: b.carried, Winter: b.winter, Bank: b.bank, Worth: b.worth, Changeover: b.changeover,
		Gauged: stream != nil && (stream.Record != nil || len(stream.Draws) > 0)})
	page.Front = &front
	worth := report.NothingToWeigh()
	if b.worth != nil {
		worth = b.worth.Section()
	}
	winter, fit, made := b.winter.Apart()
	page.Sections = append(page.Sections, worth, winter, b.bank.Section())
	if b.changeover != nil {
		page.Sections = append(page.Sections, b.changeover.Section())
	}
	page.Sections = append(page.Sections, b.carried.Section(), report.Years(b.years, b.year.System, ""))
	if len(b.years) > 1 {
		page.Sections = append(page.Sections, b.year.InShort("The middling year"))
	}
	for _, s := range b.year.Sections() {
		s.Appendix = s.ID == "household" || s.ID == "hills" // what was understood of the site
		page.Sections = append(page.Sections, s)
	}
	page.Sections = append(page.Sections, report.InAppendix(newChecked(h).site(true)...)...)
	if made {
		page.Sections = append(page.Sections, report.InAppendix(fit)...)
	}
	return page
}

// write writes the files of every study.
func (b *book) write(f *record.Folder, name string) error {
	if err := record.Year(f, name, b.year.Year, b.year.Summary); err != nil {
		return err
	}
	if err := record.Draws(f, b.carried.Carried); err != nil {
		return err
	}
	if b.changeover != nil {
		if err := record.Changeover(f, b.changeover.Result, changeoverSaid(*b.changeover)); err != nil {
			return err
		}
	}
	if err := record.DryWinter(f, b.winter.Result); err != nil {
		return err
	}
	if err := record.Bank(f, b.bank.Result, b.bank.Grid); err != nil {
		return err
	}
	if b.worth != nil {
		return record.Worth(f, b.worth.Result)
	}
	return nil
}

// result is the object that book prints with --json: each study's own.
func (b *book) result(name string) any {
	r := struct {
		Year       record.Summary         `json:"year"`
		Changeover *record.ChangeoverFile `json:"changeover,omitempty"`
		DryWinter  any                    `json:"drywinter"`
		Bank       any                    `json:"bank"`
		Worth      *record.WorthFile      `json:"worth,omitempty"`
	}{
		Year:      record.Summarize(name, b.year.Year.In.Start, b.year.Summary),
		DryWinter: record.DryWinterObject(b.winter.Result),
		Bank:      record.BankObject(b.bank.Result, b.bank.Grid),
	}
	if b.changeover != nil {
		o := record.ChangeoverObject(b.changeover.Result, changeoverSaid(*b.changeover))
		r.Changeover = &o
	}
	if b.worth != nil {
		w := record.WorthObject(b.worth.Result)
		r.Worth = &w
	}
	return r
}
