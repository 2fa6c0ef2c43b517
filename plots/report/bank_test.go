package report_test

import (
	"context"
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/scenario"
	"sunrill/sim/sizing"
	"sunrill/storage"
	"sunrill/weather"
)

// studied runs both studies on an invented homestead without a site.
func studied(t *testing.T, years int, hydro bool) (report.Bank, report.DryWinter) {
	r := weather.Record{Start: time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC)}
	for d := range 366 * years {
		mm := 0.0
		if d%5 < 2 && d%366 < 200 || d%17 == 0 {
			mm = 3 + float64(d*d%23)
		}
		r.RainMM = append(r.RainMM, mm)
	}
	worker := func() scenario.Worker {
		return func(r weather.Record, _ int) func(weather.Year) *sim.Input {
			return func(y weather.Year) *sim.Input {
				from, n := r.Index(y.Start), y.Hours()
				in := &sim.Input{Start: y.Start, Sources: sim.PanelsAndCreek(make([]float64, n), make([]float64, n)), DemandW: make([]float64, n), RainMM: r.RainMM[from : from+y.Days]}
				for h := range in.DemandW {
					in.DemandW[h] = 150
					if h%24 >= 9 && h%24 < 15 {
						in.W(sim.Panels)[h] = 700 / (1 + r.RainMM[from+h/24]/8)
					}
					in.W(sim.Creek)[h] = math.Min(100, 8*r.RainMM[from+h/24])
				}
				return in
			}
		}
	}
	ys := weather.WaterYears(r, time.October, 1)[:years]
	bank, ok := storage.Preset("flooded", 6000, 24)
	if !ok {
		t.Fatal("no preset for a flooded bank")
	}
	bus := sim.Bus{Bank: bank, DumpW: 500}
	winter, err := scenario.DryWinter(context.Background(), scenario.Homestead{Record: r, Years: ys, NewWorker: worker, Bus: bus, Hydro: hydro},
		scenario.Options{Synthetic: 20, Factors: []float64{0.5}, Weeks: []int{4}})
	if err != nil {
		t.Fatal(err)
	}
	under := worker()(r, 0)
	var ins []*sim.Input
	for _, y := range ys {
		ins = append(ins, under(y))
	}
	size, err := sizing.Study(context.Background(), sim.Held(ins), bus, sizing.Options{})
	if err != nil {
		t.Fatal(err)
	}
	factors, capacities := sizing.Around(size)
	grid, err := sizing.Arrays(context.Background(), sim.Held(ins), bus, 900, factors, capacities, nil)
	if err != nil {
		t.Fatal(err)
	}
	return report.Bank{Result: size, Grid: grid, PanelW: 900}, report.DryWinter{Result: winter, System: measure.Metric}
}

func TestBankAndDryWinterSections(t *testing.T) {
	size, winter := studied(t, 3, true)
	for _, c := range []struct {
		sec     report.Section
		figures int
		tables  int
		say     []string
	}{
		{size.Section(), 4, 2, []string{"In four of five of the 3 years your 6.00 kWh bank", "days of autonomy", "The deepest deficit of the record", "your bank lasts some"}},
		{winter.Section(), 2, 6, []string{"In the worst year on record (2003–04) you are short for", "with the creek at work; without it, the worst would be", "20 years were made up", "a rough guess from so few"}},
	} {
		text := strings.Join(c.sec.Text, "\n")
		for _, want := range c.say {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q:\n%s", c.sec.ID, want, text)
			}
		}
		if len(c.sec.Figures) != c.figures || len(c.sec.Tables) != c.tables {
			t.Errorf("%s: %d figures and %d tables", c.sec.ID, len(c.sec.Figures), len(c.sec.Tables))
		}
		for _, table := range c.sec.Tables {
			for _, row := range table.Rows {
				if len(row) != len(table.Head) {
					t.Errorf("%s: %q has %d cells under %d heads", c.sec.ID, row[0], len(row), len(table.Head))
				}
				if s := strings.Join(row, " "); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
					t.Errorf("%s: a number that is none in %q", c.sec.ID, s)
				}
			}
		}
		for _, f := range c.sec.Figures {
			if _, err := f.SVG(); err != nil {
				t.Error(err)
			}
		}
	}
}

// One year of record is called one year, and a house without hydro has no
// creek to put to work.
func TestSectionsOfOneYearWithoutHydro(t *testing.T) {
	size, winter := studied(t, 1, false)
	text := strings.Join(append(size.Section().Text, winter.Section().Text...), "\n")
	for _, want := range []string{"In the water year from 2001 your", "One year cannot tell", "how dry it gets cannot be known from one", "cannot be known from it"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sections do not say %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "the creek: ") || strings.Contains(text, "to work") {
		t.Errorf("a creek where there is none:\n%s", text)
	}
}

// Made-up years of which few or none leave the house short, a generator's
// hours, and the gauge's step in the site's units are said in words.
func TestDryWinterWordsForGoodNews(t *testing.T) {
	_, v := studied(t, 3, true)
	say := func(m scenario.Synthetic) string {
		fit := v.Result.Synthetic.Fit
		*v.Result.Synthetic = m
		v.Result.Synthetic.Fit = fit
		text := v.Verdict().Sentences
		return strings.Join(text, " ")
	}
	for want, m := range map[string]scenario.Synthetic{
		"In none of them is the house short.":                                                               {Years: 20},
		"In at least 19 of 20 the house is never short; the worst of them has 7 hours.":                     {Years: 100, Worst: 7},
		"In half of them the house is never short, in 1 of 20 for 3 hours or more; the worst of them has 7": {Years: 100, P95: 3, Worst: 7},
		"never short, in 1 of 5 for 1 hour or more, in 1 of 20 for 3 hours or more":                         {Years: 100, P80: 1, P95: 3, Worst: 7},
		"In half of them the house is short for 1 hour or less, in 1 of 5 for 2 hours or more, in 1 o":      {Years: 100, P50: 1, P80: 2, P95: 3, Worst: 7},
	} {
		if got := say(m); !strings.Contains(got, want) {
			t.Errorf("%+v: %q, want %q", m, got, want)
		}
	}
	all := &v.Result.Scenarios[len(v.Result.Scenarios)-1]
	all.With.GeneratorHours, all.Without.GeneratorHours = 24.2, 200.4
	if got, want := first(v.Verdict()), " The generator runs 24 hours a year, without the creek 200 hours."; !strings.HasSuffix(got, want) {
		t.Errorf("%q, want %q at its end", got, want)
	}
	v.System = measure.US
	if got, want := v.WetTable().Note, "A day is wet from 0.004 in of rain on."; !strings.Contains(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
