package plots

import (
	"slices"
	"time"
)

// Column is one column of the numbers that a chart draws, for a file beside
// it. Its name ends in the unit. All columns of a chart are equally long.
type Column struct {
	Name   string
	Values []float64 // NaN: nothing there
	Texts  []string  // in place of Values
}

// days returns the dates of n days from start.
func days(name string, start time.Time, n int) Column {
	c := Column{Name: name}
	for d := range n {
		c.Texts = append(c.Texts, start.AddDate(0, 0, d).Format(time.DateOnly))
	}
	return c
}

// times returns values times by.
func times(name string, values []float64, by float64) Column {
	c := Column{Name: name, Values: make([]float64, len(values))}
	for i, v := range values {
		c.Values[i] = v * by
	}
	return c
}

func (v Years) numbers() []Column {
	c := []Column{{Name: "year", Texts: v.Names}, {Name: "unmet_hours"}}
	for _, h := range v.UnmetHours {
		c[1].Values = append(c[1].Values, float64(h))
	}
	if v.RainMM != nil {
		c = append(c, Column{Name: "rain_mm", Values: v.RainMM})
	}
	return c
}

// numbers are flows by the share of days that have more, rows of them at most.
func (v Duration) numbers(rows int) []Column {
	flow := slices.Clone(v.FlowM3S)
	slices.Sort(flow)
	slices.Reverse(flow)
	fraction, lps := Column{Name: "days_with_more_pct"}, Column{Name: "flow_lps"}
	n := len(flow)
	for i := range min(n, rows) {
		day := i * max(n-1, 0) / max(min(n, rows)-1, 1)
		fraction.Values = append(fraction.Values, 100*(float64(day)+0.5)/float64(n))
		lps.Values = append(lps.Values, 1000*flow[day])
	}
	return []Column{fraction, lps}
}

func (v Power) numbers() []Column {
	name, flow, watts := Column{Name: "nozzles"}, times("flow_lps", v.FlowM3S, 1000), times("power_w", v.PowerW, 1)
	for range v.FlowM3S {
		name.Texts = append(name.Texts, "any")
	}
	for _, s := range v.Sets {
		name.Texts = append(name.Texts, s.Name)
		flow.Values, watts.Values = append(flow.Values, 1000*s.FlowM3S), append(watts.Values, s.PowerW)
	}
	return []Column{name, flow, watts}
}

func (v Household) numbers() []Column {
	season, use, hour, watts := Column{Name: "season"}, Column{Name: "use"}, Column{Name: "hour"}, Column{Name: "mean_w"}
	for s := range v.Seasons {
		for u := range v.Uses {
			for h := range 24 {
				season.Texts, use.Texts = append(season.Texts, v.Seasons[s]), append(use.Texts, v.Uses[u])
				hour.Values, watts.Values = append(hour.Values, float64(h)), append(watts.Values, v.MeanW[s][u][h])
			}
		}
	}
	return []Column{season, use, hour, watts}
}

func usesNumbers(uses []Use) []Column {
	c := []Column{{Name: "use"}, {Name: "kwh_a_year"}, {Name: "flexible"}}
	for _, u := range uses {
		flexible := "no"
		if u.Flexible {
			flexible = "yes"
		}
		c[0].Texts, c[2].Texts = append(c[0].Texts, u.Name), append(c[2].Texts, flexible)
		c[1].Values = append(c[1].Values, u.Wh/1000)
	}
	return c
}

func (v HorizonLine) numbers() []Column {
	c := []Column{{Name: "of"}, {Name: "bearing_deg"}, {Name: "height_deg"}}
	add := func(of string, bearing, height []float64) {
		for range bearing {
			c[0].Texts = append(c[0].Texts, of)
		}
		c[1].Values, c[2].Values = append(c[1].Values, bearing...), append(c[2].Values, height...)
	}
	add("hills", v.BearingDeg, v.HeightDeg)
	for _, p := range v.Paths {
		add("sun, 21 "+p.Name, p.BearingDeg, p.HeightDeg)
	}
	return c
}

func fanNumbers(fans []ChargeFan) []Column {
	c := []Column{{Name: "of"}, {Name: "week"}, {Name: "median_soc_pct"}, {Name: "one_in_5_soc_pct"}, {Name: "one_in_20_soc_pct"}}
	for _, f := range fans {
		for w := range f.Median {
			c[0].Texts = append(c[0].Texts, f.Of)
			for i, v := range []float64{float64(w + 1), 100 * f.Median[w], 100 * f.OneIn5[w], 100 * f.OneIn20[w]} {
				c[i+1].Values = append(c[i+1].Values, v)
			}
		}
	}
	return c
}

func (v ChangeoverYear) numbers() []Column {
	n := len(v.FlowM3S)
	c := []Column{days("date", v.Start, n), times("flow_lps", v.FlowM3S, 1000)}
	add := func(name string, values []float64, by float64) {
		if len(values) == n {
			c = append(c, times(name, values, by))
		}
	}
	_, taken, _ := DailyBand(v.TurbineM3S)
	low, _, high := DailyBand(v.SoC)
	_, closed, _ := DailyBand(v.ClosedSoC)
	add("turbine_lps", taken, 1000)
	add("min_soc_pct", low, 100)
	add("max_soc_pct", high, 100)
	add("closed_mean_soc_pct", closed, 100)
	return c
}

func (v Metered) numbers(simulated, measured []float64) []Column {
	unit := "_w"
	if v.What == Bank {
		unit = "_soc_pct"
	}
	return []Column{days("date", v.Start, len(simulated)), {Name: "simulated" + unit, Values: simulated}, {Name: "measured" + unit, Values: measured}}
}
