package changeover

import (
	"context"
	"fmt"
	"math"

	"sunrill/sim/measure"
)

// Rule is a rule to live by: dates that follow from what a person can see at
// the creek, in the rain gauge and in the sky. It opens and closes the valve
// at 00:00, on what was seen up to the day before. What is not part of the
// rule is 0 and left out of the JSON.
type Rule struct {
	Text string `json:"text"` // in the household's units

	OpenFlowLPS  float64 `json:"open_flow_lps,omitempty"` // open when the stream has run at this or more
	OpenBucketS  float64 `json:"open_bucket_s,omitempty"` // in which it then fills the bucket
	OpenDays     int     `json:"open_days,omitempty"`     // for so many days running
	OpenRainMM   float64 `json:"open_rain_mm,omitempty"`  // or: after so much rain since the water year's start
	CloseFlowLPS float64 `json:"close_flow_lps,omitempty"`
	CloseBucketS float64 `json:"close_bucket_s,omitempty"`
	CloseDays    int     `json:"close_days,omitempty"`
	CloseSun     float64 `json:"close_sun_hours,omitempty"` // mean of two weeks, while the days lengthen

	UnmetHours    float64 `json:"unmet_hours"` // means over the years
	LowHours      float64 `json:"low_hours"`
	DryPipeStops  float64 `json:"dry_pipe_stops"`
	HydroDays     float64 `json:"hydro_days"`
	Foresight     float64 `json:"foresight_unmet_hours"` // with the best dates of each year
	Regret        float64 `json:"regret_hours"`          // the rule's unmet hours less those
	LeftOutUnmet  float64 `json:"left_out_unmet_hours"`  // on years that the rule was not chosen by
	LeftOutStops  float64 `json:"left_out_dry_pipe_stops"`
	LeftOutGroups int     `json:"left_out_groups"` // into how many groups the years were split for that; 0: too few years

	Played []Played `json:"each_year"`
}

// Played is what the rule does in one water year.
type Played struct {
	Year           int     `json:"year"`
	Open           string  `json:"open"`
	Close          string  `json:"close"`
	UnmetHours     float64 `json:"unmet_hours"`
	ForesightHours float64 `json:"foresight_unmet_hours"`
	Pair           Pair    `json:"-"`
}

// mostGroups is the greatest number of groups that years are left out in.
const mostGroups = 12

// rule finds the rule that does best over the whole record, and how rules
// found in the same way do on years that they were not found on.
func (b *rulebook) rule(ctx context.Context, u measure.System, each []YearBest, workers int) (*Rule, error) {
	years := len(b.tables)
	groups := min(years, mostGroups)
	best, without, err := b.search(ctx, u, groups, workers)
	if err != nil {
		return nil, err
	}
	n := float64(years)
	r := &Rule{
		OpenFlowLPS: 1000 * best.opening.flowM3S, OpenDays: best.opening.days, OpenRainMM: best.rainMM,
		CloseFlowLPS: 1000 * best.flow.flowM3S, CloseDays: best.flow.days, CloseSun: best.sun.sunHours,
	}
	if best.opening.flowM3S > 0 {
		r.OpenBucketS = u.BucketSeconds(best.opening.flowM3S)
	}
	if best.flow.flowM3S > 0 {
		r.CloseBucketS = u.BucketSeconds(best.flow.flowM3S)
	}
	for y, p := range b.play(best) {
		t := b.tables[y]
		o := t.Of(p)
		r.UnmetHours += o.UnmetHours / n
		r.LowHours += o.LowHours / n
		r.DryPipeStops += o.DryPipeStops / n
		r.HydroDays += o.HydroDays / n
		r.Foresight += each[y].UnmetHours / n
		c := t.outcomes().choice(p)
		r.Played = append(r.Played, Played{t.Start.Year(), c.Open, c.Close, o.UnmetHours, each[y].UnmetHours, p})
	}
	r.Regret = math.Max(0, r.UnmetHours-r.Foresight)
	if groups > 1 {
		r.LeftOutGroups = groups
		for g, other := range without {
			for y, p := range b.play(other) {
				if y%groups == g {
					o := b.tables[y].Of(p)
					r.LeftOutUnmet += o.UnmetHours / n
					r.LeftOutStops += o.DryPipeStops / n
				}
			}
		}
	}
	r.Text = best.text(u)
	return r, nil
}

// text says the rule in one sentence.
func (r rule) text(u measure.System) string {
	var open, close string
	switch {
	case r.opening.days > 0:
		open = fmt.Sprintf("Open the valve when the creek has run at %s or more%s %s", flow(u, r.opening.flowM3S), bucket(u, r.opening.flowM3S, "less"), running(r.opening.days))
	case r.rainMM > 0:
		open = fmt.Sprintf("Open the valve when %s of rain have fallen since the water year began", u.Rain(r.rainMM))
	}
	if r.flow.days > 0 {
		close = fmt.Sprintf("it has run below %s%s %s", flow(u, r.flow.flowM3S), bucket(u, r.flow.flowM3S, "more"), running(r.flow.days))
		if r.rainMM > 0 || open == "" {
			close = "the creek" + close[len("it"):]
		}
	}
	if r.sun.sunHours > 0 {
		if close != "" {
			close += ", or "
		}
		close += fmt.Sprintf("the sun hours of the last two weeks have climbed to %.1f a day after midwinter", r.sun.sunHours)
		if r.flow.days > 0 {
			close += ", whichever comes first"
		}
	}
	switch {
	case open == "" && close == "":
		return "Leave the valve open all year: the turbine stops by itself when the creek is low."
	case open == "":
		return "Open the valve when the water year begins, and close it when " + close + "."
	case close == "":
		return open + ", and leave it open until the water year ends."
	}
	return open + ", and close it when " + close + "."
}

// flow writes a flow with the two digits that the search gave it.
func flow(u measure.System, m3s float64) string {
	a := u.FlowAxis()
	return measure.Digits(a.Of(m3s), 2) + " " + a.Unit
}

// bucket adds what a bucket says of a flow, where it fills slowly enough to be
// timed.
func bucket(u measure.System, m3s float64, orWhat string) string {
	if u.BucketSeconds(m3s) < 2 {
		return ""
	}
	return fmt.Sprintf(" (%s or %s)", u.BucketFills(m3s), orWhat)
}

func running(days int) string {
	if days == 1 {
		return "for a day"
	}
	return fmt.Sprintf("for %d days running", days)
}
