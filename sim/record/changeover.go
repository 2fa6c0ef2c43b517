package record

import (
	"io"

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
func ChangeoverObject(r *changeover.Result) *changeover.Result {
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
	return &o
}
