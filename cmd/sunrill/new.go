package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"sunrill/loads"
	"sunrill/sim/site"
)

func newCommand() command {
	t := site.Template{LatDeg: math.NaN(), LonDeg: math.NaN()}
	var units string
	return command{
		name:  "new",
		args:  "DIR [flags]",
		brief: "lay a site folder to start from",
		long: `Makes the folder DIR with a site.toml and the CSV files of a homestead, to be
changed into yours: the invented one that is built in or, with --blank, one
whose values are left for you to fill in, each with a comment. It never touches
a folder that holds a site already. horizon.csv tells how to measure the hills
with a phone or with fists, gaugings.csv how to gauge the creek.

` + wrap("Appliances for --with: "+strings.Join(appliances(), ", ")+"."),
		example: "sunrill new my-place --with fridge,laptop,lights,well-pump",
		flags: func(fs *pflag.FlagSet) {
			fs.StringSliceVar(&t.With, "with", nil, "appliances to begin loads.csv with, commas between")
			fs.BoolVar(&t.Blank, "blank", false, "leave the values to you, with a comment on each")
			fs.StringVar(&units, "units", "metric", "units of the files and of what is printed: metric or us")
			fs.Float64Var(&t.LatDeg, "latitude", math.NaN(), "of a blank site: degrees, north positive")
			fs.Float64Var(&t.LonDeg, "longitude", math.NaN(), "of a blank site: degrees, east positive")
			fs.Lookup("latitude").DefValue, fs.Lookup("longitude").DefValue = "0", "0" // help tells no default
		},
		groups: 0,
		run: func(c *call) error {
			switch len(c.args) {
			case 0:
				return usageError{"new needs the name of the folder to make, such as: sunrill new my-place"}
			case 1:
			default:
				return usageError{fmt.Sprintf("new makes one folder, not %d: %s", len(c.args), strings.Join(c.args, " "))}
			}
			for _, name := range t.With {
				if _, ok := loads.FindTypical(name); !ok {
					return usageError{fmt.Sprintf("--with: there is no appliance %q in the list%s (sunrill new --help has it)", name, didYouMean(name, appliances()))}
				}
			}
			dir := c.args[0]
			if dir == "" {
				return usageError{"new needs the name of the folder to make; it was given an empty one"}
			}
			switch units {
			case "us":
				t.US = true
			case "metric":
			default:
				return usageError{fmt.Sprintf("--units: %q is none of metric, us", units)}
			}
			for _, f := range []struct {
				name string
				v    float64
				most float64
			}{{"latitude", t.LatDeg, 90}, {"longitude", t.LonDeg, 180}} {
				switch {
				case !c.flags.Changed(f.name):
				case !(math.Abs(f.v) <= f.most):
					return usageError{fmt.Sprintf("--%s must lie between -%g and %g degrees", f.name, f.most, f.most)}
				case !t.Blank:
					return usageError{fmt.Sprintf("--%s goes with --blank: the built-in homestead has a place of its own, and the weather of it", f.name)}
				}
			}
			if err := t.Write(dir); err != nil {
				return err
			}
			c.say("%s is made. Next:\n", dir)
			c.say("  edit %s/site.toml and the CSV files beside it", strings.TrimSuffix(dir, "/"))
			c.say("  sunrill check %s", quoted(dir))
			c.say("  sunrill year %s", quoted(dir))
			return nil
		},
	}
}

// quoted writes a name as a shell takes it for one word.
func quoted(name string) string {
	if strings.ContainsAny(name, " \t'\"$&|;<>()*?[]`\\") {
		return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
	}
	return name
}

// appliances are the names in the list of typical appliances.
func appliances() []string {
	var ns []string
	for _, t := range loads.Typicals() {
		ns = append(ns, t.Key)
	}
	return ns
}
