package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"sync"

	"github.com/spf13/pflag"

	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/record"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// call is one run of one command.
type call struct {
	ctx      context.Context
	out, err io.Writer
	flags    *pflag.FlagSet // parsed; a command looks up its own flags here
	args     []string       // what is no flag
	opts     options
	changes  []string // what --set changed
	beside   []string // folders of the sites that are compared with it
	instead  string   // what the results replaced, if it is worth a word

	once   sync.Once // of what the spreads come from
	blames *sim.Blames
	failed error
}

// say prints a line for a person, unless --json or --quiet was given.
func (c *call) say(format string, args ...any) {
	if !c.opts.json && !c.opts.quiet {
		fmt.Fprintf(c.out, format+"\n", args...)
	}
}

// warn prints a warning on standard error.
func (c *call) warn(text string) { fmt.Fprintf(c.err, "warning: %s\n", text) }

// emit prints the result as JSON if --json was given.
func (c *call) emit(v any) error {
	if !c.opts.json {
		return nil
	}
	return record.WriteJSON(c.out, record.With("set", c.changes, v))
}

// siteWord is the site's folder as a command line has it, after a space; nothing
// for the homestead that is built in.
func (c *call) siteWord() string {
	if len(c.args) == 0 {
		return ""
	}
	return " " + c.args[0]
}

// noArgs refuses arguments that the command does not take.
func (c *call) noArgs() error {
	if len(c.args) > 0 {
		return usageError{fmt.Sprintf("%s takes no argument %q", c.flags.Name(), c.args[0])}
	}
	return nil
}

// quantity reads a flag that takes a quantity with its unit.
// span says lo to hi in words.
func (c *call) quantity(flag string, m *measure.Measure, lo, hi float64, span string) (float64, error) {
	text, err := c.flags.GetString(flag)
	if err != nil {
		return 0, err
	}
	v, err := m.Parse(text)
	if err != nil {
		return 0, usageError{fmt.Sprintf("--%s: %v", flag, err)}
	}
	if !(v >= lo && v <= hi) {
		return 0, usageError{fmt.Sprintf("--%s: %q is outside %s", flag, text, span)}
	}
	return v, nil
}

// site reads the site that the arguments name, or the built-in one, and
// prints its warnings.
func (c *call) site() (*site.Site, error) {
	return c.siteWith(site.Options{FillGaps: c.opts.fillGaps})
}

func (c *call) siteWith(o site.Options) (*site.Site, error) {
	if len(c.args) > 1 {
		return nil, usageError{fmt.Sprintf("%s takes one site folder, not %d: %s", c.flags.Name(), len(c.args), strings.Join(c.args, " "))}
	}
	set, err := settings(c.opts.set)
	if err != nil {
		return nil, err
	}
	o.Set = set
	folder := ""
	switch _, here := os.Stat("site.toml"); {
	case len(c.args) > 0:
		folder = c.args[0]
	case here == nil:
		folder = "."
		c.say("%s", wrap("No site folder given: using the one that you are in. (Elsewhere it would be the invented homestead that is built in.)\n"))
	}
	s, err := c.read(folder, o)
	if err != nil {
		return nil, err
	}
	if folder == "" {
		c.say("No site folder given: using the invented homestead that is built in.\n")
	}
	if err := c.mayWrite(s); err != nil {
		return nil, err
	}
	for _, w := range s.Warnings {
		c.warn(w)
	}
	c.changes = changes(s)
	if len(c.changes) > 0 {
		c.say("%s", "Set otherwise than in the site's files:")
		for _, line := range c.changes {
			c.say("  %s", line)
		}
		c.say("")
	}
	return s, nil
}

// read reads a folder, "" the homestead that is built in, in the units that
// were asked for.
func (c *call) read(folder string, o site.Options) (s *site.Site, err error) {
	if folder == "" {
		s, err = site.LoadFS(site.DemoFS(), o)
	} else {
		s, err = site.Load(folder, o)
	}
	if err == nil && c.opts.units != "" {
		s.US = c.opts.units == "us"
	}
	return s, err
}

// homestead reads the site and prepares its hourly series.
func (c *call) homestead() (*series.Homestead, error) {
	s, err := c.site()
	if err != nil {
		return nil, err
	}
	h, err := series.New(s)
	if err != nil {
		return nil, err
	}
	for _, w := range h.Warnings() {
		c.warn(w)
	}
	return h, nil
}

// units is the system that a site's results are printed in.
func units(s *site.Site) measure.System { return measure.Of(s.US) }

// pick returns the water years that --years names, every one if it is not
// given.
func (c *call) pick(h *series.Homestead) ([]weather.Year, error) {
	have := h.Years()
	first, last := have[0].Number(), have[len(have)-1].Number()
	spec := c.opts.years
	switch spec {
	case "", "all":
		return have, nil
	case "last":
		return have[len(have)-1:], nil
	}
	from, to, ok := parseYears(spec)
	if !ok {
		hint := ""
		if spec == "typical" || spec == "worst" || spec == "running" {
			hint = "; typical, worst and running are for \"sunrill year\""
		}
		return nil, usageError{fmt.Sprintf("--years: %q is none of all, last, a year such as %d, or a span such as %d-%d%s", spec, last, first, last, hint)}
	}
	if y, is := h.Unfinished(); is && from >= first && to == y.Number() {
		return nil, usageError{fmt.Sprintf("--years %s: the water year %d is not over, the records end on %s, and it counts among no years; \"sunrill year%s --years %d\" runs it up to there", spec, to, lastDay(y), c.siteWord(), to)}
	}
	if from < first || to > last {
		return nil, usageError{fmt.Sprintf("--years %s: the record holds complete water years from %d to %d", spec, first, last)}
	}
	var ys []weather.Year
	for _, y := range have {
		if n := y.Number(); from <= n && n <= to {
			ys = append(ys, y)
		}
	}
	return ys, nil
}

// lastDay writes the last day of a year.
func lastDay(y weather.Year) string {
	return y.Start.AddDate(0, 0, y.Days-1).Format("2 January 2006")
}

func parseYears(spec string) (from, to int, ok bool) {
	a, b, span := strings.Cut(spec, "-")
	from, err := strconv.Atoi(a)
	if err != nil {
		return 0, 0, false
	}
	if !span {
		return from, from, true
	}
	to, err = strconv.Atoi(b)
	return from, to, err == nil && from <= to
}
