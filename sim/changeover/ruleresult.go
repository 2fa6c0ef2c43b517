package changeover

import (
	"context"
	"fmt"
	"math"

	"sunrill/sim"
	"sunrill/sim/measure"
)

// Rule is a rule to live by: dates that follow from what a person has: the
// bucket's seconds, the rain gauge, the bank's meter and the calendar. It opens
// and closes the valve at 00:00, on what was seen up to the day before. What is
// not part of the rule is empty and left out of the JSON.
type Rule struct {
	Text    string `json:"text"`     // in the household's units, all conditions in it
	AllYear bool   `json:"all_year"` // leave the valve open all year

	OpenFlowLPS   float64 `json:"open_flow_lps,omitempty"` // open when the stream has run at this or more
	OpenBucketS   float64 `json:"open_bucket_s,omitempty"` // in which it then fills the bucket
	OpenDays      int     `json:"open_days,omitempty"`     // for so many days running
	OpenRainMM    float64 `json:"open_rain_mm,omitempty"`  // or: after so much rain since the water year's start
	OpenDate      string  `json:"open_date,omitempty"`     // or: on this date
	CloseFlowLPS  float64 `json:"close_flow_lps,omitempty"`
	CloseBucketS  float64 `json:"close_bucket_s,omitempty"`
	CloseDays     int     `json:"close_days,omitempty"`
	CloseDate     string  `json:"close_date,omitempty"`
	CloseFullDays int     `json:"close_full_days,omitempty"` // days running on which the bank's meter shows full at noon
	CloseFullFrom string  `json:"close_full_from,omitempty"` // the date from which these are counted

	UnmetHours    float64 `json:"unmet_hours"` // means over the years
	LowHours      float64 `json:"low_hours"`
	FuelL         float64 `json:"fuel_l"`
	DryPipeStops  float64 `json:"dry_pipe_stops"`
	Visits        float64 `json:"visits"`
	HydroDays     float64 `json:"hydro_days"`
	Foresight     float64 `json:"foresight_unmet_hours"` // with the best dates of each year
	Regret        float64 `json:"regret_hours"`          // the rule's unmet hours less those
	LeftOutUnmet  float64 `json:"left_out_unmet_hours"`  // on years that the rule was not chosen by
	LeftOutStops  float64 `json:"left_out_dry_pipe_stops"`
	LeftOutGroups int     `json:"left_out_groups"` // into how many groups the years were split for that; 0: too few years

	Played []Played `json:"each_year"`

	pairs []Pair
}

// Played is what the rule does in one water year.
type Played struct {
	Year           int     `json:"year"`
	Open           string  `json:"open"`
	Close          string  `json:"close"`
	UnmetHours     float64 `json:"unmet_hours"`
	DryPipeStops   float64 `json:"dry_pipe_stops"`
	Visits         float64 `json:"visits"`
	ForesightHours float64 `json:"foresight_unmet_hours"`
	Pair           Pair    `json:"-"`
}

// mostGroups is the greatest number of groups that years are left out in.
const mostGroups = 12

// A rule that spares no more than this against a valve that is open all year,
// beside what makes no difference in hours and fuel, is not worth following.
const (
	spareStops  = 0.5 // a year
	spareVisits = 4
)

// rule finds the rule that does best over the whole record, and how rules
// found in the same way do on years that they were not found on.
func (b *rulebook) rule(ctx context.Context, u measure.System, each []YearBest, workers int) (*Rule, error) {
	years := len(b.tables)
	groups := min(years, mostGroups)
	best, without, err := b.search(ctx, u, groups, workers)
	if err != nil {
		return nil, err
	}
	if b.hardlyDiffers(best) {
		best = rule{}
	}
	n := float64(years)
	r := &Rule{
		AllYear: best == rule{}, OpenFlowLPS: 1000 * best.flowM3S, OpenDays: best.opening.days, OpenRainMM: best.rainMM,
		CloseFlowLPS: 1000 * best.ebb.flowM3S, CloseDays: best.ebb.days, CloseFullDays: best.spring.full,
	}
	if best.flowM3S > 0 {
		r.OpenBucketS = u.BucketSeconds(best.flowM3S)
	}
	if best.ebb.flowM3S > 0 {
		r.CloseBucketS = u.BucketSeconds(best.ebb.flowM3S)
	}
	if best.date > 0 {
		r.OpenDate = b.calendar.date(best.date)
	}
	if best.spring.date > 0 {
		r.CloseDate = b.calendar.date(best.spring.date)
	}
	if best.spring.full > 0 {
		r.CloseFullFrom = b.calendar.date(best.spring.since)
	}
	for y, p := range b.play(best) {
		t := b.tables[y]
		o := t.Of(p)
		r.UnmetHours += o.UnmetHours / n
		r.LowHours += o.LowHours / n
		r.FuelL += o.FuelL / n
		r.DryPipeStops += o.DryPipeStops / n
		r.Visits += o.Visits / n
		r.HydroDays += o.HydroDays / n
		r.Foresight += each[y].UnmetHours / n
		c := t.outcomes().choice(p)
		r.Played = append(r.Played, Played{t.Start.Year(), c.Open, c.Close, o.UnmetHours, o.DryPipeStops, o.Visits, each[y].UnmetHours, p})
		r.pairs = append(r.pairs, p)
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
	r.Text = b.text(best, u)
	return r, nil
}

// hardlyDiffers reports whether a rule is as good as a valve that is open all
// year, and hardly easier.
func (b *rulebook) hardlyDiffers(r rule) bool {
	var is, open Outcome
	n := float64(len(b.tables))
	add := func(sum *Outcome, o Outcome) {
		sum.UnmetHours += o.UnmetHours / n
		sum.FuelL += o.FuelL / n
		sum.DryPipeStops += o.DryPipeStops / n
		sum.Visits += o.Visits / n
	}
	for y, p := range b.play(r) {
		t := b.tables[y]
		add(&is, t.Of(p))
		add(&open, t.Of(Pair{0, t.Days}))
	}
	return open.UnmetHours < is.UnmetHours+sameHours && open.FuelL < noMoreFuel(is.FuelL) &&
		open.DryPipeStops < is.DryPipeStops+spareStops && open.Visits < is.Visits+spareVisits
}

// text says a rule in full: whoever plays it, knowing no more than it says, turns
// the valve on the same days.
func (b *rulebook) text(r rule, u measure.System) string {
	if r == (rule{}) {
		return "Leave the valve open all year: no rule spares an hour, some litres of fuel, or walks and stops worth the trouble."
	}
	start := b.calendar.spoken(0)
	open := "Open the valve on " + start
	daysRun := r.opening.days > 0 || r.ebb.days > 0 || r.spring.full > 0
	switch {
	case r.opening.days > 0:
		open = fmt.Sprintf("From %s on, open the valve when %s %s", start, bucketText(u, r.flowM3S, "less", "more"), running(r.opening.days))
	case r.rainMM > 0:
		open = fmt.Sprintf("Open the valve on the day after the rain since %s has come to %s", start, u.Rain(r.rainMM))
	case r.date > 0:
		open = "Open the valve on " + b.calendar.spoken(r.date)
	}
	var whys []string
	if r.ebb.days > 0 {
		whys = append(whys, fmt.Sprintf("when %s %s", bucketText(u, r.ebb.flowM3S, "more", "less"), running(r.ebb.days)))
	}
	if r.spring.full > 0 {
		whys = append(whys, fmt.Sprintf("when the bank's meter has shown %.0f %% or more at noon %s, from %s on", 100*sim.FullSoC, running(r.spring.full), b.calendar.spoken(r.spring.since)))
	}
	if r.spring.date > 0 {
		whys = append(whys, "on "+b.calendar.spoken(r.spring.date))
	}
	text := open
	switch len(whys) {
	case 0:
		text += ", and leave it open until " + b.calendar.spoken(b.calendar.days) + "."
	case 1:
		text += ". Close it " + whys[0] + "."
	default:
		text += ". Close it " + whys[0] + ", or " + whys[1] + ", whichever comes first."
	}
	if daysRun {
		text += " Turn the valve on the day after the last of these days; for closing, only days since the opening count."
	}
	if len(whys) > 0 {
		if b.around {
			again := map[bool]string{false: "21 June", true: "21 December"}[b.south]
			text += fmt.Sprintf(" Once closed, it is not opened again before %s.", again)
		} else {
			text += fmt.Sprintf(" Once closed, it stays closed until %s.", start)
		}
	}
	return text
}

// bucketText writes what a bucket, or a weir where the bucket fills too fast to
// be timed, says of a flow.
func bucketText(u measure.System, m3s float64, seconds, flows string) string {
	a := u.FlowAxis()
	flow := measure.Digits(a.Of(m3s), 2) + " " + a.Unit
	if s := u.BucketSeconds(m3s); s > 1.99 {
		return fmt.Sprintf("the %s has filled in %s or %s (about %s or %s)", u.Bucket(), measure.Seconds(s), seconds, flow, flows)
	}
	return fmt.Sprintf("the creek has run at %s or %s", flow, flows)
}

func running(days int) string {
	if days == 1 {
		return "on a day"
	}
	return fmt.Sprintf("on %d days running", days)
}
