package report

import (
	"fmt"
	"slices"
	"strings"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// run is hours on end in which something was going on.
type run struct {
	start, hours int
	wh, maximum  float64
}

// runs returns the runs of hours in which a power counts, in order.
func runs(w []float64) []run {
	var rs []run
	for h, v := range w {
		if v <= sim.UnmetThresholdW {
			continue
		}
		if n := len(rs); n == 0 || rs[n-1].start+rs[n-1].hours != h {
			rs = append(rs, run{start: h})
		}
		r := &rs[len(rs)-1]
		r.hours++
		r.wh += v
		r.maximum = max(r.maximum, v)
	}
	return rs
}

// maxDates is how many dates or stretches of days a sentence names, maxRuns
// how many runs a table of dates.
const (
	maxDates = 6
	maxRuns  = 24
)

// dates names the days that runs touch, days on end as one stretch.
func (v Year) dates(rs []run) string {
	type stretch struct{ from, to int } // days of the run
	var all []stretch
	for _, r := range rs {
		from, to := r.start/24, (r.start+r.hours-1)/24
		if n := len(all); n > 0 && from <= all[n-1].to+1 {
			all[n-1].to = to
		} else {
			all = append(all, stretch{from, to})
		}
	}
	var names []string
	for _, s := range all[:min(maxDates, len(all))] {
		name := v.at(24 * s.from).Format("2 Jan 2006")
		if s.to > s.from {
			name += " to " + v.at(24*s.to).Format("2 Jan 2006")
		}
		names = append(names, name)
	}
	more := 0
	for _, s := range all[len(names):] {
		more += s.to - s.from + 1
	}
	text := strings.Join(names, ", ")
	if more > 0 {
		text += fmt.Sprintf(" and on %s", measure.Plural(more, "more day", "more days"))
	}
	return text
}

// dateTable lists runs with their dates, in order. note ends the table if all
// of them fit.
func (v Year) dateTable(caption, power, note string, w []float64) Table {
	rs := runs(w)
	t := Table{Caption: caption, Head: []string{"from", "hours", power, "kWh"}, Note: note}
	if len(rs) > maxRuns {
		t.Note = fmt.Sprintf("The first %d of %s. %s", maxRuns, measure.Count(len(rs)), note)
	}
	for _, r := range rs[:min(maxRuns, len(rs))] {
		t.Rows = append(t.Rows, []string{v.at(r.start).Format("2 Jan 2006, 15:04"), measure.Count(r.hours),
			measure.Count(int(r.maximum + 0.5)), measure.Digits(r.wh/1000, 2)})
	}
	return t
}

// darkTable lists the longest runs of unmet hours.
func (v Year) darkTable() Table {
	rs := runs(v.Year.UnmetW)
	slices.SortStableFunc(rs, func(a, b run) int { return b.hours - a.hours })
	t := Table{
		Caption: "The longest dark spells",
		Head:    []string{"from", "hours", "unmet, kWh"},
		Note:    fmt.Sprintf("%s in the year.", measure.Plural(len(rs), "dark spell", "dark spells")),
		Data:    "hours.csv",
	}
	for _, r := range rs[:min(6, len(rs))] {
		t.Rows = append(t.Rows, []string{v.at(r.start).Format("2 Jan 2006, 15:04"), measure.Count(r.hours), measure.Digits(r.wh/1000, 2)})
	}
	return t
}
