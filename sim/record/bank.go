package record

import (
	"io"
	"strconv"

	"sunrill/sim"
	"sunrill/sim/sizing"
)

// Bank writes the files of a study of the bank: bank.csv, a row a size;
// spells.csv, a row a deficit spell of all years; bank.json; and arrays.csv if
// panels were varied too (grid may be nil).
func Bank(f *Folder, r *sizing.Result, grid *sizing.Grid) error {
	if err := f.Write("bank.csv", func(w io.Writer) error { return bankCurve(w, r.Curve) }); err != nil {
		return err
	}
	if err := f.Write("spells.csv", func(w io.Writer) error { return bankSpells(w, r) }); err != nil {
		return err
	}
	if grid != nil {
		if err := f.Write("arrays.csv", func(w io.Writer) error { return bankGrid(w, grid) }); err != nil {
			return err
		}
	}
	return f.Write("bank.json", func(w io.Writer) error { return WriteJSON(w, BankObject(r, grid)) })
}

func bankCurve(w io.Writer, curve []sizing.Point) error {
	number := func(name string, decimals int, of func(sizing.Point) float64) Column {
		return Column{name, func(dst []byte, row int) []byte { return appendNumber(dst, of(curve[row]), decimals) }}
	}
	return WriteTable(w, len(curve), []Column{
		number("capacity_kwh", 3, func(p sizing.Point) float64 { return p.CapacityKWh }),
		number("unmet_hours_mean", 2, func(p sizing.Point) float64 { return p.UnmetMean }),
		number("unmet_hours_p80", 0, func(p sizing.Point) float64 { return p.UnmetP80 }),
		number("unmet_hours_worst", 0, func(p sizing.Point) float64 { return p.UnmetWorst }),
		{"worst_year", func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(curve[row].WorstYear), 10) }},
		number("life_years", 2, func(p sizing.Point) float64 { return p.LifeYears }),
		number("use_years", 2, func(p sizing.Point) float64 { return p.UseYears }),
		number("unmet_hours_p80_low", 0, func(p sizing.Point) float64 { return p.P80Range.Low }),
		number("unmet_hours_p80_high", 0, func(p sizing.Point) float64 { return p.P80Range.High }),
		number("unmet_hours_worst_low", 0, func(p sizing.Point) float64 { return p.WorstRange.Low }),
		number("unmet_hours_worst_high", 0, func(p sizing.Point) float64 { return p.WorstRange.High }),
	})
}

func bankSpells(w io.Writer, r *sizing.Result) error {
	number := func(name string, decimals int, of func(sizing.Spell) float64) Column {
		return Column{name, func(dst []byte, row int) []byte { return appendNumber(dst, of(r.Spells[row]), decimals) }}
	}
	return WriteTable(w, len(r.Spells), []Column{
		{"start", func(dst []byte, row int) []byte { return r.Spells[row].Start.AppendFormat(dst, hourLayout) }},
		number("hours", 0, func(s sizing.Spell) float64 { return float64(s.Hours) }),
		number("depth_kwh", 3, func(s sizing.Spell) float64 { return s.DepthKWh }),
	})
}

func bankGrid(w io.Writer, g *sizing.Grid) error {
	columns := len(g.CapacitiesKWh)
	number := func(name string, decimals int, of func(i, k int) float64) Column {
		return Column{name, func(dst []byte, row int) []byte {
			return appendNumber(dst, of(row/columns, row%columns), decimals)
		}}
	}
	return WriteTable(w, len(g.PanelFactors)*columns, []Column{
		number("panel_kw", 3, func(i, _ int) float64 { return g.PanelKW[i] }),
		number("panel_factor", 3, func(i, _ int) float64 { return g.PanelFactors[i] }),
		number("capacity_kwh", 3, func(_, k int) float64 { return g.CapacitiesKWh[k] }),
		number("unmet_hours_mean", 2, func(i, k int) float64 { return g.UnmetMean[i][k] }),
		number("unmet_hours_p80", 0, func(i, k int) float64 { return g.UnmetP80[i][k] }),
	})
}

// BankFile is the object of bank.json and of what bank prints with --json.
type BankFile struct {
	*sizing.Result
	Why    *Why         `json:"why,omitempty"` // where no bank keeps to the target
	Sure   *BankSure    `json:"over_draws,omitempty"`
	Arrays *sizing.Grid `json:"arrays,omitempty"`
}

// Why tells what leaves a house short: the unmet hours of a mean year as it
// stands, with each limit lifted alone, and with the causes lifted together, one
// after the other.
type Why struct {
	UnmetHours float64   `json:"unmet_hours"`
	Alone      []Without `json:"alone"`
	Causes     []Without `json:"causes"`
}

// Without is what is left without a limit: inverter, cold, rate, size or
// sources.
type Without struct {
	Limit      sim.Limit `json:"limit"`
	UnmetHours float64   `json:"unmet_hours"`
}

func whyObject(d *sim.Diagnosis) *Why {
	if d == nil {
		return nil
	}
	list := func(lifts []sim.Lift) []Without {
		ws := []Without{}
		for _, l := range lifts {
			ws = append(ws, Without{l.Limit, Round(l.UnmetHours, 2)})
		}
		return ws
	}
	return &Why{Round(d.UnmetHours, 2), list(d.Alone), list(d.Causes)}
}

// BankSure is how sure the bank's size is.
type BankSure struct {
	Draws     int       `json:"draws"`
	SizeKWh   DoubtFile `json:"size_kwh"` // null where no bank keeps to the target
	Present   DoubtFile `json:"present_unmet_hours_p80"`
	AtSize    DoubtFile `json:"size_unmet_hours_p80"` // with the size of the middle values
	LikelyKWh *float64  `json:"likely_kwh"`           // keeps to the target in 15 of 20 draws
}

// BankObject returns the object with its numbers rounded.
func BankObject(r *sizing.Result, grid *sizing.Grid) BankFile {
	o := *r
	point := func(p *sizing.Point) {
		p.CapacityKWh, p.UnmetMean = Round(p.CapacityKWh, 3), Round(p.UnmetMean, 2)
		p.LifeYears, p.UseYears = Round(p.LifeYears, 2), Round(p.UseYears, 2)
	}
	for _, n := range []*float64{&o.PresentKWh, &o.NothingGainedKWh, &o.SequentPeakKWh,
		&o.AutonomyDays, &o.DailyKWh, &o.PencilKWh, &o.UsableShare, &o.RiddenShare, &o.LongRiddenShare} {
		*n = Round(*n, 3)
	}
	if r.NoUnmetKWh != nil {
		none := Round(*r.NoUnmetKWh, 3)
		o.NoUnmetKWh = &none
	}
	if r.SizeKWh != nil {
		size := Round(*r.SizeKWh, 3)
		o.SizeKWh = &size
		at := *r.Size
		point(&at)
		o.Size = &at
	}
	point(&o.Present)
	o.Curve = append([]sizing.Point{}, r.Curve...)
	for i := range o.Curve {
		point(&o.Curve[i])
	}
	file := BankFile{Result: &o, Why: whyObject(r.Why)}
	if s := r.Sure; s != nil {
		file.Sure = &BankSure{Draws: len(s.SizeKWh.Draws), SizeKWh: DoubtObject(s.SizeKWh, 2), Present: DoubtObject(s.Present, 0), AtSize: DoubtObject(s.AtSize, 0)}
		if s.LikelyKWh != nil {
			likely := Round(*s.LikelyKWh, 2)
			file.Sure.LikelyKWh = &likely
		}
	}
	if grid != nil {
		g := *grid
		g.PanelKW, g.CapacitiesKWh, g.UnmetMean = roundAll(g.PanelKW, 3), roundAll(g.CapacitiesKWh, 3), nil
		for _, row := range grid.UnmetMean {
			g.UnmetMean = append(g.UnmetMean, roundAll(row, 2))
		}
		file.Arrays = &g
	}
	return file
}

func roundAll(values []float64, decimals int) []float64 {
	rounded := make([]float64, len(values))
	for i, v := range values {
		rounded[i] = Round(v, decimals)
	}
	return rounded
}
