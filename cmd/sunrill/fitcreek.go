package main

import (
	"fmt"
	"strings"
	"time"

	"sunrill/plots/report"
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

// seasons returns when the creek can run the turbine, year by year.
func (f fitting) seasons(fit *stream.Fitted) (all []stream.UsableSeason, needM3S float64) {
	least, _, ok := f.h.NeededFlow()
	if !ok {
		return nil, 0
	}
	r := f.h.Record()
	var years [][2]int
	for _, y := range f.h.Years() {
		from := r.Index(y.Start)
		years = append(years, [2]int{from, min(from+y.Days, r.Days())})
	}
	return fit.UsableSeasons(r.RainMM, f.h.PotentialEvaporation(), years, least), least
}

// seasonTable says when the water comes and goes.
func (f fitting) seasonTable(all []stream.UsableSeason, needM3S float64, u measure.System) report.Table {
	const mostYears = 15
	t := report.Table{
		Caption: fmt.Sprintf("When the creek can run the turbine (the mean of a week is at least %s):", u.Flow(needM3S)),
		Head:    []string{"year from", "first day", "8 in 10", "your readings", "last day", "8 in 10", "your readings"},
		Note:    "The first and the last such week of each year; in between the creek may fall short. your readings: it became enough, or ceased to be, between these days.",
	}
	start := f.h.Record().Start
	day := func(d int) string {
		if d < 0 {
			return ""
		}
		return start.AddDate(0, 0, d).Format("2 Jan")
	}
	span := func(low, high int) string {
		if low < 0 || high < 0 {
			return ""
		}
		return day(low) + " to " + day(high)
	}
	for _, s := range all[max(0, len(all)-mostYears):] {
		row := []string{start.AddDate(0, 0, s.From).Format("Jan 2006")}
		if s.First.Day < 0 {
			t.Rows = append(t.Rows, append(row, "never", "", "", "never", "", ""))
			continue
		}
		first, last := day(s.First.Day), day(s.Last.Day-1)
		if s.First.Day == s.From {
			first = "from the start"
		}
		if s.Last.Day == s.To {
			last = "to the end"
		}
		ends := s.Last
		if ends.Low >= 0 {
			ends.Low, ends.High = ends.Low-1, ends.High-1
		}
		m := s.Measured
		row = append(row, first, span(s.First.Low, s.First.High), span(m.FirstAfter, m.FirstBy), last, span(ends.Low, ends.High), span(m.LastSeen, m.LastBefore))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// next says which reading would narrow the answer most.
func (f fitting) next(fit *stream.Fitted, u measure.System) string {
	least, most, ok := f.h.NeededFlow()
	if !ok {
		return ""
	}
	r := f.h.Record()
	n, ok := fit.Next(r.Start, r.RainMM, f.h.PotentialEvaporation(), least, most)
	if !ok {
		return ""
	}
	half := "the first half of "
	if n.SecondHalf {
		half = "the second half of "
	}
	state := "when it has not rained for some days"
	switch {
	case n.Rising && n.FirstRain:
		state = "on the first days after the season's rain has come"
	case n.Rising:
		state = "on the days after rain"
	}
	between := fmt.Sprintf("%s takes %s to %s", u.Bucket(), strings.TrimSuffix(measure.Seconds(u.BucketSeconds(n.HighM3S)), " s"), measure.Seconds(u.BucketSeconds(n.LowM3S)))
	return fmt.Sprintf("Measure next in %s%s, %s, while the %s (%s to %s). In %d of the last %d years it was so, and one such reading makes what is known of the turbine's water narrower by about %s.",
		half, time.Month(n.Month), state, between, u.Flow(n.LowM3S), u.Flow(n.HighM3S), n.Years, n.Of, measure.Percent(n.Narrows))
}
