package record

import (
	"fmt"
	"io"
	"math"
	"strings"

	"sunrill/sim"
	"sunrill/sim/worth"
)

// Worth writes the comparison of ways to live: worth.json, worth.csv with a
// row a way, and turning-points.csv. What was not priced is left empty.
func Worth(f *Folder, r *worth.Result) error {
	if err := f.Write("worth.json", func(w io.Writer) error { return WriteJSON(w, WorthObject(r)) }); err != nil {
		return err
	}
	if err := f.Write("worth.csv", func(w io.Writer) error { return writeAlternatives(w, r.Alternatives) }); err != nil {
		return err
	}
	if r.Mixes != nil {
		if err := f.Write("mixes.csv", func(w io.Writer) error { return writeMixes(w, r.Mixes) }); err != nil {
			return err
		}
	}
	return f.Write("turning-points.csv", func(w io.Writer) error { return writeTurns(w, turnsOf(r)) })
}

// WorthFile is the object of worth.json.
type WorthFile struct {
	Currency     string            `json:"currency"`
	Years        []int             `json:"years"`
	Alternatives []AlternativeFile `json:"ways"`
	Worth        bool              `json:"worth"`
	Mixes        *MixesFile        `json:"mixes,omitempty"`
	Turns        []TurnFile        `json:"turning_points"`
	Synthetic    *syntheticWorth   `json:"made_up,omitempty"`
	Missing      []string          `json:"missing_prices"`
	LeftOut      []leftOut         `json:"left_out"` // ways that were not compared
	Creek        worthCreek        `json:"creek"`
	Valve        WorthValve        `json:"valve"`
	OverDraws    *WorthSure        `json:"over_draws,omitempty"`
}

// Alternative returns the way of that name, nil if there is none.
func (f *WorthFile) Alternative(name string) *AlternativeFile {
	for i := range f.Alternatives {
		if f.Alternatives[i].Name == name {
			return &f.Alternatives[i]
		}
	}
	return nil
}

// AlternativeFile is one way to live.
type AlternativeFile struct {
	Name      string  `json:"name"`
	Found     bool    `json:"found"` // false: nothing up to ten times today's does it
	PanelKW   float64 `json:"panel_kw"`
	BankKWh   float64 `json:"bank_kwh"`
	Hydro     bool    `json:"hydro"`
	Generator bool    `json:"generator"`

	UnmetMean  float64   `json:"unmet_hours_mean"`
	UnmetP80   float64   `json:"unmet_hours_p80"` // the 1-in-5 year
	UnmetWorst float64   `json:"unmet_hours_worst"`
	P80Range   sim.Range `json:"unmet_hours_p80_range"`
	WorstRange sim.Range `json:"unmet_hours_worst_range"`

	PVKWh        float64 `json:"pv_kwh"`
	HydroKWh     float64 `json:"hydro_kwh"`
	GeneratorKWh float64 `json:"generator_kwh"`
	// OtherKWh are those of further sources, by key.
	OtherKWh     map[string]float64 `json:"other_kwh,omitempty"`
	ServedKWh    float64            `json:"served_kwh"` // flexible loads included
	UnmetKWh     float64            `json:"unmet_kwh"`
	DumpKWh      float64            `json:"dump_kwh"`
	CurtailedKWh float64            `json:"curtailed_kwh"`
	FuelL        float64            `json:"fuel_l"`
	RunningH     float64            `json:"generator_hours"`
	BankLifeY    float64            `json:"bank_life_years"`
	LabourH      float64            `json:"labour_h"`
	Walks        float64            `json:"walks"` // up to the intake
	Dark         darkMonth          `json:"dark_month"`

	Capital      *float64   `json:"capital"`
	CostAYear    *float64   `json:"cost_a_year"`
	PresentValue *float64   `json:"present_value"`
	CostPerKWh   *float64   `json:"cost_per_kwh"`
	Items        []costItem `json:"items"`
	Missing      []string   `json:"missing_prices"`
}

// darkMonth is the energy of the month in which the panels give least, in kWh.
type darkMonth struct {
	Month        int                `json:"month"`
	PVKWh        float64            `json:"pv_kwh"`
	HydroKWh     float64            `json:"hydro_kwh"`
	GeneratorKWh float64            `json:"generator_kwh"`
	UnmetKWh     float64            `json:"unmet_kwh"`
	DemandKWh    float64            `json:"demand_kwh"`
	OtherKWh     map[string]float64 `json:"other_kwh,omitempty"`
}

// costItem is one line of what a way costs.
type costItem struct {
	Name    string  `json:"name"`
	Part    string  `json:"part"`
	Capital float64 `json:"capital"` // bought beyond what stands today
	Yearly  float64 `json:"cost_a_year"`
}

// TurnFile is how far one thing would have to be otherwise, alone, to turn the
// verdict.
type TurnFile struct {
	Name    string  `json:"name"`
	Unit    string  `json:"unit"`
	Given   float64 `json:"given"`
	TurnsAt float64 `json:"turns_at"`
	Factor  float64 `json:"factor"` // TurnsAt over Given
	Within  bool    `json:"within_20_pct"`
}

// syntheticWorth is how unmet hours spread over made-up years.
type syntheticWorth struct {
	Years         int     `json:"years"`
	WithP50       float64 `json:"with_hydro_p50"`
	WithP80       float64 `json:"with_hydro_p80"`
	WithP95       float64 `json:"with_hydro_p95"`
	WithoutP50    float64 `json:"without_hydro_p50"`
	WithoutP80    float64 `json:"without_hydro_p80"`
	WithoutP95    float64 `json:"without_hydro_p95"`
	HelpedInYears int     `json:"helped_in_years"` // in which hydro cut unmet hours by half or more
}

type leftOut struct {
	Name string `json:"name"`
	Why  string `json:"why"`
}

// reasons are why a way was not compared, in a word or two.
var reasons = map[worth.Reason]string{
	worth.NoNeed: "no need", worth.NoPanels: "no panels", worth.NoBank: "no bank", worth.NoPanelsOrNot: "no panels or no bank", worth.InEveryWay: "in every way",
}

// WorthSure is how sure the verdict is.
type WorthSure struct {
	Draws   int       `json:"draws"`
	With    DoubtFile `json:"with_hydro_unmet_hours_mean"`
	Without DoubtFile `json:"without_hydro_unmet_hours_mean"`
	// In how many draws the cheapest mix has the creek in it, and what that costs
	// a year less than the cheapest without; null without mixes.
	Worth *int       `json:"hydro_is_worth_it_in"`
	Saved *DoubtFile `json:"hydro_saves_a_year,omitempty"`
}

// WorthValve is how the valve is worked where hydro is weighed.
type WorthValve struct {
	Best     bool    `json:"best_dates"` // false: as described
	Open     string  `json:"open"`
	Close    string  `json:"close"`
	Unmet    float64 `json:"unmet_hours_mean"`
	OwnUnmet float64 `json:"own_unmet_hours_mean"`
}

// monthDay writes a date as files have it: "11-05"; "" for none.
func monthDay(d *worth.Date) string {
	if d == nil {
		return ""
	}
	return fmt.Sprintf("%02d-%02d", d.Month, d.Day)
}

// worthCreek is the creek in the dark month.
type worthCreek struct {
	Month   int     `json:"month"`
	FlowLPS float64 `json:"flow_lps"`
}

// WorthObject is the object of worth.json and of what worth prints with
// --json: the result with its numbers rounded.
func WorthObject(r *worth.Result) WorthFile {
	o := WorthFile{Currency: r.Currency, Years: r.Years, Alternatives: []AlternativeFile{}, Worth: r.Worth, Mixes: MixesObject(r.Mixes), Turns: turnsOf(r), Missing: r.Missing, LeftOut: []leftOut{},
		Valve: WorthValve{r.Valve.Best, monthDay(r.Valve.Open), monthDay(r.Valve.Close), Round(r.Valve.UnmetHours, 1), Round(r.Valve.OwnUnmetHours, 1)},
		Creek: worthCreek{int(r.Creek.Month), Round(1000*r.Creek.FlowM3S, 3)}}
	for i := range r.Alternatives {
		o.Alternatives = append(o.Alternatives, alternativeObject(&r.Alternatives[i]))
	}
	if m := r.Synthetic; m != nil {
		f := syntheticWorth(*m)
		o.Synthetic = &f
	}
	for _, l := range r.LeftOut {
		o.LeftOut = append(o.LeftOut, leftOut{l.Name, reasons[l.Why]})
	}
	if u := r.Sure; u != nil {
		o.OverDraws = &WorthSure{Draws: u.Draws, With: DoubtObject(u.With, 1), Without: DoubtObject(u.Without, 1)}
		if m := u.Mixes; m != nil {
			o.OverDraws.Worth = &m.Worth
			if saved := m.Known(); len(saved.Draws) > 0 {
				f := DoubtObject(saved, 0)
				o.OverDraws.Saved = &f
			}
		}
	}
	return o
}

func alternativeObject(w *worth.Alternative) AlternativeFile {
	d := w.Dark
	f := AlternativeFile{
		Name: w.Name, Found: w.Found, PanelKW: Round(w.PanelW/1000, 2), BankKWh: Round(w.BankWh/1000, 2), Hydro: w.Hydro, Generator: w.Generator,
		UnmetMean: w.UnmetMean, UnmetP80: w.UnmetP80, UnmetWorst: w.UnmetWorst, P80Range: w.P80Range, WorstRange: w.WorstRange,
		PVKWh: w.Given.Of(sim.Panels) / 1000, HydroKWh: w.Given.Of(sim.Creek) / 1000, OtherKWh: otherKWh(w.Given, 1), GeneratorKWh: w.GeneratorWh / 1000, ServedKWh: w.ServedWh / 1000, UnmetKWh: w.UnmetWh / 1000,
		DumpKWh: w.DumpWh / 1000, CurtailedKWh: w.CurtailedWh / 1000, FuelL: w.FuelL, RunningH: w.RunningH, BankLifeY: w.BankLifeY, LabourH: w.LabourH, Walks: w.Walks,
		Dark:    darkMonth{d.Month, Round(d.Given.Of(sim.Panels)/1000, 1), Round(d.Given.Of(sim.Creek)/1000, 1), Round(d.GeneratorWh/1000, 1), Round(d.UnmetWh/1000, 1), Round(d.DemandWh/1000, 1), otherKWh(d.Given, 1)},
		Capital: rounded(w.Capital, 2), CostAYear: rounded(w.CostAYear, 2), PresentValue: rounded(w.PresentValue, 2), CostPerKWh: rounded(w.CostPerKWh, 4),
		Items: []costItem{}, Missing: w.Missing,
	}
	roundTo(1, &f.UnmetMean, &f.UnmetP80, &f.UnmetWorst, &f.PVKWh, &f.HydroKWh, &f.GeneratorKWh, &f.ServedKWh, &f.UnmetKWh,
		&f.DumpKWh, &f.CurtailedKWh, &f.FuelL, &f.RunningH, &f.BankLifeY, &f.LabourH, &f.Walks)
	for _, it := range w.Items {
		f.Items = append(f.Items, costItem{it.Name, it.Part, Round(it.Capital, 2), Round(it.Yearly, 2)})
	}
	return f
}

// turnsOf are the turning points in the units of files.
func turnsOf(r *worth.Result) []TurnFile {
	turns := []TurnFile{}
	for _, t := range r.Turns {
		unit, times, decimals := r.Currency, 1.0, 4
		switch t.Name {
		case worth.DiscountRate:
			unit, times = "% a year", 100
		case worth.LifeOfPanels, worth.LifeOfTurbine, worth.LifeOfPipe, worth.LifeOfInverter:
			unit = "years"
		case worth.LifeOfGenerator, worth.HoursOfBuilding, worth.HoursOfHydro, worth.HoursOfWalk, worth.HoursOfGenerator:
			unit = "h"
		case worth.WaterOfCreek:
			unit, times = "L/s", 1000
		case worth.HeadOfPipe:
			unit = "m"
		}
		turns = append(turns, TurnFile{t.Name, unit, Round(times*t.Given, decimals), Round(times*t.TurnsAt, decimals), Round(t.Factor, decimals), t.Within()})
	}
	return turns
}

func roundTo(decimals int, numbers ...*float64) {
	for _, n := range numbers {
		*n = Round(*n, decimals)
	}
}

func rounded(v *float64, decimals int) *float64 {
	if v == nil {
		return nil
	}
	r := Round(*v, decimals)
	return &r
}

func writeTurns(w io.Writer, turns []TurnFile) error {
	names, units, within := make([]string, len(turns)), make([]string, len(turns)), make([]string, len(turns))
	var given, at, factor []float64
	for i, t := range turns {
		names[i], units[i], within[i] = t.Name, t.Unit, "no"
		if t.Within {
			within[i] = "yes"
		}
		given, at, factor = append(given, t.Given), append(at, t.TurnsAt), append(factor, t.Factor)
	}
	return WriteTable(w, len(turns), []Column{
		Texts("name", names), Texts("unit", units), Numbers("given", given, 1, 3), Numbers("turns_at", at, 1, 3), Numbers("factor", factor, 1, 3), Texts("within_20_pct", within),
	})
}

// sourceKeys are panels, creek and the other sources of the ways.
func sourceKeys(alternatives []worth.Alternative) []string {
	var given []sim.Yields
	for i := range alternatives {
		given = append(given, alternatives[i].Given)
	}
	return append([]string{sim.Panels.Key, sim.Creek.Key}, otherKeys(given)...)
}

func writeAlternatives(w io.Writer, alternatives []worth.Alternative) error {
	number := func(name string, decimals int, value func(*worth.Alternative) float64) Column {
		return Column{name, func(dst []byte, i int) []byte { return appendNumber(dst, value(&alternatives[i]), decimals) }}
	}
	money := func(name string, decimals int, value func(*worth.Alternative) *float64) Column {
		return number(name, decimals, func(w *worth.Alternative) float64 {
			if v := value(w); v != nil {
				return *v
			}
			return math.NaN()
		})
	}
	names := make([]string, len(alternatives))
	found := make([]string, len(alternatives))
	for i := range alternatives {
		names[i], found[i] = alternatives[i].Name, "no"
		if alternatives[i].Found {
			found[i] = "yes"
		}
	}
	columns := []Column{
		Texts("name", names), Texts("found", found),
		number("panel_kw", 1, func(w *worth.Alternative) float64 { return w.PanelW / 1000 }),
		number("bank_kwh", 1, func(w *worth.Alternative) float64 { return w.BankWh / 1000 }),
		number("unmet_hours_mean", 1, func(w *worth.Alternative) float64 { return w.UnmetMean }),
		number("unmet_hours_p80", 0, func(w *worth.Alternative) float64 { return w.UnmetP80 }),
		number("unmet_hours_worst", 0, func(w *worth.Alternative) float64 { return w.UnmetWorst }),
	}
	of := func(prefix, key string, ys func(*worth.Alternative) sim.Yields) {
		columns = append(columns, number(prefix+key+"_kwh", 1, func(w *worth.Alternative) float64 { return ys(w).Of(sim.Kind{Key: key}) / 1000 }))
	}
	keys := sourceKeys(alternatives)
	for _, key := range keys {
		of("", key, func(w *worth.Alternative) sim.Yields { return w.Given })
	}
	columns = append(columns,
		number("generator_kwh", 1, func(w *worth.Alternative) float64 { return w.GeneratorWh / 1000 }),
		number("served_kwh", 1, func(w *worth.Alternative) float64 { return w.ServedWh / 1000 }),
		number("unmet_kwh", 1, func(w *worth.Alternative) float64 { return w.UnmetWh / 1000 }),
		number("dump_kwh", 1, func(w *worth.Alternative) float64 { return w.DumpWh / 1000 }),
		number("curtailed_kwh", 1, func(w *worth.Alternative) float64 { return w.CurtailedWh / 1000 }),
		number("fuel_l", 1, func(w *worth.Alternative) float64 { return w.FuelL }),
		number("generator_hours", 0, func(w *worth.Alternative) float64 { return w.RunningH }),
		number("bank_life_years", 1, func(w *worth.Alternative) float64 { return w.BankLifeY }),
		number("labour_h", 0, func(w *worth.Alternative) float64 { return w.LabourH }),
		number("walks", 0, func(w *worth.Alternative) float64 { return w.Walks }),
		money("capital", 0, func(w *worth.Alternative) *float64 { return w.Capital }),
		money("cost_a_year", 0, func(w *worth.Alternative) *float64 { return w.CostAYear }),
		money("present_value", 0, func(w *worth.Alternative) *float64 { return w.PresentValue }),
		money("cost_per_kwh", 3, func(w *worth.Alternative) *float64 { return w.CostPerKWh }),
	)
	for _, part := range worth.Parts() {
		columns = append(columns, money(strings.ReplaceAll(part, " ", "_")+"_a_year", 2, func(w *worth.Alternative) *float64 {
			if w.CostAYear == nil {
				return nil
			}
			v := w.PartAYear(part)
			return &v
		}))
	}
	columns = append(columns, number("dark_month", 0, func(w *worth.Alternative) float64 { return float64(w.Dark.Month) }))
	for _, key := range keys {
		of("dark_", key, func(w *worth.Alternative) sim.Yields { return w.Dark.Given })
	}
	columns = append(columns,
		number("dark_generator_kwh", 1, func(w *worth.Alternative) float64 { return w.Dark.GeneratorWh / 1000 }),
		number("dark_demand_kwh", 1, func(w *worth.Alternative) float64 { return w.Dark.DemandWh / 1000 }),
		number("dark_unmet_kwh", 1, func(w *worth.Alternative) float64 { return w.Dark.UnmetWh / 1000 }),
	)
	return WriteTable(w, len(alternatives), columns)
}
