package record

import (
	"io"
	"slices"
	"time"

	"sunrill/sim"
)

// How times and dates are written: the beginning of the hour or the day in
// the site's standard time.
const (
	hourLayout  = "2006-01-02 15:04"
	dayLayout   = "2006-01-02"
	monthLayout = "2006-01"
)

// Summary is the object of summary.json and of what year prints with --json.
type Summary struct {
	Name              string  `json:"name"`
	From              string  `json:"from"`                 // first day
	To                string  `json:"to"`                   // last day
	Unfinished        bool    `json:"unfinished,omitempty"` // the records end before the year does
	Hours             int     `json:"hours"`
	EnergyKWh         Energy  `json:"energy_kwh"`
	UnmetHours        int     `json:"unmet_hours"`
	UnmetDays         int     `json:"unmet_days"`
	LongestUnmetH     int     `json:"longest_unmet_spell_h"`
	DeepestDeficitKWh float64 `json:"deepest_deficit_kwh"`
	MinSoCPct         float64 `json:"min_soc_pct"`
	DryPipeStops      int     `json:"dry_pipe_stops"`
	Visits            int     `json:"visits"`
	HazardHours       int     `json:"hazard_hours"`
	HydroDays         int     `json:"hydro_days"`
	BankFullCycles    float64 `json:"bank_full_cycles"`
	BankLifeUsedPct   float64 `json:"bank_life_used_pct"`
	GeneratorHours    int     `json:"generator_hours"`
	FuelL             float64 `json:"fuel_l"`
}

// Energy is where a year's energy came from and went, in kWh at the bus.
type Energy struct {
	PV    float64 `json:"pv"`
	Hydro float64 `json:"hydro"`
	// Others are further sources, by key.
	Others    map[string]float64 `json:"other_sources,omitempty"`
	Generator float64            `json:"generator"`
	Demand    float64            `json:"demand"`
	Served    float64            `json:"served"`
	Unmet     float64            `json:"unmet"`
	Flexible  float64            `json:"flexible"`
	BankIn    float64            `json:"bank_in"`
	BankOut   float64            `json:"bank_out"`
	Dump      float64            `json:"dump"`
	OverDump  float64            `json:"over_dump"`
	Curtailed float64            `json:"curtailed"`
}

// Summarize turns the headline of a year that begins at start into the object
// of summary.json.
func Summarize(name string, start time.Time, s sim.Summary) Summary {
	t := s.Tally
	return Summary{
		Name:       name,
		From:       start.Format(dayLayout),
		To:         start.AddDate(0, 0, s.Hours/24-1).Format(dayLayout),
		Unfinished: s.Hours < 24*365,
		Hours:      s.Hours,
		EnergyKWh: Energy{
			PV: kWh(s.Given.Of(sim.Panels)), Hydro: kWh(s.Given.Of(sim.Creek)), Others: otherKWh(s.Given, 3), Generator: kWh(t.GeneratorWh),
			Demand: kWh(t.DemandWh), Served: kWh(t.ServedWh), Unmet: kWh(t.UnmetWh),
			Flexible: kWh(t.FlexibleWh), BankIn: kWh(t.BankInWh), BankOut: kWh(t.BankOutWh),
			Dump: kWh(t.DumpWh), OverDump: kWh(t.OverDumpWh), Curtailed: kWh(t.CurtailedWh),
		},
		UnmetHours:        s.UnmetHours,
		UnmetDays:         s.UnmetDays,
		LongestUnmetH:     s.LongestUnmetH,
		DeepestDeficitKWh: kWh(s.DeepestDeficit.DepthWh),
		MinSoCPct:         Round(100*s.MinSoC, 2),
		DryPipeStops:      s.DryPipeStops,
		Visits:            s.Visits,
		HazardHours:       s.HazardHours,
		HydroDays:         s.HydroDays,
		BankFullCycles:    Round(s.Wear.FullCycles, 2),
		BankLifeUsedPct:   Round(100*s.Wear.LifeUsed, 2),
		GeneratorHours:    s.GeneratorHours,
		FuelL:             Round(s.FuelL, 2),
	}
}

// Year writes the files of one year into f: summary.json, hours.csv, days.csv,
// months.csv and deficits.csv.
func Year(f *Folder, name string, y *sim.Year, s sim.Summary) error {
	for _, file := range []struct {
		name string
		fill func(io.Writer) error
	}{
		{"summary.json", func(w io.Writer) error { return WriteJSON(w, Summarize(name, y.In.Start, s)) }},
		{"hours.csv", func(w io.Writer) error { return writeHours(w, y) }},
		{"days.csv", func(w io.Writer) error { return WriteDays(w, y.Days()) }},
		{"months.csv", func(w io.Writer) error { return WriteMonths(w, y.Months()) }},
		{"deficits.csv", func(w io.Writer) error { return writeDeficits(w, y) }},
	} {
		if err := f.Write(file.name, file.fill); err != nil {
			return err
		}
	}
	return nil
}

func writeHours(w io.Writer, y *sim.Year) error {
	in := y.In
	watts := func(name string, values []float64) Column { return Numbers(name, values, 1, 1) }
	flow := Column{"flow_lps", func(dst []byte, h int) []byte {
		if in.FlowM3S == nil {
			return append(dst, '0')
		}
		return appendNumber(dst, in.FlowM3S[h/24]*1000, 4)
	}}
	turbine := Column{"turbine_lps", func(dst []byte, h int) []byte {
		if in.TurbineM3S == nil {
			return append(dst, '0')
		}
		return appendNumber(dst, in.TurbineM3S[h]*1000, 4)
	}}
	columns := []Column{
		times("time", hourLayout, func(h int) time.Time { return in.Start.Add(time.Duration(h) * time.Hour) }),
		flow, turbine,
	}
	for _, s := range in.Sources {
		columns = append(columns, watts(s.Key+"_w", s.W))
	}
	return WriteTable(w, in.Hours(), append(columns,
		watts("generator_w", y.GeneratorW),
		watts("demand_w", in.DemandW), watts("served_w", y.ServedW), watts("unmet_w", y.UnmetW),
		watts("flexible_w", y.FlexibleW),
		watts("bank_in_w", y.BankInW), watts("bank_out_w", y.BankOutW),
		Numbers("soc_pct", y.SoC, 100, 2), Numbers("bank_kwh", y.StoredWh, 1e-3, 4),
		watts("dump_w", y.DumpW), watts("over_dump_w", y.OverDumpW), watts("curtailed_w", y.CurtailedW),
	))
}

// WriteDays writes days as days.csv has them.
func WriteDays(w io.Writer, ds []sim.Period) error {
	return WriteTable(w, len(ds), slices.Concat(
		[]Column{times("date", dayLayout, func(i int) time.Time { return ds[i].Start })},
		each(ds,
			field{"rain_mm", 2, func(p *sim.Period) float64 { return p.RainMM }},
			field{"sun_hours", 3, func(p *sim.Period) float64 { return p.SunHours }},
			field{"flow_lps", 4, func(p *sim.Period) float64 { return p.FlowM3S * 1000 }},
		),
		given(ds),
		each(ds,
			field{"demand_kwh", 3, func(p *sim.Period) float64 { return p.DemandWh / 1000 }},
			field{"unmet_kwh", 3, func(p *sim.Period) float64 { return p.UnmetWh / 1000 }},
			field{"unmet_hours", 0, func(p *sim.Period) float64 { return float64(p.UnmetHours) }},
			field{"dump_kwh", 3, func(p *sim.Period) float64 { return p.DumpWh / 1000 }},
			field{"curtailed_kwh", 3, func(p *sim.Period) float64 { return p.CurtailedWh / 1000 }},
			field{"min_soc_pct", 2, func(p *sim.Period) float64 { return p.MinSoC * 100 }},
			field{"max_soc_pct", 2, func(p *sim.Period) float64 { return p.MaxSoC * 100 }},
			field{"noon_soc_pct", 2, func(p *sim.Period) float64 { return p.NoonSoC * 100 }},
			field{"visits", 0, func(p *sim.Period) float64 { return float64(p.Visits) }},
		)))
}

// WriteMonths writes months as months.csv has them.
func WriteMonths(w io.Writer, ms []sim.Period) error {
	return WriteTable(w, len(ms), slices.Concat(
		[]Column{times("month", monthLayout, func(i int) time.Time { return ms[i].Start })},
		each(ms,
			field{"rain_mm", 1, func(p *sim.Period) float64 { return p.RainMM }},
			field{"sun_hours", 3, func(p *sim.Period) float64 { return p.SunHours }},
			field{"flow_lps", 4, func(p *sim.Period) float64 { return p.FlowM3S * 1000 }},
		),
		given(ms),
		each(ms,
			field{"generator_kwh", 3, func(p *sim.Period) float64 { return p.GeneratorWh / 1000 }},
			field{"demand_kwh", 3, func(p *sim.Period) float64 { return p.DemandWh / 1000 }},
			field{"served_kwh", 3, func(p *sim.Period) float64 { return p.ServedWh / 1000 }},
			field{"unmet_kwh", 3, func(p *sim.Period) float64 { return p.UnmetWh / 1000 }},
			field{"unmet_hours", 0, func(p *sim.Period) float64 { return float64(p.UnmetHours) }},
			field{"flexible_kwh", 3, func(p *sim.Period) float64 { return p.FlexibleWh / 1000 }},
			field{"dump_kwh", 3, func(p *sim.Period) float64 { return p.DumpWh / 1000 }},
			field{"curtailed_kwh", 3, func(p *sim.Period) float64 { return p.CurtailedWh / 1000 }},
			field{"min_soc_pct", 2, func(p *sim.Period) float64 { return p.MinSoC * 100 }},
		)))
}

// given are a column for each source, of what it could give.
func given(ps []sim.Period) []Column {
	var cs []Column
	if len(ps) == 0 {
		return nil
	}
	for k, y := range ps[0].Given {
		cs = append(cs, Column{y.Key + "_kwh", func(dst []byte, i int) []byte {
			return appendNumber(dst, ps[i].Given[k].Wh/1000, 3)
		}})
	}
	return cs
}

func writeDeficits(w io.Writer, y *sim.Year) error {
	spells := sim.Spells(y)
	hour := func(h int) time.Time { return y.In.Start.Add(time.Duration(h) * time.Hour) }
	number := func(name string, decimals int, value func(s *sim.Spell) float64) Column {
		return Column{name, func(dst []byte, i int) []byte { return appendNumber(dst, value(&spells[i]), decimals) }}
	}
	return WriteTable(w, len(spells), []Column{
		times("start", hourLayout, func(i int) time.Time { return hour(spells[i].Start) }),
		times("end", hourLayout, func(i int) time.Time { return hour(spells[i].Start + spells[i].Hours) }),
		number("hours", 0, func(s *sim.Spell) float64 { return float64(s.Hours) }),
		number("depth_kwh", 3, func(s *sim.Spell) float64 { return s.DepthWh / 1000 }),
		number("unmet_kwh", 3, func(s *sim.Spell) float64 { return s.UnmetWh / 1000 }),
		number("unmet_hours", 0, func(s *sim.Spell) float64 { return float64(s.UnmetHours) }),
	})
}

// field is a column of a table of periods.
type field struct {
	name     string
	decimals int
	value    func(*sim.Period) float64
}

func each(ps []sim.Period, fields ...field) []Column {
	var cs []Column
	for _, f := range fields {
		cs = append(cs, Column{f.name, func(dst []byte, i int) []byte {
			return appendNumber(dst, f.value(&ps[i]), f.decimals)
		}})
	}
	return cs
}

// times is a column of times.
func times(name, layout string, at func(row int) time.Time) Column {
	return Column{name, func(dst []byte, row int) []byte { return at(row).AppendFormat(dst, layout) }}
}
