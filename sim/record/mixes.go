package record

import (
	"io"
	"math"

	"sunrill/sim/worth"
)

// Mix is one mix as worth.json has it.
type Mix struct {
	UnmetAtMost float64 `json:"unmet_hours_at_most"`
	Hydro       bool    `json:"hydro"`
	Found       bool    `json:"found"` // false: none on the grid keeps to it
	PanelKW     float64 `json:"panel_kw"`
	BankKWh     float64 `json:"bank_kwh"`
	Generator   bool    `json:"generator"`
	UnmetP80    float64 `json:"unmet_hours_p80"`
	UnmetMean   float64 `json:"unmet_hours_mean"`
	FuelL       float64 `json:"fuel_l"`
	CostAYear   float64 `json:"cost_a_year"`
	Capital     float64 `json:"capital"`
}

// MixesFile is what worth.json tells of the mixes.
type MixesFile struct {
	TargetHours float64  `json:"target_unmet_hours"`
	TargetFuelL *float64 `json:"target_fuel_l"`  // null: no limit
	Default     string   `json:"target_default"` // where the target comes from; "": the owner
	Tried       int      `json:"tried"`
	Worth       bool     `json:"worth"` // the cheapest mix has the creek in it
	Mixes       []Mix    `json:"mixes"` // at the target first, without the creek and with it
}

// MixesObject turns mixes into the object that is written; nil for none.
func MixesObject(m *worth.Mixes) *MixesFile {
	if m == nil {
		return nil
	}
	f := &MixesFile{TargetHours: Round(m.Target.UnmetHours, 1), Default: m.Target.Default, Tried: m.Tried, Worth: m.Worth(), Mixes: allMixes(m)}
	if !math.IsInf(m.Target.FuelL, 1) {
		fuel := Round(m.Target.FuelL, 1)
		f.TargetFuelL = &fuel
	}
	return f
}

func allMixes(m *worth.Mixes) []Mix {
	var all []Mix
	add := func(hours float64, hydro bool, w *worth.Way) {
		x := Mix{UnmetAtMost: Round(hours, 1), Hydro: hydro, Found: w != nil}
		if w != nil {
			x.PanelKW, x.BankKWh, x.Generator = Round(w.PanelKW, 2), Round(w.BankKWh, 2), w.Generator
			x.UnmetP80, x.UnmetMean, x.FuelL = Round(w.UnmetP80, 0), Round(w.UnmetMean, 1), Round(w.FuelL, 1)
			x.CostAYear, x.Capital = Round(*w.CostAYear, 0), Round(*w.Capital, 0)
		}
		all = append(all, x)
	}
	add(m.Target.UnmetHours, false, m.Without)
	add(m.Target.UnmetHours, true, m.With)
	for _, p := range m.WithoutLine {
		add(p.UnmetHours, false, p.Way)
	}
	for _, p := range m.WithLine {
		add(p.UnmetHours, true, p.Way)
	}
	return all
}

// writeMixes writes mixes.csv: the mixes at the target, then those of the lines.
func writeMixes(w io.Writer, m *worth.Mixes) error {
	all := allMixes(m)
	number := func(name string, decimals int, value func(*Mix) float64) Column {
		return Column{name, func(dst []byte, i int) []byte {
			if !all[i].Found {
				return dst
			}
			return appendNumber(dst, value(&all[i]), decimals)
		}}
	}
	yes := func(is bool) string {
		if is {
			return "yes"
		}
		return "no"
	}
	hydro, found, generator := make([]string, len(all)), make([]string, len(all)), make([]string, len(all))
	most := make([]float64, len(all))
	for i := range all {
		hydro[i], found[i], generator[i], most[i] = yes(all[i].Hydro), yes(all[i].Found), yes(all[i].Generator), all[i].UnmetAtMost
	}
	return WriteTable(w, len(all), []Column{
		Numbers("unmet_hours_at_most", most, 1, 1), Texts("hydro", hydro), Texts("found", found),
		number("panel_kw", 1, func(x *Mix) float64 { return x.PanelKW }),
		number("bank_kwh", 1, func(x *Mix) float64 { return x.BankKWh }),
		Texts("generator", generator),
		number("unmet_hours_p80", 0, func(x *Mix) float64 { return x.UnmetP80 }),
		number("unmet_hours_mean", 1, func(x *Mix) float64 { return x.UnmetMean }),
		number("fuel_l", 1, func(x *Mix) float64 { return x.FuelL }),
		number("cost_a_year", 0, func(x *Mix) float64 { return x.CostAYear }),
		number("capital", 0, func(x *Mix) float64 { return x.Capital }),
	})
}
