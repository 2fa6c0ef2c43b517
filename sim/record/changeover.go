package record

import (
	"io"
	"math"
	"time"

	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/measure"
)

// ChangeoverSaid is what the files say in words, and whose units they are for.
type ChangeoverSaid struct {
	Verdict, Rule string
	System        measure.System // of the bucket
}

// Changeover writes the files of a study of the changeover: changeover.csv,
// one row a pair of dates (the mean of the years, if there are several), and
// changeover.json.
func Changeover(f *Folder, r *changeover.Result, said ChangeoverSaid) error {
	if err := f.Write("changeover.csv", func(w io.Writer) error { return changeoverPairs(w, r) }); err != nil {
		return err
	}
	return f.Write("changeover.json", func(w io.Writer) error { return WriteJSON(w, ChangeoverObject(r, said)) })
}

// changeoverPairs writes the table of all pairs.
func changeoverPairs(w io.Writer, r *changeover.Result) error {
	type row struct {
		changeover.Pair
		changeover.Outcome
	}
	var all []row
	for p, o := range r.Pairs {
		all = append(all, row{p, o})
	}
	decimals := 0 // of a single year, hours and days are whole
	if len(r.Years) > 1 {
		decimals = 2
	}
	number := func(name string, decimals int, of func(changeover.Outcome) float64) Column {
		return Column{name, func(dst []byte, row int) []byte {
			return appendNumber(dst, of(all[row].Outcome), decimals)
		}}
	}
	dates := make([]string, r.Days()+1)
	for day := range dates {
		dates[day] = r.Date(day).Format(dateLayout)
	}
	date := func(p changeover.Pair, day int) string {
		if p == changeover.Never {
			return neverOpen
		}
		return dates[day]
	}
	return WriteTable(w, len(all), []Column{
		{"open", func(dst []byte, row int) []byte { return append(dst, date(all[row].Pair, all[row].Open)...) }},
		{"close", func(dst []byte, row int) []byte { return append(dst, date(all[row].Pair, all[row].Close)...) }},
		number("unmet_hours", decimals, func(o changeover.Outcome) float64 { return o.UnmetHours }),
		number("unmet_kwh", 3, func(o changeover.Outcome) float64 { return o.UnmetWh / 1000 }),
		number("low_hours", decimals, func(o changeover.Outcome) float64 { return o.LowHours }),
		number("fuel_l", 2, func(o changeover.Outcome) float64 { return o.FuelL }),
		number("dry_pipe_stops", decimals, func(o changeover.Outcome) float64 { return o.DryPipeStops }),
		number("visits", decimals, func(o changeover.Outcome) float64 { return o.Visits }),
		number("hydro_days", decimals, func(o changeover.Outcome) float64 { return o.HydroDays }),
		number("open_days", decimals, func(o changeover.Outcome) float64 { return o.OpenDays }),
	})
}

// How dates without a year are written, and what stands in their place.
const (
	dateLayout = "01-02"
	neverOpen  = "never"
	alwaysOpen = "always"
	variedOpen = "varies"
)

// ChangeoverFile is the object of changeover.json and of what changeover prints
// with --json.
type ChangeoverFile struct {
	Years        []int                   `json:"years"`   // by the calendar year in which they start
	Verdict      string                  `json:"verdict"` // in a sentence or two
	Best         changeoverChoice        `json:"best"`    // on average
	Never        changeoverOutcome       `json:"never"`   // if the valve stays closed
	Window       *changeoverWindow       `json:"window"`  // null where no dates matter
	Costs        []changeoverCost        `json:"costs"`   // of changing over on other days
	Steady       changeoverSteady        `json:"steady"`
	Rule         *changeoverRule         `json:"rule"` // null where hydro never helps or the stream is not known
	Alternatives []changeoverAlternative `json:"ways"` // to work the valve, side by side
	Each         []changeoverYear        `json:"each_year"`
	Sure         *ChangeoverSure         `json:"over_draws,omitempty"`
}

type changeoverOutcome struct {
	UnmetHours   float64 `json:"unmet_hours"`
	UnmetKWh     float64 `json:"unmet_kwh"`
	LowHours     float64 `json:"low_hours"` // in which the bank is below its comfort charge
	FuelL        float64 `json:"fuel_l"`
	DryPipeStops float64 `json:"dry_pipe_stops"`
	Visits       float64 `json:"visits"`
	HydroDays    float64 `json:"hydro_days"`
	OpenDays     float64 `json:"open_days"`
}

type changeoverDates struct {
	Open  string `json:"open"`  // month-day, "never", "always" or, where it differs from year to year, "varies"
	Close string `json:"close"` // likewise
}

type changeoverChoice struct {
	changeoverDates
	changeoverOutcome
}

type changeoverWindow struct {
	OpenFrom  string `json:"open_from"`
	OpenTo    string `json:"open_to"`
	CloseFrom string `json:"close_from"`
	CloseTo   string `json:"close_to"`
}

type changeoverCost struct {
	Date       string  `json:"date"`  // "open" or "close"
	Weeks      int     `json:"weeks"` // late; early if negative
	UnmetHours float64 `json:"unmet_hours"`
	UnmetKWh   float64 `json:"unmet_kwh"`
	LowHours   float64 `json:"low_hours"`
	FuelL      float64 `json:"fuel_l"`
	Stops      float64 `json:"dry_pipe_stops"`
}

type changeoverSteady struct {
	changeoverChoice
	HoldsHours float64 `json:"holds_unmet_hours"` // not exceeded in four years of five
	HoldsYears int     `json:"holds_years"`       // in how many years

	HoldsRange rangeFile `json:"holds_unmet_hours_range"` // in 8 of 10 sets of as many years, drawn again from these
}

type changeoverAlternative struct {
	Name string `json:"name"`
	changeoverDates
	OneInFive float64 `json:"one_in_five_unmet_hours"`

	OneInFiveRange rangeFile `json:"one_in_five_unmet_hours_range"` // in 8 of 10 sets of as many years, drawn again from these

	Moves float64 `json:"valve_moves"` // openings and closings
	changeoverOutcome
}

type changeoverYear struct {
	Year int `json:"year"`
	changeoverChoice
	Never  float64           `json:"never_unmet_hours"`
	Window *changeoverWindow `json:"window"`
	RainMM float64           `json:"rain_mm"`
}

// changeoverRule leaves out what is not part of the rule.
type changeoverRule struct {
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

	Played []changeoverPlayed `json:"each_year"`
}

type changeoverPlayed struct {
	Year int `json:"year"`
	changeoverDates
	UnmetHours   float64 `json:"unmet_hours"`
	DryPipeStops float64 `json:"dry_pipe_stops"`
	Visits       float64 `json:"visits"`
	Foresight    float64 `json:"foresight_unmet_hours"`
}

// practices name the ways to work the valve.
var practices = map[changeover.Practice]string{
	changeover.Today: "what you do today", changeover.OpenAll: "open all year", changeover.ClosedAll: "closed all year",
	changeover.BestFixed: "best fixed dates", changeover.ByRule: "the rule",
}

// ChangeoverObject returns the object with its numbers rounded.
func ChangeoverObject(r *changeover.Result, said ChangeoverSaid) ChangeoverFile {
	o := ChangeoverFile{
		Years: r.Years, Verdict: said.Verdict, Best: choiceObject(r.Best, r.Start()), Never: outcomeObject(r.Never), Window: windowObject(r.Window, r.Start()),
		Costs:  []changeoverCost{},
		Steady: changeoverSteady{choiceObject(r.Steady.Choice, r.Start()), r.Steady.HoldsHours, r.Steady.HoldsYears, rangeFile(r.Steady.HoldsRange)},
		Rule:   ruleObject(r, said),
	}
	for _, c := range r.Costs {
		date := "open"
		if c.Closing {
			date = "close"
		}
		o.Costs = append(o.Costs, changeoverCost{date, c.Weeks, Round(c.UnmetHours, 2), kWh(c.UnmetWh), Round(c.LowHours, 2), Round(c.FuelL, 2), Round(c.Stops, 2)})
	}
	for _, w := range r.Alternatives {
		o.Alternatives = append(o.Alternatives, changeoverAlternative{practices[w.Practice], datesOf(w.Choice, r.Start()), w.OneInFive, rangeFile(w.FiveRange), Round(w.Moves, 2), outcomeObject(w.Outcome)})
	}
	for _, y := range r.Each {
		o.Each = append(o.Each, changeoverYear{y.Start.Year(), choiceObject(y.Choice, y.Start), y.Never, windowObject(y.Window, y.Start), Round(y.RainMM, 1)})
	}
	if u := r.Sure; u != nil {
		date := func(day float64) string { return r.Date(int(math.Round(day))).Format(dateLayout) }
		o.Sure = &ChangeoverSure{Draws: u.Draws, Dated: u.Dated, Never: u.Never, Helps: u.Helps,
			AtBest: DoubtObject(u.AtBest, 2), Closed: DoubtObject(u.Closed, 2), Regret: DoubtObject(u.Regret, 2)}
		if u.Dated > 0 {
			o.Sure.OpenFrom, o.Sure.OpenTo = dates(u.Open, date)
			o.Sure.CloseFrom, o.Sure.CloseTo = dates(u.Close, date)
		}
	}
	return o
}

func ruleObject(r *changeover.Result, said ChangeoverSaid) *changeoverRule {
	f := r.Rule
	if f == nil {
		return nil
	}
	bucket := func(m3s float64) float64 {
		if m3s == 0 {
			return 0
		}
		return Round(said.System.BucketSeconds(m3s), 3)
	}
	date := func(day int) string {
		if day == 0 {
			return ""
		}
		return r.Date(day).Format(dateLayout)
	}
	o := &changeoverRule{
		Text: said.Rule, AllYear: f.AllYear,
		OpenFlowLPS: Round(1000*f.OpenFlowM3S, 3), OpenBucketS: bucket(f.OpenFlowM3S), OpenDays: f.OpenRun, OpenRainMM: Round(f.OpenRainMM, 3), OpenDate: date(f.OpenDay),
		CloseFlowLPS: Round(1000*f.CloseFlowM3S, 3), CloseBucketS: bucket(f.CloseFlowM3S), CloseDays: f.CloseRun, CloseDate: date(f.CloseDay),
		CloseFullDays: f.CloseFull, CloseFullFrom: date(f.CloseFullFrom),
		UnmetHours: Round(f.UnmetHours, 3), LowHours: Round(f.LowHours, 3), FuelL: Round(f.FuelL, 3), DryPipeStops: Round(f.DryPipeStops, 3),
		Visits: Round(f.Visits, 3), HydroDays: Round(f.HydroDays, 3), Foresight: Round(f.Foresight, 3), Regret: Round(f.Regret, 3),
		LeftOutUnmet: Round(f.LeftOutUnmet, 3), LeftOutStops: Round(f.LeftOutStops, 3), LeftOutGroups: f.LeftOutGroups,
	}
	for i, p := range f.Played {
		start := r.Each[i].Start
		o.Played = append(o.Played, changeoverPlayed{start.Year(), datesOf(p.Choice, start), p.UnmetHours, p.DryPipeStops, p.Visits, p.Foresight})
	}
	return o
}

func outcomeObject(o changeover.Outcome) changeoverOutcome {
	return changeoverOutcome{Round(o.UnmetHours, 2), kWh(o.UnmetWh), Round(o.LowHours, 2), Round(o.FuelL, 2),
		Round(o.DryPipeStops, 2), Round(o.Visits, 2), Round(o.HydroDays, 2), Round(o.OpenDays, 2)}
}

// datesOf writes the dates of a choice on the calendar of a year.
func datesOf(c changeover.Choice, start time.Time) changeoverDates {
	switch c.Valve {
	case changeover.Shut:
		return changeoverDates{neverOpen, neverOpen}
	case changeover.Running:
		return changeoverDates{alwaysOpen, alwaysOpen}
	case changeover.Varying:
		return changeoverDates{variedOpen, variedOpen}
	}
	return changeoverDates{dateOn(start, c.Pair.Open), dateOn(start, c.Pair.Close)}
}

func dateOn(start time.Time, day int) string { return start.AddDate(0, 0, day).Format(dateLayout) }

func choiceObject(c changeover.Choice, start time.Time) changeoverChoice {
	return changeoverChoice{datesOf(c, start), outcomeObject(c.Outcome)}
}

func windowObject(w *changeover.Window, start time.Time) *changeoverWindow {
	if w == nil {
		return nil
	}
	return &changeoverWindow{dateOn(start, w.Open.From), dateOn(start, w.Open.To), dateOn(start, w.Close.From), dateOn(start, w.Close.To)}
}

func dates(d sim.Doubt, date func(float64) string) (from, to string) {
	low, high := d.Range()
	return date(low), date(high)
}

// ChangeoverSure is how sure the dates are: the 8-in-10 range of each draw's
// best, and what the best dates of the middle values leave.
type ChangeoverSure struct {
	Draws     int       `json:"draws"`
	Dated     int       `json:"draws_with_dates"`
	Never     int       `json:"draws_closed_all_year"`
	OpenFrom  string    `json:"open_from,omitempty"`
	OpenTo    string    `json:"open_to,omitempty"`
	CloseFrom string    `json:"close_from,omitempty"`
	CloseTo   string    `json:"close_to,omitempty"`
	AtBest    DoubtFile `json:"best_unmet_hours"`
	Closed    DoubtFile `json:"never_unmet_hours"`
	Regret    DoubtFile `json:"unmet_hours_beyond_own_best"`
	Helps     int       `json:"halves_in_draws"`
}
