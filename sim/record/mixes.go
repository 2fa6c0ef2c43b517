package record

import (
	"io"
	"math"
	"strconv"
	"strings"

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
	Pipe        string  `json:"pipe"` // with the creek
	BoreMM      float64 `json:"bore_mm"`
	Nozzles     string  `json:"nozzles_mm"` // "" with a spear valve
	SpearLPS    float64 `json:"spear_valve_lps"`
	UnmetP80    float64 `json:"unmet_hours_p80"`
	UnmetMean   float64 `json:"unmet_hours_mean"`
	FuelL       float64 `json:"fuel_l"`
	CostAYear   float64 `json:"cost_a_year"`
	Capital     float64 `json:"capital"`
}

// MixesFile is what worth.json tells of the mixes.
type MixesFile struct {
	TargetHours float64   `json:"target_unmet_hours"`
	TargetFuelL *float64  `json:"target_fuel_l"` // null: no limit
	TargetTold  bool      `json:"target_told"`   // by the owner; false: what hydro as described leaves
	Tried       int       `json:"tried"`         // mixes of the grid
	Run         int       `json:"run"`           // of them; the others cost more even so
	PanelsKW    []float64 `json:"grid_panels_kw"`
	BanksKWh    []float64 `json:"grid_banks_kwh"`
	Worth       bool      `json:"worth"` // the cheapest mix has the creek in it
	Mixes       []Mix     `json:"mixes"` // at the target first, without the creek and with it
}

// MixesObject turns mixes into the object that is written; nil for none.
func MixesObject(m *worth.Mixes) *MixesFile {
	if m == nil {
		return nil
	}
	f := &MixesFile{TargetHours: Round(m.Target.UnmetHours, 1), TargetTold: m.Target.Told, Tried: m.Tried, Run: m.Run, Worth: m.Worth(), Mixes: allMixes(m)}
	if !math.IsInf(m.Target.FuelL, 1) {
		fuel := Round(m.Target.FuelL, 1)
		f.TargetFuelL = &fuel
	}
	for _, w := range m.Grid.PanelsW {
		f.PanelsKW = append(f.PanelsKW, Round(w/1000, 2))
	}
	for _, wh := range m.Grid.BanksWh {
		f.BanksKWh = append(f.BanksKWh, Round(wh/1000, 2))
	}
	return f
}

// millimetres writes bores: "5 + 7".
func millimetres(boresM []float64) string {
	var words []string
	for _, d := range boresM {
		words = append(words, strconv.FormatFloat(Round(1000*d, 2), 'f', -1, 64))
	}
	return strings.Join(words, " + ")
}

func allMixes(m *worth.Mixes) []Mix {
	var all []Mix
	add := func(hours float64, hydro bool, w *worth.Alternative) {
		x := Mix{UnmetAtMost: Round(hours, 1), Hydro: hydro, Found: w != nil}
		if w != nil {
			x.PanelKW, x.BankKWh, x.Generator = Round(w.PanelW/1000, 2), Round(w.BankWh/1000, 2), w.Generator
			x.UnmetP80, x.UnmetMean, x.FuelL = Round(w.UnmetP80, 0), Round(w.UnmetMean, 1), Round(w.FuelL, 1)
			if at := w.Waterway; at != nil {
				x.Pipe, x.BoreMM, x.Nozzles, x.SpearLPS = at.Pipe, Round(1000*at.BoreM, 1), millimetres(at.NozzlesM), Round(1000*at.SpearM3S, 2)
			}
			x.CostAYear, x.Capital = Round(*w.CostAYear, 0), Round(*w.Capital, 0)
		}
		all = append(all, x)
	}
	add(m.Target.UnmetHours, false, m.Without)
	add(m.Target.UnmetHours, true, m.With)
	for _, p := range m.WithoutLine {
		add(p.UnmetHours, false, p.Alternative)
	}
	for _, p := range m.WithLine {
		add(p.UnmetHours, true, p.Alternative)
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
	pipe, nozzles := make([]string, len(all)), make([]string, len(all))
	maximum := make([]float64, len(all))
	for i := range all {
		hydro[i], found[i], generator[i], maximum[i], pipe[i], nozzles[i] = yes(all[i].Hydro), yes(all[i].Found), yes(all[i].Generator), all[i].UnmetAtMost, all[i].Pipe, all[i].Nozzles
	}
	return WriteTable(w, len(all), []Column{
		Numbers("unmet_hours_at_most", maximum, 1, 1), Texts("hydro", hydro), Texts("found", found),
		number("panel_kw", 1, func(x *Mix) float64 { return x.PanelKW }),
		number("bank_kwh", 1, func(x *Mix) float64 { return x.BankKWh }),
		Texts("generator", generator), Texts("pipe", pipe),
		number("bore_mm", 1, func(x *Mix) float64 { return x.BoreMM }),
		Texts("nozzles_mm", nozzles),
		number("unmet_hours_p80", 0, func(x *Mix) float64 { return x.UnmetP80 }),
		number("unmet_hours_mean", 1, func(x *Mix) float64 { return x.UnmetMean }),
		number("fuel_l", 1, func(x *Mix) float64 { return x.FuelL }),
		number("cost_a_year", 0, func(x *Mix) float64 { return x.CostAYear }),
		number("capital", 0, func(x *Mix) float64 { return x.Capital }),
	})
}
