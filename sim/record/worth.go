package record

import (
	"io"
	"math"

	"sunrill/sim/worth"
)

// Worth writes the comparison of ways to live: worth.json and worth.csv. What
// was not priced is left empty.
func Worth(f *Folder, r *worth.Result) error {
	if err := f.Write("worth.json", func(w io.Writer) error { return WriteJSON(w, r) }); err != nil {
		return err
	}
	return f.Write("worth.csv", func(w io.Writer) error { return writeWays(w, r.Ways) })
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
	return WriteTable(w, len(ways), []Column{
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
	})
}
