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
		number("capacity_kwh", 3, func(p sizing.Point) float64 { return p.CapacityWh / 1000 }),
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
		number("depth_kwh", 3, func(s sizing.Spell) float64 { return s.DepthWh / 1000 }),
	})
}

func bankGrid(w io.Writer, g *sizing.Grid) error {
	columns := len(g.CapacitiesWh)
	number := func(name string, decimals int, of func(i, k int) float64) Column {
		return Column{name, func(dst []byte, row int) []byte {
			return appendNumber(dst, of(row/columns, row%columns), decimals)
		}}
	}
	return WriteTable(w, len(g.PanelFactors)*columns, []Column{
		number("panel_kw", 3, func(i, _ int) float64 { return g.PanelW[i] / 1000 }),
		number("panel_factor", 3, func(i, _ int) float64 { return g.PanelFactors[i] }),
		number("capacity_kwh", 3, func(_, k int) float64 { return g.CapacitiesWh[k] / 1000 }),
		number("unmet_hours_mean", 2, func(i, k int) float64 { return g.UnmetMean[i][k] }),
		number("unmet_hours_p80", 0, func(i, k int) float64 { return g.UnmetP80[i][k] }),
	})
}

// BankFile is the object of bank.json and of what bank prints with --json.
type BankFile struct {
	FirstYear          int         `json:"first_year"`
	LastYear           int         `json:"last_year"`
	Years              int         `json:"years"`
	PresentKWh         float64     `json:"present_kwh"`
	Present            bankPoint   `json:"present"`
	TargetHours        float64     `json:"target_hours"`
	SizeKWh            *float64    `json:"size_kwh"`
	Size               *bankPoint  `json:"size"`
	MinHours           float64     `json:"least_hours"`
	NothingGainedKWh   float64     `json:"nothing_gained_kwh"`
	SequentPeakKWh     float64     `json:"sequent_peak_kwh"`
	SequentPeakYear    int         `json:"sequent_peak_year"`
	NoUnmetKWh         *float64    `json:"no_unmet_kwh"`
	OpenYears          int         `json:"open_years"`
	AutonomyDays       float64     `json:"autonomy_days"`
	DailyKWh           float64     `json:"daily_kwh"`
	RuleOfThumbDays    float64     `json:"pencil_days"`
	RuleOfThumbKWh     float64     `json:"pencil_kwh"`
	UsableFraction     float64     `json:"usable_share"`
	RiddenFraction     float64     `json:"ridden_share"`
	LongSpells         int         `json:"long_spells"`
	LongRiddenFraction float64     `json:"long_ridden_share"`
	AgeYears           float64     `json:"age_years"`
	Curve              []bankPoint `json:"curve"`
	Why                *Why        `json:"why,omitempty"` // where no bank keeps to the target
	Sure               *BankSure   `json:"over_draws,omitempty"`
	Arrays             *bankArrays `json:"arrays,omitempty"`
}

type bankPoint struct {
	CapacityKWh float64   `json:"capacity_kwh"`
	UnmetMean   float64   `json:"unmet_hours_mean"`
	UnmetP80    float64   `json:"unmet_hours_p80"`
	UnmetWorst  float64   `json:"unmet_hours_worst"`
	P80Range    rangeFile `json:"unmet_hours_p80_range"`
	WorstRange  rangeFile `json:"unmet_hours_worst_range"`
	WorstYear   int       `json:"worst_year"`
	LifeYears   float64   `json:"life_years"`
	UseYears    float64   `json:"use_years"`
}

type bankArrays struct {
	PanelFactors  []float64   `json:"panel_factors"`
	PanelKW       []float64   `json:"panel_kw"`
	CapacitiesKWh []float64   `json:"capacities_kwh"`
	UnmetMean     [][]float64 `json:"unmet_hours_mean"`
	UnmetP80      [][]float64 `json:"unmet_hours_p80"`
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
	point := func(p sizing.Point) bankPoint {
		return bankPoint{
			CapacityKWh: kWh(p.CapacityWh), UnmetMean: Round(p.UnmetMean, 2), UnmetP80: p.UnmetP80, UnmetWorst: p.UnmetWorst,
			P80Range: rangeFile(p.P80Range), WorstRange: rangeFile(p.WorstRange), WorstYear: p.WorstYear, LifeYears: Round(p.LifeYears, 2), UseYears: Round(p.UseYears, 2),
		}
	}
	maybe := func(v *float64) *float64 {
		if v == nil {
			return nil
		}
		x := kWh(*v)
		return &x
	}
	o := BankFile{
		FirstYear: r.FirstYear, LastYear: r.LastYear, Years: r.Years,
		PresentKWh: kWh(r.PresentWh), Present: point(r.Present), TargetHours: r.TargetHours,
		SizeKWh: maybe(r.SizeWh), MinHours: r.MinHours, NothingGainedKWh: kWh(r.NothingGainedWh),
		SequentPeakKWh: kWh(r.SequentPeakWh), SequentPeakYear: r.SequentPeakYear, NoUnmetKWh: maybe(r.NoUnmetWh), OpenYears: r.OpenYears,
		AutonomyDays: Round(r.AutonomyDays, 3), DailyKWh: kWh(r.DailyWh), RuleOfThumbDays: r.RuleOfThumbDays, RuleOfThumbKWh: kWh(r.RuleOfThumbWh),
		UsableFraction: Round(r.UsableFraction, 3), RiddenFraction: Round(r.RiddenFraction, 3), LongSpells: r.LongSpells, LongRiddenFraction: Round(r.LongRiddenFraction, 3),
		AgeYears: r.AgeYears, Curve: []bankPoint{}, Why: whyObject(r.Why),
	}
	if r.Size != nil {
		at := point(*r.Size)
		o.Size = &at
	}
	for _, p := range r.Curve {
		o.Curve = append(o.Curve, point(p))
	}
	if s := r.Sure; s != nil {
		o.Sure = &BankSure{Draws: len(s.SizeWh.Draws), SizeKWh: DoubtObject(s.SizeWh.Times(1e-3), 2), Present: DoubtObject(s.Present, 0), AtSize: DoubtObject(s.AtSize, 0)}
		if s.LikelyWh != nil {
			likely := Round(*s.LikelyWh/1000, 2)
			o.Sure.LikelyKWh = &likely
		}
	}
	if g := grid; g != nil {
		o.Arrays = &bankArrays{PanelFactors: g.PanelFactors, PanelKW: kWhs(g.PanelW), CapacitiesKWh: kWhs(g.CapacitiesWh), UnmetP80: g.UnmetP80}
		for _, row := range g.UnmetMean {
			o.Arrays.UnmetMean = append(o.Arrays.UnmetMean, roundAll(row, 2))
		}
	}
	return o
}

// kWh turns Wh into kWh, or W into kW, as files hold them.
func kWh(wh float64) float64 { return Round(wh/1000, 3) }

func kWhs(wh []float64) []float64 {
	out := make([]float64, len(wh))
	for i, v := range wh {
		out[i] = kWh(v)
	}
	return out
}

func roundAll(values []float64, decimals int) []float64 {
	rounded := make([]float64, len(values))
	for i, v := range values {
		rounded[i] = Round(v, decimals)
	}
	return rounded
}
