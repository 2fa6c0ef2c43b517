package record

import (
	"io"
	"strconv"
	"time"

	"sunrill/sim/scenario"
	"sunrill/weather"
)

// DryWinter writes the files of a study of dry winters: drywinter.csv, a row a
// scenario with and one without hydro, and drywinter.json.
func DryWinter(f *Folder, r *scenario.Result) error {
	if err := f.Write("drywinter.csv", func(w io.Writer) error { return winterRows(w, r) }); err != nil {
		return err
	}
	return f.Write("drywinter.json", func(w io.Writer) error { return WriteJSON(w, DryWinterObject(r)) })
}

func winterRows(w io.Writer, r *scenario.Result) error {
	type line struct {
		s     *scenario.Scenario
		o     *scenario.Outcome
		hydro string
	}
	var lines []line
	for i := range r.Scenarios {
		s := &r.Scenarios[i]
		if s.With != nil {
			lines = append(lines, line{s, s.With, "yes"})
		}
		lines = append(lines, line{s, &s.Without, "no"})
	}
	number := func(name string, decimals int, of func(line) float64) Column {
		return Column{name, func(dst []byte, row int) []byte { return appendNumber(dst, of(lines[row]), decimals) }}
	}
	return WriteTable(w, len(lines), []Column{
		{"scenario", func(dst []byte, row int) []byte { return append(dst, quote(lines[row].s.Name)...) }},
		number("rain_factor", 2, func(l line) float64 { return l.s.RainFactor }),
		number("onset_weeks", 0, func(l line) float64 { return float64(l.s.OnsetWeeks) }),
		{"years", func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(lines[row].s.Years), 10) }},
		{"hydro", func(dst []byte, row int) []byte { return append(dst, lines[row].hydro...) }},
		number("unmet_hours_mean", 2, func(l line) float64 { return l.o.UnmetMean }),
		number("unmet_hours_p50", 0, func(l line) float64 { return l.o.UnmetP50 }),
		number("unmet_hours_p80", 0, func(l line) float64 { return l.o.UnmetP80 }),
		number("unmet_hours_p95", 0, func(l line) float64 { return l.o.UnmetP95 }),
		number("unmet_hours_worst", 0, func(l line) float64 { return l.o.UnmetWorst }),
		number("deepest_deficit_kwh", 3, func(l line) float64 { return l.o.DeepestDeficitWh / 1000 }),
		number("generator_hours", 2, func(l line) float64 { return l.o.GeneratorHours }),
		number("fuel_l", 2, func(l line) float64 { return l.o.FuelL }),
		number("unmet_hours_p80_low", 0, func(l line) float64 { return l.o.P80Range.Low }),
		number("unmet_hours_p80_high", 0, func(l line) float64 { return l.o.P80Range.High }),
		number("unmet_hours_worst_low", 0, func(l line) float64 { return l.o.WorstRange.Low }),
		number("unmet_hours_worst_high", 0, func(l line) float64 { return l.o.WorstRange.High }),
	})
}

// DryWinterFile is the object of drywinter.json and of what drywinter prints with
// --json.
type DryWinterFile struct {
	Record    winterRecord     `json:"record"`
	Scenarios []winterScenario `json:"scenarios"`
	Synthetic *winterSynthetic `json:"made_up"` // nil where no year could be made up
	Notes     []string         `json:"notes,omitempty"`
	Sure      []WinterSure     `json:"over_draws,omitempty"`
}

type winterRecord struct {
	FirstYear   int     `json:"first_year"`
	LastYear    int     `json:"last_year"`
	Years       int     `json:"years"`
	Chosen      bool    `json:"chosen"`
	RainMM      float64 `json:"rain_mm"`
	WorstYear   int     `json:"worst_year"`
	DriestYear  int     `json:"driest_year"`
	DriestMM    float64 `json:"driest_mm"`
	WettestYear int     `json:"wettest_year"`
	WettestMM   float64 `json:"wettest_mm"`
}

type winterScenario struct {
	Name       string         `json:"name"`
	RainFactor float64        `json:"rain_factor"`
	OnsetWeeks int            `json:"onset_weeks"`
	Years      int            `json:"years"`
	With       *winterOutcome `json:"with_hydro"` // nil: the site has no hydro
	Without    winterOutcome  `json:"without_hydro"`
}

type winterOutcome struct {
	UnmetP50          float64   `json:"unmet_hours_p50"`
	UnmetP80          float64   `json:"unmet_hours_p80"`
	UnmetP95          float64   `json:"unmet_hours_p95"`
	UnmetWorst        float64   `json:"unmet_hours_worst"`
	P80Range          rangeFile `json:"unmet_hours_p80_range"`
	WorstRange        rangeFile `json:"unmet_hours_worst_range"`
	UnmetMean         float64   `json:"unmet_hours_mean"`
	DeepestDeficitKWh float64   `json:"deepest_deficit_kwh"`
	GeneratorHours    float64   `json:"generator_hours"`
	FuelL             float64   `json:"fuel_l"`
}

type winterSynthetic struct {
	Years      int            `json:"years"`
	Seed       uint64         `json:"seed"`
	P50        float64        `json:"p50"`
	P80        float64        `json:"p80"`
	P95        float64        `json:"p95"`
	Worst      float64        `json:"worst"`
	WorstRange rangeFile      `json:"worst_range"`
	RainMM     float64        `json:"rain_mm"`
	Fit        fitReport      `json:"fit"`
	Beside     []winterBeside `json:"beside_record"`
}

type winterBeside struct {
	Figure    string  `json:"figure"`
	Hydro     bool    `json:"hydro"`
	Record    float64 `json:"record"`
	Synthetic float64 `json:"made_up"`
	Low       float64 `json:"low"`
	High      float64 `json:"high"`
}

// figures are the names of what is laid beside the record, and in what each is
// written.
var figures = map[scenario.Figure]struct {
	name string
	unit float64
}{
	scenario.MeanUnmet: {"unmet_hours_mean", 1}, scenario.UnmetOneIn5: {"unmet_hours_p80", 1},
	scenario.DeepestDeficit: {"deepest_deficit_kwh", 1000}, scenario.LowDays: {"days_below_smallest_set", 1},
}

// DryWinterObject returns the object with its numbers rounded.
func DryWinterObject(r *scenario.Result) DryWinterFile {
	o := DryWinterFile{Record: winterRecord(r.Record), Scenarios: []winterScenario{}, Notes: r.Notes}
	for _, n := range []*float64{&o.Record.RainMM, &o.Record.DriestMM, &o.Record.WettestMM} {
		*n = Round(*n, 1)
	}
	outcome := func(v scenario.Outcome) winterOutcome {
		return winterOutcome{
			UnmetP50: v.UnmetP50, UnmetP80: v.UnmetP80, UnmetP95: v.UnmetP95, UnmetWorst: v.UnmetWorst,
			P80Range: rangeFile(v.P80Range), WorstRange: rangeFile(v.WorstRange), UnmetMean: Round(v.UnmetMean, 2),
			DeepestDeficitKWh: kWh(v.DeepestDeficitWh), GeneratorHours: Round(v.GeneratorHours, 2), FuelL: Round(v.FuelL, 2),
		}
	}
	for _, s := range r.Scenarios {
		w := winterScenario{Name: s.Name, RainFactor: s.RainFactor, OnsetWeeks: s.OnsetWeeks, Years: s.Years, Without: outcome(s.Without)}
		if s.With != nil {
			with := outcome(*s.With)
			w.With = &with
		}
		o.Scenarios = append(o.Scenarios, w)
	}
	if m := r.Synthetic; m != nil {
		o.Synthetic = &winterSynthetic{
			Years: m.Years, Seed: m.Seed, P50: m.P50, P80: m.P80, P95: m.P95, Worst: m.Worst, WorstRange: rangeFile(m.WorstRange),
			RainMM: Round(m.RainMM, 1), Fit: fitObject(m.Fit), Beside: []winterBeside{},
		}
		for _, b := range m.Beside {
			unit := figures[b.Figure].unit
			o.Synthetic.Beside = append(o.Synthetic.Beside, winterBeside{
				Figure: figures[b.Figure].name, Hydro: b.Hydro, Record: Round(b.Record/unit, 2), Synthetic: Round(b.Synthetic/unit, 2), Low: Round(b.Low/unit, 2), High: Round(b.High/unit, 2),
			})
		}
	}
	for i := range r.Scenarios {
		sc := &r.Scenarios[i]
		u := sc.Sure
		if u == nil {
			continue
		}
		w := WinterSure{Scenario: sc.Name, Draws: u.Draws, OneInFive: DoubtObject(u.OneInFiveWithout, 0), Worst: DoubtObject(u.WorstWithout, 0)}
		if sc.With != nil {
			with, worst := DoubtObject(u.OneInFive, 0), DoubtObject(u.Worst, 0)
			w.WithOneInFive, w.WithWorst, w.Helps = &with, &worst, &u.Helps
		}
		o.Sure = append(o.Sure, w)
	}
	return o
}

// WinterSure is how sure a scenario's unmet hours are, over draws.
type WinterSure struct {
	Scenario      string     `json:"scenario"`
	Draws         int        `json:"draws"`
	WithOneInFive *DoubtFile `json:"with_hydro_unmet_hours_p80,omitempty"`
	WithWorst     *DoubtFile `json:"with_hydro_unmet_hours_worst,omitempty"`
	OneInFive     DoubtFile  `json:"without_hydro_unmet_hours_p80"`
	Worst         DoubtFile  `json:"without_hydro_unmet_hours_worst"`
	Helps         *int       `json:"hydro_halves_in_draws,omitempty"`
}

// fitReport is how well made-up years match the record.
type fitReport struct {
	Years   int          `json:"years"`
	Months  [12]monthFit `json:"months"`
	Seasons [2]seasonFit `json:"seasons"`
	Notes   []string     `json:"notes,omitempty"`
}

type compared struct {
	Record    float64 `json:"record"`
	Bare      float64 `json:"bare"`
	Synthetic float64 `json:"made_up"`
}

type monthFit struct {
	Month       time.Month `json:"month"`
	WetFraction compared   `json:"wet_share"`
	WetSpellD   compared   `json:"wet_spell_days"`
	RainMM      compared   `json:"rain_mm"`
	StdDevMM    compared   `json:"rain_spread_mm"`
	TempC       compared   `json:"temp_c"`
}

type seasonFit struct {
	Wet      bool     `json:"wet_half"`
	RainMM   compared `json:"rain_mm"`
	StdDevMM compared `json:"rain_spread_mm"`
	WetDays  compared `json:"wet_days"`
	WetDaySD compared `json:"wet_days_spread"`
}

func fitObject(f *weather.FitReport) fitReport {
	o := fitReport{Years: f.Years, Notes: f.Notes}
	round := func(c weather.Compared, decimals int) compared {
		return compared{Round(c.Record, decimals), Round(c.Bare, decimals), Round(c.Synthetic, decimals)}
	}
	for i, m := range f.Months {
		o.Months[i] = monthFit{m.Month, round(m.WetFraction, 3), round(m.WetSpellD, 3), round(m.RainMM, 3), round(m.StdDevMM, 3), round(m.TempC, 3)}
	}
	for i, s := range f.Seasons {
		o.Seasons[i] = seasonFit{s.Wet, round(s.RainMM, 2), round(s.StdDevMM, 2), round(s.WetDays, 2), round(s.WetDaySD, 2)}
	}
	return o
}
