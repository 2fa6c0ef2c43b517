package record

import (
	"io"
	"math"
	"strings"

	"sunrill/sim/worth"
)

// Worth writes the comparison of ways to live: worth.json, worth.csv with a
// row a way, and turning-points.csv. What was not priced is left empty.
func Worth(f *Folder, r *worth.Result) error {
	if err := f.Write("worth.json", func(w io.Writer) error { return WriteJSON(w, WorthObject(r)) }); err != nil {
		return err
	}
	if err := f.Write("worth.csv", func(w io.Writer) error { return writeWays(w, r.Ways) }); err != nil {
		return err
	}
	if r.Mixes != nil {
		if err := f.Write("mixes.csv", func(w io.Writer) error { return writeMixes(w, r.Mixes) }); err != nil {
			return err
		}
	}
	return f.Write("turning-points.csv", func(w io.Writer) error { return writeTurns(w, r.TurningPoints) })
}

// WorthFile is the object of worth.json.
type WorthFile struct {
	worth.Result
	Creek WorthCreek `json:"creek"`
	Sure  *WorthSure `json:"over_draws,omitempty"`
	Mixes *MixesFile `json:"mixes,omitempty"`
}

// WorthSure is how sure the verdict is.
type WorthSure struct {
	Draws   int        `json:"draws"`
	Pays    *int       `json:"hydro_is_worth_it_in"` // draws; null without prices
	With    DoubtFile  `json:"with_hydro_unmet_hours_mean"`
	Without DoubtFile  `json:"without_hydro_unmet_hours_mean"`
	Extra   *DoubtFile `json:"hydro_costs_more_a_year,omitempty"`
}

// WorthCreek is what the creek with other water does.
type WorthCreek struct {
	Month   int      `json:"month"`
	FlowLPS float64  `json:"flow_lps"`
	Pays    string   `json:"pays"` // with, never, always; "" where it was not tried
	Enough  *float64 `json:"pays_with_times"`
	Short   *float64 `json:"pays_not_with_times"`
}

// WorthObject is the object of worth.json and of what worth prints with
// --json: the result with its numbers rounded.
func WorthObject(r *worth.Result) WorthFile {
	o := WorthFile{Result: *r, Mixes: MixesObject(r.Mixes)}
	o.Ways = append([]worth.Way{}, r.Ways...)
	for i := range o.Ways {
		w := &o.Ways[i]
		roundTo(2, &w.PanelKW, &w.BankKWh)
		roundTo(1, &w.UnmetMean, &w.UnmetP80, &w.UnmetWorst, &w.PVKWh, &w.HydroKWh, &w.GeneratorKWh, &w.ServedKWh, &w.UnmetKWh,
			&w.DumpKWh, &w.CurtailedKWh, &w.FuelL, &w.RunningH, &w.BankLifeY, &w.LabourH,
			&w.Dark.PVKWh, &w.Dark.HydroKWh, &w.Dark.GeneratorKWh, &w.Dark.UnmetKWh, &w.Dark.DemandKWh)
		w.Capital, w.CostAYear, w.PresentValue = rounded(w.Capital, 2), rounded(w.CostAYear, 2), rounded(w.PresentValue, 2)
		w.CostPerKWh = rounded(w.CostPerKWh, 4)
		w.Items = append([]worth.Item{}, w.Items...)
		for j := range w.Items {
			roundTo(2, &w.Items[j].Capital, &w.Items[j].Yearly)
		}
	}
	o.TurningPoints = append([]worth.TurningPoint{}, r.TurningPoints...)
	for i := range o.TurningPoints {
		t := &o.TurningPoints[i]
		roundTo(4, &t.Price, &t.TurnsAt, &t.Factor)
	}
	k := r.Creek
	o.Creek = WorthCreek{Month: k.Month, FlowLPS: Round(1000*k.FlowM3S, 3), Pays: k.Pays}
	if k.Pays == worth.PaysWith {
		o.Creek.Enough, o.Creek.Short = rounded(&k.Enough, 3), rounded(&k.Short, 3)
	}
	if u := r.Sure; u != nil {
		o.Sure = &WorthSure{Draws: u.Draws, With: DoubtObject(u.With, 1), Without: DoubtObject(u.Without, 1)}
		if u.Priced {
			extra := DoubtObject(u.Extra, 2)
			o.Sure.Pays, o.Sure.Extra = &u.Pays, &extra
		}
	}
	return o
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

func writeTurns(w io.Writer, turns []worth.TurningPoint) error {
	names, within := make([]string, len(turns)), make([]string, len(turns))
	var price, at, factor []float64
	for i, t := range turns {
		names[i], within[i] = t.Name, "no"
		if t.Within {
			within[i] = "yes"
		}
		price, at, factor = append(price, t.Price), append(at, t.TurnsAt), append(factor, t.Factor)
	}
	return WriteTable(w, len(turns), []Column{
		Texts("name", names), Numbers("price", price, 1, 2), Numbers("turns_at", at, 1, 2), Numbers("factor", factor, 1, 3), Texts("within_20_pct", within),
	})
}

func writeWays(w io.Writer, ways []worth.Way) error {
	number := func(name string, decimals int, value func(*worth.Way) float64) Column {
		return Column{name, func(dst []byte, i int) []byte { return appendNumber(dst, value(&ways[i]), decimals) }}
	}
	money := func(name string, decimals int, value func(*worth.Way) *float64) Column {
		return number(name, decimals, func(w *worth.Way) float64 {
			if v := value(w); v != nil {
				return *v
			}
			return math.NaN()
		})
	}
	names := make([]string, len(ways))
	found := make([]string, len(ways))
	for i := range ways {
		names[i], found[i] = ways[i].Name, "no"
		if ways[i].Found {
			found[i] = "yes"
		}
	}
	columns := []Column{
		Texts("name", names), Texts("found", found),
		number("panel_kw", 1, func(w *worth.Way) float64 { return w.PanelKW }),
		number("bank_kwh", 1, func(w *worth.Way) float64 { return w.BankKWh }),
		number("unmet_hours_mean", 1, func(w *worth.Way) float64 { return w.UnmetMean }),
		number("unmet_hours_p80", 0, func(w *worth.Way) float64 { return w.UnmetP80 }),
		number("unmet_hours_worst", 0, func(w *worth.Way) float64 { return w.UnmetWorst }),
		number("pv_kwh", 1, func(w *worth.Way) float64 { return w.PVKWh }),
		number("hydro_kwh", 1, func(w *worth.Way) float64 { return w.HydroKWh }),
		number("generator_kwh", 1, func(w *worth.Way) float64 { return w.GeneratorKWh }),
		number("served_kwh", 1, func(w *worth.Way) float64 { return w.ServedKWh }),
		number("unmet_kwh", 1, func(w *worth.Way) float64 { return w.UnmetKWh }),
		number("dump_kwh", 1, func(w *worth.Way) float64 { return w.DumpKWh }),
		number("curtailed_kwh", 1, func(w *worth.Way) float64 { return w.CurtailedKWh }),
		number("fuel_l", 1, func(w *worth.Way) float64 { return w.FuelL }),
		number("generator_hours", 0, func(w *worth.Way) float64 { return w.RunningH }),
		number("bank_life_years", 1, func(w *worth.Way) float64 { return w.BankLifeY }),
		number("labour_h", 0, func(w *worth.Way) float64 { return w.LabourH }),
		money("capital", 0, func(w *worth.Way) *float64 { return w.Capital }),
		money("cost_a_year", 0, func(w *worth.Way) *float64 { return w.CostAYear }),
		money("present_value", 0, func(w *worth.Way) *float64 { return w.PresentValue }),
		money("cost_per_kwh", 3, func(w *worth.Way) *float64 { return w.CostPerKWh }),
	}
	for _, part := range worth.Parts() {
		columns = append(columns, money(strings.ReplaceAll(part, " ", "_")+"_a_year", 2, func(w *worth.Way) *float64 {
			if w.CostAYear == nil {
				return nil
			}
			v := w.PartAYear(part)
			return &v
		}))
	}
	columns = append(columns,
		number("dark_month", 0, func(w *worth.Way) float64 { return float64(w.Dark.Month) }),
		number("dark_pv_kwh", 1, func(w *worth.Way) float64 { return w.Dark.PVKWh }),
		number("dark_hydro_kwh", 1, func(w *worth.Way) float64 { return w.Dark.HydroKWh }),
		number("dark_generator_kwh", 1, func(w *worth.Way) float64 { return w.Dark.GeneratorKWh }),
		number("dark_demand_kwh", 1, func(w *worth.Way) float64 { return w.Dark.DemandKWh }),
		number("dark_unmet_kwh", 1, func(w *worth.Way) float64 { return w.Dark.UnmetKWh }),
	)
	return WriteTable(w, len(ways), columns)
}
