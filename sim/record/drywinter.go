package record

import (
	"io"
	"strconv"

	"sunrill/sim/scenario"
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

// DryWinterObject is the object of drywinter.json and of what drywinter prints
// with --json: the result with its numbers rounded.
func DryWinterObject(r *scenario.Result) DryWinterFile {
	o := *r
	for _, n := range []*float64{&o.Record.RainMM, &o.Record.DriestMM, &o.Record.WettestMM} {
		*n = Round(*n, 1)
	}
	outcome := func(v scenario.Outcome) scenario.Outcome {
		v.UnmetMean, v.DeepestDeficitKWh = Round(v.UnmetMean, 2), Round(v.DeepestDeficitKWh, 3)
		v.GeneratorHours, v.FuelL = Round(v.GeneratorHours, 2), Round(v.FuelL, 2)
		return v
	}
	o.Scenarios = append([]scenario.Scenario{}, r.Scenarios...)
	for i := range o.Scenarios {
		s := &o.Scenarios[i]
		s.Without = outcome(s.Without)
		if s.With != nil {
			with := outcome(*s.With)
			s.With = &with
		}
	}
	if r.MadeUp != nil {
		m := *r.MadeUp
		m.RainMM = Round(m.RainMM, 1)
		fit := *m.Fit
		for i := range fit.Months {
			f := &fit.Months[i]
			for _, n := range []*float64{
				&f.WetShare.Record, &f.WetShare.Bare, &f.WetShare.MadeUp, &f.WetSpellD.Record, &f.WetSpellD.Bare, &f.WetSpellD.MadeUp,
				&f.RainMM.Record, &f.RainMM.Bare, &f.RainMM.MadeUp, &f.SpreadMM.Record, &f.SpreadMM.Bare, &f.SpreadMM.MadeUp,
				&f.TempC.Record, &f.TempC.Bare, &f.TempC.MadeUp,
			} {
				*n = Round(*n, 3)
			}
		}
		for i := range fit.Seasons {
			s := &fit.Seasons[i]
			for _, n := range []*float64{
				&s.RainMM.Record, &s.RainMM.Bare, &s.RainMM.MadeUp, &s.SpreadMM.Record, &s.SpreadMM.Bare, &s.SpreadMM.MadeUp,
				&s.WetDays.Record, &s.WetDays.Bare, &s.WetDays.MadeUp, &s.WetDaySD.Record, &s.WetDaySD.Bare, &s.WetDaySD.MadeUp,
			} {
				*n = Round(*n, 2)
			}
		}
		m.Fit = &fit
		m.Beside = append([]scenario.Beside{}, m.Beside...)
		for i := range m.Beside {
			b := &m.Beside[i]
			b.Record, b.MadeUp, b.Low, b.High = Round(b.Record, 2), Round(b.MadeUp, 2), Round(b.Low, 2), Round(b.High, 2)
		}
		o.MadeUp = &m
	}
	file := DryWinterFile{Result: &o}
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
		file.Sure = append(file.Sure, w)
	}
	return file
}

// DryWinterFile is the object of drywinter.json.
type DryWinterFile struct {
	*scenario.Result
	Sure []WinterSure `json:"over_draws,omitempty"`
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
