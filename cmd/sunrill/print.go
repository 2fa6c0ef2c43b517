package main

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/weather"
)

// lineWidth is what fits an old terminal.
const lineWidth = 80

func workers() int { return runtime.GOMAXPROCS(0) }

// printYear prints the year's verdict, its months and the cautions in short.
// what is more to say of it goes below the verdict.
func (c *call) printYear(h *series.Homestead, v report.Year, more ...string) {
	c.say("%s, %s\n", h.Site.Name, v.Name())
	sentences := v.Verdict().Sentences
	c.sayAll(sentences)
	c.sayAll(more)
	if v.Summary.UnmetHours > 0 && c.flags.Name() == "year" {
		c.say("%s\n", wrap("What would help? \"sunrill improve"+c.siteWord()+"\" tries it."))
	}
	for _, s := range v.Sections() {
		switch s.ID {
		case "meter":
			c.sayAll(s.Text)
		case "energy":
			for _, t := range s.Tables {
				c.say("%s", tableText(t))
			}
		}
	}
	if h.Machine != nil {
		c.say("%s", wrap("Load before water: never open the valve without load and dump load connected. These are estimates; local codes and licensed electricians decide. The report has the other cautions.")+"\n")
	} else {
		c.say("%s", wrap("These are estimates; local codes and licensed electricians decide. The report has the cautions.")+"\n")
	}
}

// printYears prints a line a year, the middling one and the worst.
func (c *call) printYears(h *series.Homestead, years []weather.Year, lines []report.YearLine, v report.Carried) {
	t := report.Table{
		Caption: fmt.Sprintf("%s: %s, each from %d %s", h.Site.Name, measure.Plural(len(years), "water year", "water years"), h.Site.YearDay, h.Site.YearMonth),
		Head:    []string{"from", "unmet hours", "unmet, kWh", "longest, h", "lowest charge"},
	}
	for _, y := range lines[0].Summary.Given {
		t.Head = append(t.Head, y.Name+", kWh")
	}
	t.Head = append(t.Head, "left over, kWh", "dry-pipe stops", "walks up")
	row := func(name string, s sim.Summary, reach string) {
		e := s.Tally
		kWh := func(wh float64) string { return measure.Digits(wh/1000, 3) }
		cells := []string{name, measure.Count(s.UnmetHours) + reach, kWh(e.UnmetWh), measure.Count(s.LongestUnmetH),
			fmt.Sprintf("%.0f %%", 100*s.MinSoC)}
		for _, y := range s.Given {
			cells = append(cells, kWh(y.Wh))
		}
		t.Rows = append(t.Rows, append(cells, kWh(e.DumpWh+e.OverDumpWh+e.CurtailedWh), measure.Count(s.DryPipeStops), measure.Count(s.Visits)))
	}
	short := 0
	for i, l := range lines {
		row(fmt.Sprint(years[i].Number()), l.Summary, "")
		if l.Summary.UnmetHours > 0 {
			short++
		}
	}
	middling, worst, note := v.Reaches()
	row(fmt.Sprintf("median (%d)", years[v.Middling].Number()), lines[v.Middling].Summary, middling)
	row(fmt.Sprintf("worst (%d)", years[v.Worst].Number()), lines[v.Worst].Summary, worst)
	t.Note = note
	c.say("%s", tableText(t))
	if short == 0 {
		c.say("Every year is carried through.\n")
	} else {
		c.say("%s\n", wrap(fmt.Sprintf("%d of %s leave hours unmet; the worst begins in %d and is told here in full.", short, measure.Plural(len(lines), "year", "years"), years[v.Worst].Number())))
	}
}

// printFiles says where the results are.
func (c *call) printFiles(names []string) {
	charts, tables := 0, 0
	var plain []string
	for _, n := range names {
		switch {
		case !strings.HasPrefix(n, "charts/"):
			plain = append(plain, n)
		case strings.HasSuffix(n, ".csv"):
			tables++
		default:
			charts++
		}
	}
	slices.Sort(plain)
	if charts > 0 {
		text := measure.Plural(charts, "chart", "charts")
		if tables > 0 {
			text += " and " + measure.Plural(tables, "table", "tables") + " of what they draw"
		}
		plain = append(plain, text+" in charts/")
	}
	c.say("%s", wrap(fmt.Sprintf("Written to %s: %s.", c.opts.out, strings.Join(plain, ", "))))
	if c.instead != "" {
		c.say("%s", wrap(c.instead))
	}
	if slices.Contains(names, "report.html") {
		c.say("Open %s/report.html in a browser.", strings.TrimSuffix(c.opts.out, "/"))
	}
}

// sayAll prints sentences as paragraphs.
func (c *call) sayAll(sentences []string) {
	for _, s := range sentences {
		c.say("%s\n", wrap(s))
	}
}

// wrap breaks a text into lines that fit a terminal.
func wrap(text string) string { return wrapTo(text, lineWidth) }

// wrapTo breaks a text between words into lines of a width; a longer word
// stands alone.
func wrapTo(text string, lineWidth int) string {
	var b strings.Builder
	width := 0
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case width+1+n > lineWidth:
			b.WriteByte('\n')
			width = 0
		default:
			b.WriteByte(' ')
			width++
		}
		b.WriteString(word)
		width += n
	}
	return b.String()
}

// tableText writes a table of the report for a terminal: words to the left,
// numbers to the right, long heads on several lines.
func tableText(t report.Table) string {
	var b strings.Builder
	if t.Caption != "" {
		fmt.Fprintf(&b, "%s\n\n", t.Caption)
	}
	columns := len(t.Head)
	heads := make([][]string, columns)
	depth := 0
	for i, h := range t.Head {
		width := utf8.RuneCountInString(h)
		if i > 0 {
			width = 9
			for _, row := range t.Rows {
				width = max(width, utf8.RuneCountInString(row[i]))
			}
		}
		heads[i] = strings.Split(wrapTo(h, width), "\n")
		depth = max(depth, len(heads[i]))
	}
	rows := make([][]string, 0, depth+len(t.Rows))
	for line := range depth {
		row := make([]string, columns)
		for i := range row {
			if skip := depth - len(heads[i]); line >= skip {
				row[i] = heads[i][line-skip]
			}
		}
		rows = append(rows, row)
	}
	rows = append(rows, t.Rows...)
	// The first column stands to the left, padded by hand; tabwriter sets the
	// rest to the right.
	first := 0
	for _, row := range rows {
		first = max(first, utf8.RuneCountInString(row[0]))
	}
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, row := range rows {
		fmt.Fprint(w, row[0], strings.Repeat(" ", first-utf8.RuneCountInString(row[0])))
		for _, word := range row[1:] {
			fmt.Fprint(w, "\t", word)
		}
		fmt.Fprintln(w, "\t")
	}
	w.Flush()
	if t.Note != "" {
		fmt.Fprintf(&b, "\n%s\n", wrap(t.Note))
	}
	return b.String()
}

// both writes a quantity in metric and in US units.
func both(write func(measure.System) string) string {
	return write(measure.Metric) + " (" + write(measure.US) + ")"
}

// bucket says how long a flow takes to fill the bucket of a system.
func bucket(u measure.System, m3S float64) string {
	if m3S <= 0 {
		return "never"
	}
	return measure.Seconds(u.BucketSeconds(m3S))
}
