package record

import (
	"io"
	"strings"

	"sunrill/sim/plans"
)

// Improve writes what trying single changes told: improve.csv with a row a
// change, and improve.json.
func Improve(f *Folder, r *plans.Result) error {
	o := ImproveObject(r)
	if err := f.Write("improve.json", func(w io.Writer) error { return WriteJSON(w, o) }); err != nil {
		return err
	}
	return f.Write("improve.csv", func(w io.Writer) error { return writeGains(w, o) })
}

// ImproveFile is the object of improve.json, and of what improve prints with
// --json.
type ImproveFile struct {
	Years   int            `json:"years"`
	Draws   int            `json:"draws"`
	Now     ImproveFigures `json:"now"`
	Again   againFile      `json:"now_ranges"`
	Steps   []ImproveGain  `json:"next_steps"`
	Changes []ImproveGain  `json:"changes"`
}

// againFile is where one in five and the worst come out in 8 of 10 sets of as many
// years, drawn again from all that was run.
type againFile struct {
	P80   rangeFile `json:"unmet_hours_1_in_5"`
	Worst rangeFile `json:"unmet_hours_worst"`
}

func againOf(a plans.Again) againFile { return againFile{rangeFile(a.P80), rangeFile(a.Worst)} }

// ImproveFigures are the dark hours of the years, and what goes with them.
type ImproveFigures struct {
	UnmetMean   float64 `json:"unmet_hours_mean"`
	UnmetMiddle float64 `json:"unmet_hours_middling"`
	UnmetP80    float64 `json:"unmet_hours_1_in_5"`
	UnmetWorst  float64 `json:"unmet_hours_worst"`
	DarkYears   int     `json:"years_with_unmet_hours"`
	FuelL       float64 `json:"fuel_l_a_year"`
	Stops       float64 `json:"dry_pipe_stops_a_year"`
	Walks       float64 `json:"walks_a_year"`
	LowHours    float64 `json:"hours_below_comfort_a_year"`
}

// ImproveGain is one change that was tried. Savings are those of a mean year.
type ImproveGain struct {
	Change     string   `json:"change"`
	Kind       string   `json:"kind"` // better, without, less, engine
	Set        []string `json:"set"`  // as --set takes it
	Effort     string   `json:"effort"`
	SavedH     float64  `json:"unmet_hours_saved"`
	SavedLow   float64  `json:"unmet_hours_saved_low"` // 8 in 10 draws lie between
	SavedHigh  float64  `json:"unmet_hours_saved_high"`
	HelpsIn    int      `json:"draws_in_which_it_helps"`
	WorstH     float64  `json:"unmet_hours_saved_in_the_worst_year"`
	FuelL      float64  `json:"fuel_saved_l"`
	Stops      float64  `json:"dry_pipe_stops_saved"`
	Capital    *float64 `json:"to_buy"`
	CostAYear  *float64 `json:"cost_a_year"`
	CostAnHour *float64 `json:"cost_for_an_hour_saved"`
	ImproveFigures
}

// ImproveObject rounds a result for its files.
func ImproveObject(r *plans.Result) ImproveFile {
	o := ImproveFile{Years: r.Years, Draws: r.Draws, Now: improveFigures(r.Now), Again: againOf(r.Again), Steps: []ImproveGain{}, Changes: []ImproveGain{}}
	for _, s := range r.Steps {
		o.Steps = append(o.Steps, improveGain(s.Gain))
	}
	for _, gs := range [][]plans.Gain{r.Better, r.Engine, r.Without, r.Less} {
		for _, g := range gs {
			o.Changes = append(o.Changes, improveGain(g))
		}
	}
	return o
}

func improveFigures(f plans.Figures) ImproveFigures {
	return ImproveFigures{Round(f.UnmetMean, 2), Round(f.UnmetMiddle, 0), Round(f.UnmetP80, 0), Round(f.UnmetWorst, 0), f.DarkYears, Round(f.FuelL, 1), Round(f.Stops, 2), Round(f.Walks, 1), Round(f.Low, 1)}
}

func improveGain(g plans.Gain) ImproveGain {
	o := ImproveGain{
		Change: g.Name, Kind: g.Kind.String(), Effort: g.Effort.String(), Set: []string{},
		SavedH: Round(g.SavedH, 2), SavedLow: Round(g.SavedLow, 2), SavedHigh: Round(g.SavedHigh, 2), HelpsIn: g.HelpsIn, WorstH: Round(g.WorstSavedH, 0), FuelL: Round(g.FuelSavedL, 1), Stops: Round(g.StopsSaved, 2),
		Capital: rounded(g.Capital, 2), CostAYear: rounded(g.CostAYear, 2), CostAnHour: rounded(g.CostAnHour, 2), ImproveFigures: improveFigures(g.Figures),
	}
	for _, s := range g.Set {
		o.Set = append(o.Set, s.Key+"="+s.Value)
	}
	return o
}

func writeGains(w io.Writer, o ImproveFile) error {
	rows := o.Changes
	text := func(name string, of func(ImproveGain) string) Column {
		texts := make([]string, len(rows))
		for i, g := range rows {
			texts[i] = of(g)
		}
		return Texts(name, texts)
	}
	number := func(name string, decimals int, of func(ImproveGain) float64) Column {
		return Column{name, func(dst []byte, row int) []byte { return appendNumber(dst, of(rows[row]), decimals) }}
	}
	money := func(name string, of func(ImproveGain) *float64) Column {
		return Column{name, func(dst []byte, row int) []byte {
			if v := of(rows[row]); v != nil {
				return appendNumber(dst, *v, 2)
			}
			return dst
		}}
	}
	return WriteTable(w, len(rows), []Column{
		text("change", func(g ImproveGain) string { return g.Change }),
		text("kind", func(g ImproveGain) string { return g.Kind }),
		text("effort", func(g ImproveGain) string { return g.Effort }),
		number("unmet_hours_saved", 2, func(g ImproveGain) float64 { return g.SavedH }),
		number("unmet_hours_saved_low", 2, func(g ImproveGain) float64 { return g.SavedLow }),
		number("unmet_hours_saved_high", 2, func(g ImproveGain) float64 { return g.SavedHigh }),
		number("unmet_hours_saved_worst_year", 0, func(g ImproveGain) float64 { return g.WorstH }),
		number("unmet_hours_mean", 2, func(g ImproveGain) float64 { return g.UnmetMean }),
		number("unmet_hours_1_in_5", 0, func(g ImproveGain) float64 { return g.UnmetP80 }),
		number("fuel_saved_l", 1, func(g ImproveGain) float64 { return g.FuelL }),
		number("walks", 1, func(g ImproveGain) float64 { return g.Walks }),
		number("dry_pipe_stops_saved", 2, func(g ImproveGain) float64 { return g.Stops }),
		money("to_buy", func(g ImproveGain) *float64 { return g.Capital }),
		money("cost_a_year", func(g ImproveGain) *float64 { return g.CostAYear }),
		money("cost_for_an_hour_saved", func(g ImproveGain) *float64 { return g.CostAnHour }),
		text("set", func(g ImproveGain) string { return strings.Join(g.Set, "; ") }),
	})
}
