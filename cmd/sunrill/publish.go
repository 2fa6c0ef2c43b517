package main

import (
	"io"

	"sunrill/plots/report"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// publish brings a study to its reader: it writes the study's own files, the
// charts and the page, prints the page in short and what is to be said below
// it, and emits the result.
func (c *call) publish(s *site.Site, page report.Page, files func(*record.Folder) error, result any, below ...string) error {
	names, err := c.writeReport(s, page, files)
	if err != nil {
		return err
	}
	c.printStudy(page)
	c.sayAll(below)
	c.printFiles(names)
	return c.emit(result)
}

// writeReport writes a run's own files, its charts and its page, all of them or
// none, and returns their names.
func (c *call) writeReport(s *site.Site, page report.Page, files func(*record.Folder) error) ([]string, error) {
	f, err := c.folder(s)
	if err != nil {
		return nil, err
	}
	defer f.Discard()
	if err := files(f); err != nil {
		return nil, err
	}
	if err := c.writeCharts(f, report.Charts(page.Sections)); err != nil {
		return nil, err
	}
	if err := f.Write("report.html", func(w io.Writer) error { return report.Write(w, page) }); err != nil {
		return nil, err
	}
	if err := c.ctx.Err(); err != nil {
		return nil, err
	}
	return f.Names(), c.commit(f, s)
}

// studyPage puts the report of one study together.
func (c *call) studyPage(h *series.Homestead, subtitle string, verdict report.Verdict, sections []report.Section) report.Page {
	page := c.sitePage(h)
	page.Subtitle, page.Verdict, page.Sections = subtitle, verdict, sections
	return page
}

// printStudy prints a study's verdict and its tables.
func (c *call) printStudy(page report.Page) {
	c.say("%s: %s\n", page.Title, page.Subtitle)
	c.sayAll(page.Verdict.Sentences)
	for _, s := range page.Sections {
		for _, t := range s.Tables {
			c.say("%s", tableText(t))
		}
	}
}
