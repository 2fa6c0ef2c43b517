package record

import (
	"io"
	"math"

	"sunrill/sim"
	"sunrill/sim/changeover"
)

// Changeover writes the files of a study of the changeover: changeover.csv,
// one row a pair of dates (the mean of the years, if there are several), and
// changeover.json.
func Changeover(f *Folder, r *changeover.Result) error {
	if err := f.Write("changeover.csv", func(w io.Writer) error { return changeoverPairs(w, r) }); err != nil {
		return err
	}
	return f.Write("changeover.json", func(w io.Writer) error { return WriteJSON(w, ChangeoverObject(r)) })
}

// changeoverPairs writes the table of all pairs.
func changeoverPairs(w io.Writer, r *changeover.Result) error {
	var all []changeover.Choice
	for c := range r.Pairs {
		all = append(all, c)
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
	return WriteTable(w, len(all), []Column{
		{"open", func(dst []byte, row int) []byte { return append(dst, all[row].Open...) }},
		{"close", func(dst []byte, row int) []byte { return append(dst, all[row].Close...) }},
		number("unmet_hours", decimals, func(o changeover.Outcome) float64 { return o.UnmetHours }),
		number("unmet_kwh", 3, func(o changeover.Outcome) float64 { return o.UnmetKWh }),
		number("low_hours", decimals, func(o changeover.Outcome) float64 { return o.LowHours }),
		number("fuel_l", 2, func(o changeover.Outcome) float64 { return o.FuelL }),
		number("dry_pipe_stops", decimals, func(o changeover.Outcome) float64 { return o.DryPipeStops }),
		number("visits", decimals, func(o changeover.Outcome) float64 { return o.Visits }),
		number("hydro_days", decimals, func(o changeover.Outcome) float64 { return o.HydroDays }),
		number("open_days", decimals, func(o changeover.Outcome) float64 { return o.OpenDays }),
	})
}

// ChangeoverObject is the object of changeover.json and of what changeover
// prints with --json: the result with its numbers rounded.
func ChangeoverObject(r *changeover.Result) ChangeoverFile {
	o := *r
	outcome := func(v *changeover.Outcome) {
		for _, n := range []*float64{&v.UnmetHours, &v.LowHours, &v.FuelL, &v.DryPipeStops, &v.Visits, &v.HydroDays, &v.OpenDays} {
			*n = Round(*n, 2)
		}
		v.UnmetKWh = Round(v.UnmetKWh, 3)
	}
	outcome(&o.Best.Outcome)
	outcome(&o.Never)
	outcome(&o.Steady.Outcome)
	o.Costs = append([]changeover.Cost{}, r.Costs...)
	for i := range o.Costs {
		c := &o.Costs[i]
		c.UnmetHours, c.UnmetKWh, c.LowHours = Round(c.UnmetHours, 2), Round(c.UnmetKWh, 3), Round(c.LowHours, 2)
		c.FuelL, c.Stops = Round(c.FuelL, 2), Round(c.Stops, 2)
	}
	o.Ways = append([]changeover.Way(nil), r.Ways...)
	for i := range o.Ways {
		outcome(&o.Ways[i].Outcome)
		o.Ways[i].Moves = Round(o.Ways[i].Moves, 2)
	}
	o.Each = append([]changeover.YearBest(nil), r.Each...)
	for i := range o.Each {
		outcome(&o.Each[i].Outcome)
		o.Each[i].RainMM = Round(o.Each[i].RainMM, 1)
	}
	if r.Rule != nil {
		rule := *r.Rule
		for _, n := range []*float64{
			&rule.OpenFlowLPS, &rule.OpenBucketS, &rule.OpenRainMM, &rule.CloseFlowLPS, &rule.CloseBucketS,
			&rule.UnmetHours, &rule.LowHours, &rule.FuelL, &rule.DryPipeStops, &rule.Visits, &rule.HydroDays, &rule.Foresight, &rule.Regret, &rule.LeftOutUnmet, &rule.LeftOutStops,
		} {
			*n = Round(*n, 3)
		}
		o.Rule = &rule
	}
	file := ChangeoverFile{Result: &o}
	if u := r.Sure; u != nil {
		date := func(days float64) string { return r.Start().AddDate(0, 0, int(math.Round(days))).Format("01-02") }
		file.Sure = &ChangeoverSure{Draws: u.Draws, Dated: u.Dated, Never: u.Never, Helps: u.Helps,
			AtBest: DoubtObject(u.AtBest, 2), Closed: DoubtObject(u.Closed, 2), Regret: DoubtObject(u.Regret, 2)}
		if u.Dated > 0 {
			file.Sure.OpenFrom, file.Sure.OpenTo = dates(u.Open, date)
			file.Sure.CloseFrom, file.Sure.CloseTo = dates(u.Close, date)
		}
	}
	return file
}

func dates(d sim.Doubt, date func(float64) string) (from, to string) {
	low, high := d.Range()
	return date(low), date(high)
}

// ChangeoverFile is the object of changeover.json.
type ChangeoverFile struct {
	*changeover.Result
	Sure *ChangeoverSure `json:"over_draws,omitempty"`
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
