package main

import (
	"fmt"

	"github.com/spf13/pflag"
)

// group names sets of flags that commands share.
type group int

const (
	withSite   group = 1 << iota // reads a site: --units --set --fill-gaps
	withYears                    // picks years of the record: --years
	everyYear                    // takes all years where --years is not given
	withFiles                    // writes files: --out --format
	withSeed                     // draws random numbers: --seed
	withResult                   // prints a result: --json --quiet
	withDraws                    // runs draws of what is not known for sure: --draws
)

// Draws: 20 tell an 8-in-10 range and what is nearly sure; more cost time.
const (
	usualDraws = 20
	mostDraws  = 1000
)

// options are the shared flags.
type options struct {
	out, format, units, years string
	seed                      uint64
	draws                     int
	drawn                     bool // the command takes --draws
	json, quiet, fillGaps     bool
	set                       []string
}

func (o *options) add(fs *pflag.FlagSet, g group) {
	if g&withFiles != 0 {
		fs.StringVar(&o.out, "out", "sunrill-out", "folder to write the results to")
		fs.StringVar(&o.format, "format", "svg", "format of the charts: svg, png or pdf")
	}
	if g&withYears != 0 {
		usual, words := "typical", "typical, worst, last, running (the season that is not over)"
		if g&everyYear != 0 {
			usual, words = "all", "last"
		}
		fs.StringVar(&o.years, "years", "", "water years, by the calendar year in which they start: all, "+words+", 2016 or 2012-2018 (default "+usual+")")
	}
	if g&withDraws != 0 {
		o.drawn = true
		fs.IntVar(&o.draws, "draws", usualDraws, "draws of sky, creek and what you are unsure of; 1: the middle values alone")
	}
	if g&withSeed != 0 {
		fs.Uint64Var(&o.seed, "seed", 1, "seed of what is drawn at random: the same seed gives the same bytes")
	}
	if g&withSite != 0 {
		fs.StringVar(&o.units, "units", "", "print in metric or us units (default as site.toml says)")
		fs.StringArrayVar(&o.set, "set", nil, "`key=value`, otherwise than site.toml: bank.capacity=\"20 kWh\", loads.freezer.count=0; may be repeated")
		fs.BoolVar(&o.fillGaps, "fill-gaps", false, "fill gaps of more than 3 days in the rain record too, and say which (as gaps = \"fill\" under [rain])")
	}
	if g&withResult != 0 {
		fs.BoolVar(&o.json, "json", false, "print the result as one JSON object and nothing else")
		fs.BoolVar(&o.quiet, "quiet", false, "print nothing but warnings and errors")
	}
	fs.BoolP("help", "h", false, "print this help")
}

func (o *options) check(fs *pflag.FlagSet) error {
	switch o.format {
	case "", "svg", "png", "pdf":
	default:
		return usageError{fmt.Sprintf("--format: %q is none of svg, png, pdf", o.format)}
	}
	switch o.units {
	case "", "metric", "us":
	default:
		return usageError{fmt.Sprintf("--units: %q is none of metric, us", o.units)}
	}
	if o.drawn && (o.draws < 1 || o.draws > mostDraws) {
		return usageError{fmt.Sprintf("--draws: a number from 1 to %d", mostDraws)}
	}
	if fs.Changed("out") && o.out == "" {
		return usageError{"--out needs the name of a folder"}
	}
	return nil
}
