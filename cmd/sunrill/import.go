package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"sunrill/plots/report"
	"sunrill/sim/files"
	"sunrill/sim/gather"
	"sunrill/sim/measure"
	"sunrill/sim/site"
)

func importCommand() command {
	var dir, as string
	var o gather.Options
	var columns []string
	var replace bool
	return command{
		name:  "import",
		args:  "FILE... [flags]",
		brief: "make a site's CSV of records as they come",
		long: `Reads tables as they come, from a spreadsheet, a weather service or a meter, and
writes the site's own file: rain.csv or rain-months.csv, sun.csv (and
sun-hourly.csv), demand.csv, flow.csv, meter.csv or gaugings.csv. It
prints what it understood and what tells it, and asks by the name of a flag for
what the files do not tell.

It takes CSV with any separator, titles, footers and remarks, .xlsx, GHCN-Daily
(.dly and both forms of CSV), TMY3 and EPW. Several files of one kind are joined.
A blank, M or -9999 is a gap, never 0; a trace counts 0 and is noted; a total of
several days is spread evenly over them and noted. Without --site it writes
nothing.`,
		example: "sunrill import prcp.csv --site my-place",
		groups:  withResult,
		flags: func(fs *pflag.FlagSet) {
			fs.StringVar(&dir, "site", "", "site folder to write into")
			fs.StringVar(&as, "as", "", "what the files hold: rain, sun, demand, flow, meter or readings (default: by their columns)")
			fs.BoolVar(&replace, "replace", false, "replace a file that is there already; the old one is kept beside it")
			fs.StringVar(&o.Dates, "dates", "", "order in dates such as 3/10/2016: dmy, mdy or ymd")
			fs.StringVar(&o.Unit, "unit", "", "unit of the rain, sun, demand or flow, such as mm, in, kWh, L/s")
			fs.StringVar(&o.Decimal, "decimal", "", "decimal mark where 1,234 may be either: comma or point")
			fs.StringVar(&o.Unlisted, "unlisted", "", "what a day without a row was: dry or missing")
			fs.StringArrayVar(&columns, "column", nil, "which column holds a quantity, such as \"rain=Total\"; may be given again")
			fs.StringVar(&o.Sheet, "sheet", "", "sheet of a workbook (default: all that hold a table)")
		},
		run: func(c *call) error {
			if len(c.args) == 0 {
				return usageError{"import needs the files to read, such as: sunrill import prcp.csv --site my-place"}
			}
			for _, f := range []struct {
				name, value string
				known       []string
			}{
				{"as", as, importKinds}, {"dates", o.Dates, importDates}, {"decimal", o.Decimal, importDecimals}, {"unlisted", o.Unlisted, importUnlisted},
			} {
				if c.flags.Changed(f.name) && !slices.Contains(f.known, f.value) {
					return usageError{fmt.Sprintf("--%s: %q is none of %s%s", f.name, f.value, strings.Join(f.known, ", "), didYouMean(f.value, f.known))}
				}
			}
			o.As, o.Columns = gather.Kind(as), map[string]string{}
			for _, pair := range columns {
				name, header, ok := strings.Cut(pair, "=")
				if !ok || header == "" {
					return usageError{fmt.Sprintf("--column: %q is no pair; write \"rain=NAME OF THE COLUMN\"", pair)}
				}
				o.Columns[strings.TrimSpace(name)] = header
			}
			if c.flags.Changed("site") && dir == "" {
				return usageError{"--site needs the name of a site folder"}
			}
			if replace && dir == "" {
				return usageError{"--replace goes with --site DIR, the folder to write into"}
			}
			return c.gather(dir, o, replace)
		},
	}
}

// The words that import takes.
var (
	importKinds    = []string{"rain", "sun", "demand", "flow", "meter", "readings"}
	importDates    = []string{"dmy", "mdy", "ymd"}
	importDecimals = []string{"comma", "point"}
	importUnlisted = []string{"dry", "missing"}
)

// gather reads the files, tells what was understood and writes.
func (c *call) gather(dir string, o gather.Options, replace bool) error {
	o.LatDeg, o.UTCOffsetH = math.NaN(), math.NaN()
	if dir != "" {
		k, err := site.ReadKnown(dir)
		if err != nil {
			return err
		}
		o.LatDeg, o.UTCOffsetH = k.LatDeg, k.UTCOffsetH
	}
	sources, err := readSources(c.args)
	if err != nil {
		return err
	}
	g, err := gather.Read(sources, o)
	if err != nil {
		return err
	}
	c.printFindings(g)
	for _, w := range g.Warnings {
		c.warn(w)
	}
	c.printTotals(g)
	var written, kept []string
	if dir == "" {
		var names []string
		for _, out := range g.Outputs {
			names = append(names, out.Name)
		}
		c.say("%s", wrap("Nothing is written: --site DIR names the folder that gets "+strings.Join(names, " and ")+"."))
	} else {
		kept, err = gather.Keep(dir, g.Outputs, replace)
		if errors.Is(err, gather.ErrExists) {
			return files.Problems{{What: err.Error() + "; nothing was written", Hint: "--replace puts the new one in its place and keeps the old one beside it"}}
		} else if err != nil {
			return err
		}
		for i, out := range g.Outputs {
			path := filepath.Join(dir, out.Name)
			written = append(written, path)
			text := fmt.Sprintf("Written: %s, %s", path, measure.Plural(out.Rows, "row", "rows"))
			if i < len(kept) {
				text += "; the old one is kept as " + filepath.Base(kept[i])
			}
			c.say("%s.", text)
		}
		if len(g.Set) > 0 {
			c.say("\nIn %s:\n", filepath.Join(dir, "site.toml"))
			for _, line := range g.Set {
				c.say("  %s", line)
			}
		}
		c.say("\nThen: sunrill check %s", quoted(dir))
	}
	return c.emit(gathered(g, written, kept))
}

// mostBytes is the most that one file may have.
const mostBytes = 256 << 20

// readSources reads the files whole. Only regular files of a sane size are.
func readSources(names []string) ([]gather.Source, error) {
	var sources []gather.Source
	var ps files.Problems
	for _, name := range names {
		info, err := os.Stat(name)
		switch {
		case err != nil:
			ps = append(ps, files.Problem{File: name, What: "cannot be read: " + cause(err)})
			continue
		case info.IsDir():
			ps = append(ps, files.Problem{File: name, What: "is a folder", Hint: "name the files in it"})
			continue
		case !info.Mode().IsRegular():
			ps = append(ps, files.Problem{File: name, What: "is no regular file", Hint: "devices, pipes and links to them are not read"})
			continue
		case info.Size() > mostBytes:
			ps = append(ps, files.Problem{File: name, What: fmt.Sprintf("has %d MB", info.Size()>>20), Hint: fmt.Sprintf("the limit is %d MB; is it the right file?", mostBytes>>20)})
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			ps = append(ps, files.Problem{File: name, What: "cannot be read: " + cause(err)})
			continue
		}
		sources = append(sources, gather.Source{Name: name, Data: data})
	}
	if len(ps) > 0 {
		return nil, ps
	}
	return sources, nil
}

// cause is what a file error says, without the operation and the path.
func cause(err error) string {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// printFindings tells what was understood, file by file.
func (c *call) printFindings(g *gather.Gathered) {
	c.say("Understood as %s:", map[gather.Kind]string{gather.Rain: "a record of rain", gather.Sun: "a record of the sun", gather.Demand: "a meter's record of what the house asks",
		gather.Flow: "a record of the creek", gather.Meter: "a record of bank and sources", gather.Readings: "readings of the creek"}[g.Kind])
	file := "\x00"
	for _, f := range g.Findings {
		if f.File != file {
			file = f.File
			if file != "" {
				c.say("\n%s", file)
			} else {
				c.say("\nall files")
			}
		}
		text := f.What
		if f.Evidence != "" {
			text += " (" + f.Evidence + ")"
		}
		c.say("  %s", strings.ReplaceAll(wrapTo(text, lineWidth-4), "\n", "\n    "))
	}
	c.say("")
}

// printTotals prints years, months, the largest and the gaps.
func (c *call) printTotals(g *gather.Gathered) {
	sums := g.Kind == gather.Rain
	head := []string{"", "mean, " + g.Unit, "days known"}
	if sums {
		head = []string{"", "rain, " + g.Unit, "days known", "wet days"}
	}
	row := func(name string, t gather.Total) []string {
		r := []string{name, measure.Digits(t.Sum, 3), measure.Count(t.Days)}
		if sums {
			r = append(r, measure.Count(t.Wet))
		}
		return r
	}
	if len(g.Years) > 0 {
		t := report.Table{Caption: "By year", Head: slices.Clone(head)}
		for _, y := range g.Years {
			t.Rows = append(t.Rows, row(fmt.Sprint(y.Year), y))
		}
		if sums {
			t.Note = "A wet day has 0.1 mm or more. A year with fewer days than it should have looks drier than it was."
		}
		c.say("%s", tableText(t))
	}
	if len(g.Months) > 0 {
		t := report.Table{Caption: "By month, the mean of all years", Head: slices.Clone(head)}
		if len(g.Years) == 0 && sums {
			t = report.Table{Caption: "By month", Head: []string{"", "rain, " + g.Unit, "wet days"}}
		}
		if g.Kind == gather.Sun {
			t = report.Table{Caption: "Sun hours by month", Head: []string{"", g.Unit}}
		}
		for m, x := range g.Months {
			cells := row(time.Month(m + 1).String()[:3], x)
			if len(g.Years) == 0 && sums { // a climate page's own months
				cells = slices.Delete(cells, 2, 3)
			}
			if x.Known {
				t.Rows = append(t.Rows, cells[:len(t.Head)])
			}
		}
		c.say("%s", tableText(t))
	}
	if !g.From.IsZero() {
		c.say("From %s to %s.", g.From.Format("2 January 2006"), g.To.Format("2 January 2006"))
	}
	if !g.LargeAt.IsZero() && g.Unit != "" && g.Kind != gather.Sun {
		what := "Largest"
		if sums {
			what = "Wettest day"
		}
		c.say("%s: %s %s on %s.", what, measure.Digits(g.Largest, 3), g.Unit, g.LargeAt.Format("2 January 2006"))
	}
	c.printGaps(g)
	c.say("")
}

func (c *call) printGaps(g *gather.Gathered) {
	if len(g.Gaps) == 0 {
		return
	}
	const most = 8
	format, unit := "2006-01-02", "day"
	if g.Kind == gather.Demand || g.Kind == gather.Meter || g.Kind == gather.Sun {
		format, unit = "2006-01-02 15:04", "hour"
	}
	steps := func(s gather.Span) int {
		if unit == "hour" {
			return int(s.To.Sub(s.From).Hours()) + 1
		}
		return s.Days()
	}
	all := 0
	longest := slices.Clone(g.Gaps)
	slices.SortStableFunc(longest, func(a, b gather.Span) int { return steps(b) - steps(a) })
	var words []string
	for i, s := range longest {
		all += steps(s)
		if i < most {
			text := s.From.Format(format)
			if s.To.After(s.From) {
				text += " to " + s.To.Format(format)
			}
			words = append(words, fmt.Sprintf("%s (%s)", text, measure.Plural(steps(s), unit, unit+"s")))
		}
	}
	if len(longest) > most {
		words = append(words, "…")
	}
	c.say("%s", wrap(fmt.Sprintf("%s, %s in all; the longest: %s. They are left as gaps: unknown, not 0.", measure.Plural(len(g.Gaps), "gap", "gaps"), measure.Plural(all, unit, unit+"s"), strings.Join(words, ", "))))
}

// gathered is the object that import prints with --json.
func gathered(g *gather.Gathered, written, kept []string) any {
	type total struct {
		Year int     `json:"year,omitempty"`
		Sum  float64 `json:"value"`
		Days int     `json:"days"`
	}
	type finding struct {
		File     string `json:"file"`
		What     string `json:"what"`
		Evidence string `json:"evidence"`
	}
	type gap struct {
		From string `json:"from"`
		To   string `json:"to"`
	}
	r := struct {
		Kind     gather.Kind `json:"kind"`
		Unit     string      `json:"unit"`
		From     string      `json:"from"`
		To       string      `json:"to"`
		Findings []finding   `json:"findings"`
		Warnings []string    `json:"warnings"`
		Years    []total     `json:"years"`
		Months   []total     `json:"months"`
		Largest  float64     `json:"largest"`
		Gaps     []gap       `json:"gaps"`
		Written  []string    `json:"written"`
		Kept     []string    `json:"kept"`
		Set      []string    `json:"set"`
	}{Kind: g.Kind, Unit: g.Unit, Warnings: g.Warnings, Largest: g.Largest, Written: written, Kept: kept, Set: g.Set}
	if !g.From.IsZero() {
		r.From, r.To = g.From.Format("2006-01-02"), g.To.Format("2006-01-02")
	}
	for _, f := range g.Findings {
		r.Findings = append(r.Findings, finding(f))
	}
	for _, y := range g.Years {
		r.Years = append(r.Years, total{y.Year, y.Sum, y.Days})
	}
	for _, m := range g.Months {
		r.Months = append(r.Months, total{0, m.Sum, m.Days})
	}
	for _, s := range g.Gaps {
		r.Gaps = append(r.Gaps, gap{s.From.Format("2006-01-02 15:04"), s.To.Format("2006-01-02 15:04")})
	}
	return r
}
