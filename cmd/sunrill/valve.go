package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"sunrill/sim/series"
	"sunrill/sim/site"
)

// valveFlags are the dates of the valve from the command line.
type valveFlags struct{ open, close string }

func (v *valveFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&v.open, "open", "", "open the valve on this day, such as 11-05, in place of the site's; never: leave it shut")
	fs.StringVar(&v.close, "close", "", "close the valve on this day, such as 04-20, in place of the site's; never: leave it open")
}

// gate returns the homestead with the valve as the site and the flags say.
func (v *valveFlags) gate(h *series.Homestead) (*series.Homestead, error) {
	if v.open == "" && v.close == "" {
		return h, nil
	}
	if h.Machine == nil {
		return nil, usageError{"--open and --close need a site with a turbine; this one describes none"}
	}
	if v.open == "never" {
		return h.WithValve(series.Valve{Shut: true}), nil
	}
	dates := h.Valve
	for _, flag := range []struct {
		name, value string
		to          **site.Date
	}{{"open", v.open, &dates.Open}, {"close", v.close, &dates.Close}} {
		switch flag.value {
		case "":
		case "never":
			*flag.to = nil
		default:
			d, err := site.ParseDate(flag.value)
			if err != nil {
				return nil, usageError{fmt.Sprintf("--%s: %v", flag.name, err)}
			}
			*flag.to = &d
		}
	}
	if dates.Open != nil && dates.Close != nil && *dates.Open == *dates.Close {
		return nil, usageError{"--open and --close: the valve would be closed on the day of opening; give another day, or never for both: then it runs whenever the flow allows"}
	}
	return h.WithValve(dates), nil
}
