package record

import (
	"io"
	"strconv"
	"time"

	"sunrill/sim"
	"sunrill/sim/plans"
)

// Compare writes sites or plans side by side: compare.csv with a row a side,
// compare-years.csv, compare-months.csv and compare-days.csv with a column a
// side, and compare.json.
func Compare(f *Folder, r *plans.Comparison) error {
	o := CompareObject(r)
	var given []sim.Yields
	for _, s := range r.Sides {
		given = append(given, s.Given)
	}
	if err := f.Write("compare.json", func(w io.Writer) error { return WriteJSON(w, o) }); err != nil {
		return err
	}
	if err := f.Write("compare.csv", func(w io.Writer) error { return writeSides(w, o.Sides, otherKeys(given)) }); err != nil {
		return err
	}
	bySide := func(name string, rows int, first Column, of func(side, row int) float64, decimals int) error {
		columns := []Column{first}
		for k, s := range r.Sides {
			columns = append(columns, Column{s.Name, func(dst []byte, row int) []byte { return appendNumber(dst, of(k, row), decimals) }})
		}
		return f.Write(name, func(w io.Writer) error { return WriteTable(w, rows, columns) })
	}
	if err := bySide("compare-years.csv", len(r.Years), Column{"year", func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(r.Years[row]), 10) }},
		func(side, row int) float64 { return r.Sides[side].UnmetOf(row, len(r.Years)) }, 1); err != nil {
		return err
	}
	months := make([]string, 12)
	for m := range months {
		months[m] = time.Month(m + 1).String()[:3]
	}
	if err := bySide("compare-months.csv", 12, Texts("month", months), func(side, row int) float64 { return r.Sides[side].Months[row] }, 2); err != nil {
		return err
	}
	return bySide("compare-days.csv", len(r.Sides[0].LowSoC), Column{"day_of_water_year", func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(row+1), 10) }},
		func(side, row int) float64 { return 100 * r.Sides[side].LowSoC[row] }, 1)
}

// CompareFile is the object of compare.json, and of what compare prints with
// --json.
type CompareFile struct {
	Years  []int               `json:"years"`
	Draws  int                 `json:"draws"`
	Inputs []CompareDifference `json:"inputs"`
	Sides  []CompareSide       `json:"sides"`
}

// CompareDifference is a value that is not the same on all sides.
type CompareDifference struct {
	Key    string   `json:"key"`
	Values []string `json:"values"`
}

// CompareSide is how one side fares.
type CompareSide struct {
	Name string `json:"name"`
	ImproveFigures
	Again       againFile          `json:"ranges"`
	HazardHours int                `json:"hazard_hours"`
	PVKWh       float64            `json:"pv_kwh_a_year"`
	HydroKWh    float64            `json:"hydro_kwh_a_year"`
	OtherKWh    map[string]float64 `json:"other_kwh_a_year,omitempty"` // of further sources, by key
	Unmet       []float64          `json:"unmet_hours_by_year"`        // mean of the draws
	Months      []float64          `json:"unmet_hours_by_month"`
	BetterIn    int                `json:"draws_with_fewer_unmet_hours"`
	Fewer       int                `json:"years_with_fewer_unmet_hours"`
	More        int                `json:"years_with_more_unmet_hours"`
	Capital     *float64           `json:"to_buy"`
	CostAYear   *float64           `json:"cost_a_year"`
	Missing     []string           `json:"missing_prices"`
}

// CompareObject rounds a comparison for its files.
func CompareObject(r *plans.Comparison) CompareFile {
	o := CompareFile{Years: r.Years, Draws: r.Draws, Inputs: []CompareDifference{}}
	for _, d := range r.Inputs {
		o.Inputs = append(o.Inputs, CompareDifference(d))
	}
	for _, s := range r.Sides {
		side := CompareSide{Name: s.Name, ImproveFigures: improveFigures(s.Mean), Again: againOf(s.Again), HazardHours: s.Mean.Hazard, PVKWh: Round(s.Given.Of(sim.Panels)/1000, 1), HydroKWh: Round(s.Given.Of(sim.Creek)/1000, 1), OtherKWh: otherKWh(s.Given, 1),
			BetterIn: s.BetterIn, Fewer: s.Fewer, More: s.More, Capital: rounded(s.Capital, 2), CostAYear: rounded(s.CostAYear, 2), Missing: s.Missing}
		for i := range r.Years {
			side.Unmet = append(side.Unmet, Round(s.UnmetOf(i, len(r.Years)), 1))
		}
		for _, h := range s.Months {
			side.Months = append(side.Months, Round(h, 2))
		}
		if side.Missing == nil {
			side.Missing = []string{}
		}
		o.Sides = append(o.Sides, side)
	}
	return o
}

func writeSides(w io.Writer, sides []CompareSide, others []string) error {
	number := func(name string, decimals int, of func(CompareSide) float64) Column {
		return Column{name, func(dst []byte, row int) []byte { return appendNumber(dst, of(sides[row]), decimals) }}
	}
	money := func(name string, of func(CompareSide) *float64) Column {
		return Column{name, func(dst []byte, row int) []byte {
			if v := of(sides[row]); v != nil {
				return appendNumber(dst, *v, 2)
			}
			return dst
		}}
	}
	names := make([]string, len(sides))
	for i, s := range sides {
		names[i] = s.Name
	}
	columns := []Column{
		Texts("name", names),
		number("unmet_hours_mean", 2, func(s CompareSide) float64 { return s.UnmetMean }),
		number("unmet_hours_middling", 0, func(s CompareSide) float64 { return s.UnmetMiddle }),
		number("unmet_hours_1_in_5", 0, func(s CompareSide) float64 { return s.UnmetP80 }),
		number("unmet_hours_worst", 0, func(s CompareSide) float64 { return s.UnmetWorst }),
		number("years_with_unmet_hours", 0, func(s CompareSide) float64 { return float64(s.DarkYears) }),
		number("hours_below_comfort", 1, func(s CompareSide) float64 { return s.LowHours }),
		number("hazard_hours", 0, func(s CompareSide) float64 { return float64(s.HazardHours) }),
		number("pv_kwh", 1, func(s CompareSide) float64 { return s.PVKWh }),
		number("hydro_kwh", 1, func(s CompareSide) float64 { return s.HydroKWh }),
	}
	for _, key := range others {
		columns = append(columns, number(key+"_kwh", 1, func(s CompareSide) float64 { return s.OtherKWh[key] }))
	}
	return WriteTable(w, len(sides), append(columns,
		number("dry_pipe_stops", 2, func(s CompareSide) float64 { return s.Stops }),
		number("walks", 1, func(s CompareSide) float64 { return s.Walks }),
		number("fuel_l", 1, func(s CompareSide) float64 { return s.FuelL }),
		money("to_buy", func(s CompareSide) *float64 { return s.Capital }),
		money("cost_a_year", func(s CompareSide) *float64 { return s.CostAYear }),
	))
}
