package record

import (
	"io"
	"strconv"

	"sunrill/sim"
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
		number("deepest_deficit_kwh", 3, func(l line) float64 { return l.o.DeepestDeficitKWh }),
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
	MadeUp    *winterMadeUp    `json:"made_up"` // nil where no year could be made up
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
	P80Range          sim.Range `json:"unmet_hours_p80_range"`
	WorstRange        sim.Range `json:"unmet_hours_worst_range"`
	UnmetMean         float64   `json:"unmet_hours_mean"`
	DeepestDeficitKWh float64   `json:"deepest_deficit_kwh"`
	GeneratorHours    float64   `json:"generator_hours"`
	FuelL             float64   `json:"fuel_l"`
}

type winterMadeUp struct {
	Years      int                `json:"years"`
	Seed       uint64             `json:"seed"`
	P50        float64            `json:"p50"`
	P80        float64            `json:"p80"`
	P95        float64            `json:"p95"`
	Worst      float64            `json:"worst"`
	WorstRange sim.Range          `json:"worst_range"`
	RainMM     float64            `json:"rain_mm"`
	Fit        *weather.FitReport `json:"fit"`
	Beside     []winterBeside     `json:"beside_record"`
}

type winterBeside struct {
	Figure scenario.Figure `json:"figure"`
	Hydro  bool            `json:"hydro"`
	Record float64         `json:"record"`
	MadeUp float64         `json:"made_up"`
	Low    float64         `json:"low"`
	High   float64         `json:"high"`
}

// DryWinterObject returns the object with its numbers rounded.
func DryWinterObject(r *scenario.Result) DryWinterFile {
	o := DryWinterFile{Record: winterRecord(r.Record), Scenarios: []winterScenario{}, Notes: r.Notes}
	for _, n := range []*float64{&o.Record.RainMM, &o.Record.DriestMM, &o.Record.WettestMM} {
		*n = Round(*n, 1)
	}
	outcome := func(v scenario.Outcome) winterOutcome {
		v.UnmetMean, v.DeepestDeficitKWh = Round(v.UnmetMean, 2), Round(v.DeepestDeficitKWh, 3)
		v.GeneratorHours, v.FuelL = Round(v.GeneratorHours, 2), Round(v.FuelL, 2)
		return winterOutcome(v)
	}
	for _, s := range r.Scenarios {
		w := winterScenario{Name: s.Name, RainFactor: s.RainFactor, OnsetWeeks: s.OnsetWeeks, Years: s.Years, Without: outcome(s.Without)}
		if s.With != nil {
			with := outcome(*s.With)
			w.With = &with
		}
		o.Scenarios = append(o.Scenarios, w)
	}
	if m := r.MadeUp; m != nil {
		o.MadeUp = &winterMadeUp{
			Years: m.Years, Seed: m.Seed, P50: m.P50, P80: m.P80, P95: m.P95, Worst: m.Worst, WorstRange: m.WorstRange,
			RainMM: Round(m.RainMM, 1), Fit: roundedFit(m.Fit), Beside: []winterBeside{},
		}
		for _, b := range m.Beside {
			b.Record, b.MadeUp, b.Low, b.High = Round(b.Record, 2), Round(b.MadeUp, 2), Round(b.Low, 2), Round(b.High, 2)
			o.MadeUp.Beside = append(o.MadeUp.Beside, winterBeside(b))
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

// roundedFit returns a copy of how well made-up years match the record, with
// few digits.
func roundedFit(f *weather.FitReport) *weather.FitReport {
	fit := *f
	round := func(decimals int, cs ...*weather.Compared) {
		for _, c := range cs {
			*c = weather.Compared{Record: Round(c.Record, decimals), Bare: Round(c.Bare, decimals), MadeUp: Round(c.MadeUp, decimals)}
		}
	}
	for i := range fit.Months {
		m := &fit.Months[i]
		round(3, &m.WetShare, &m.WetSpellD, &m.RainMM, &m.SpreadMM, &m.TempC)
	}
	for i := range fit.Seasons {
		s := &fit.Seasons[i]
		round(2, &s.RainMM, &s.SpreadMM, &s.WetDays, &s.WetDaySD)
	}
	return &fit
}
