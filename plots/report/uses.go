package report

import (
	"cmp"
	"slices"

	"sunrill/plots"
	"sunrill/sim/measure"
)

// UseTable tells who uses what over so many days: the firm uses, the largest
// first, what they come to with the inverter at the bus, of which busWh was
// asked, and below it the flexible ones. Shares are of the firm uses.
func UseTable(uses []plots.Use, days int, busWh float64) Table {
	t := Table{
		Caption: "Who uses what",
		Head:    []string{"use", "kWh a year", "Wh a day", "share"},
		Note:    "At plug or wire. Flexible uses take only what is left over, at most as much as stands here, and count in no sum.",
	}
	row := func(name string, wh float64, fraction string) {
		t.Rows = append(t.Rows, []string{name, kWh(wh), measure.Digits(wh/float64(days), 3), fraction})
	}
	us := slices.Clone(uses)
	slices.SortStableFunc(us, func(a, b plots.Use) int { return cmp.Compare(b.Wh, a.Wh) })
	firm := 0.0
	for _, u := range us {
		if !u.Flexible {
			firm += u.Wh
		}
	}
	for _, u := range us {
		switch {
		case u.Flexible:
		case firm > 0:
			row(u.Name, u.Wh, measure.Percent(u.Wh/firm))
		default:
			row(u.Name, u.Wh, "")
		}
	}
	row("these together", firm, "")
	row("the inverter, for itself", max(busWh-firm, 0), "")
	row("asked of bank and sources (bus)", busWh, "")
	for _, u := range us {
		if u.Flexible {
			row(u.Name, u.Wh, "flexible")
		}
	}
	return t
}
