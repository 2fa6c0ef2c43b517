package report

import (
	"fmt"
	"strings"
	"time"

	"sunrill/plots"
	"sunrill/sim"
	"sunrill/sim/measure"
)

// YearLine is one of several years, in a line.
type YearLine struct {
	Start   time.Time
	RainMM  float64 // of the whole year
	Summary sim.Summary

	UnmetByMonth [12]int // unmet hours, January first
}

// Name names a year by the calendar years that it touches, "2004–05", and a
// season that is not over by the day on which it breaks off too.
func (l YearLine) Name() string {
	if l.unfinished() {
		whole := l
		whole.Summary.Hours = 24 * 365
		return whole.Name() + " up to " + l.Start.Add(time.Duration(l.Summary.Hours-1)*time.Hour).Format("2 January")
	}
	last := l.Start.Add(time.Duration(l.Summary.Hours-1) * time.Hour)
	if last.Year() == l.Start.Year() {
		return l.Start.Format("2006")
	}
	return l.Start.Format("2006") + "–" + last.Format("06")
}

// unfinished reports whether the records broke off before the year was over.
func (l YearLine) unfinished() bool { return l.Summary.Hours < 24*365 }

// Years returns the chapter that lays several years side by side. data is the
// file with their numbers, "" for none.
func Years(lines []YearLine, sys measure.System, data string) Section {
	sec := Section{ID: "years", Title: "The years of the record"}
	if len(lines) == 0 {
		return sec
	}
	drawn := plots.Years{RainScale: sys.RainAxis()}
	t := Table{
		Caption: "Year by year",
		Head:    []string{"year", "rain, " + sys.RainAxis().Unit, "unmet hours", "unmet, kWh", "longest dark spell, h", "lowest charge", "hydro days", "dry-pipe stops", "walks up"},
		Minor:   []int{1, 7},
		Data:    data,
	}
	var heads []sim.Summary
	carried := 0
	for _, l := range lines {
		s := l.Summary
		drawn.Names = append(drawn.Names, l.Name())
		drawn.UnmetHours = append(drawn.UnmetHours, s.UnmetHours)
		drawn.RainMM = append(drawn.RainMM, l.RainMM)
		heads = append(heads, s)
		if s.UnmetHours == 0 {
			carried++
		}
		t.Rows = append(t.Rows, []string{l.Name(), measure.Count(int(sys.RainAxis().Of(l.RainMM) + 0.5)), measure.Count(s.UnmetHours), kWh(s.Tally.UnmetWh),
			measure.Count(s.LongestUnmetH), fmt.Sprintf("%.0f %%", 100*s.MinSoC), measure.Count(s.HydroDays), measure.Count(s.DryPipeStops), measure.Count(s.Visits)})
	}
	worst := lines[sim.Worst(heads)]
	far := yearsReach(heads, 1)
	sec.Text = []string{fmt.Sprintf("%s of %d years had no unmet hour; half of them had %s or less%s, the worst, %s, %s%s.", measure.Count(carried), len(lines),
		measure.Plural(lines[sim.AtFraction(heads, 0.5)].Summary.UnmetHours, "hour", "hours"), yearsReach(heads, 0.5), worst.Name(), measure.Plural(worst.Summary.UnmetHours, "hour", "hours"), far)}
	if far != "" {
		sec.Text[0] += " " + inBrackets
	}
	if danger := HazardYears(lines); danger != "" {
		sec.Text = append([]string{danger}, sec.Text...)
	}
	sec.Figures = []Figure{{plots.UnmetByYear(drawn), data}}
	sec.Tables = []Table{t}
	return sec
}

// HazardYears says in which years the turbine gave more than anything could
// take, "" if in none.
func HazardYears(lines []YearLine) string {
	var names []string
	machines := ""
	for _, l := range lines {
		if n := l.Summary.HazardHours; n > 0 {
			machines = runaways(l.Summary.Given)
			names = append(names, fmt.Sprintf("%s (%s)", l.Name(), measure.Plural(n, "hour", "hours")))
		}
	}
	if names == nil {
		return ""
	}
	return "Danger: " + machines + " gave more than house, bank and dump load can take in " + strings.Join(names, ", ") + "."
}
