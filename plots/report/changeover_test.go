package report_test

import (
	"strings"
	"testing"
	"time"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/changeover"
	"sunrill/sim/measure"
)

// dryAndWet studies three years without a bank: the creek swells on day 25, 35
// or 45, the panels fail from day 50 on, and opening early stops the machine.
func dryAndWet(t *testing.T) report.Changeover {
	t.Helper()
	year := func(i int) *sim.Input {
		in := &sim.Input{Start: time.Date(2009+i, 10, 1, 0, 0, 0, 0, time.UTC), Sources: sim.PanelsAndCreek(make([]float64, 365*24), make([]float64, 365*24)),
			DemandW: make([]float64, 365*24), FlowM3S: make([]float64, 365), RainMM: make([]float64, 365), SunHours: make([]float64, 365)}
		for h := range in.DemandW {
			d := h / 24
			in.DemandW[h], in.FlowM3S[d] = 100, 0.0004
			if d < 50 || d > 150 {
				in.W(sim.Panels)[h] = 120
			}
			if swells := 25 + 10*i; d >= swells && d < 220 {
				in.W(sim.Creek)[h], in.FlowM3S[d] = 150, 0.0025
			}
			in.RainMM[d] = float64(d % 7)
			if h%(7*24) == 0 {
				in.VisitDay = append(in.VisitDay, d)
			}
		}
		in.DryStopHour = []int{24 * (25 + 10*i - 3)}
		return in
	}
	r, err := changeover.Study{Bus: sim.Bus{DumpW: 300}, Years: sim.Held([]*sim.Input{year(0), year(1), year(2)})}.Run(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	y, err := sim.Run(year(1), sim.Bus{DumpW: 300})
	if err != nil {
		t.Fatal(err)
	}
	return report.Changeover{Result: r, System: measure.Metric, Year: y, Closed: y, Pair: r.Best.Pair}
}

func TestChangeoverSection(t *testing.T) {
	v := dryAndWet(t)
	sec := v.Section()
	text := strings.Join(sec.Text, "\n")
	for _, want := range []string{"Open the valve on 20 November and close it on 1 March", "no hurry", "A rule to live by: open the valve on 16 November. Close it on 1 March.", "perfect foresight"} {
		if !strings.Contains(text, want) {
			t.Errorf("the section does not say %q:\n%s", want, text)
		}
	}
	if len(sec.Figures) != 3 || len(sec.Tables) != 3 {
		t.Errorf("%d figures and %d tables", len(sec.Figures), len(sec.Tables))
	}
	late := ""
	for _, row := range sec.Tables[1].Rows {
		if row[0] == "open a week late" {
			late = strings.Join(row[1:], " ")
		}
	}
	if late != "+168 +16.8 0 0" { // seven days without 100 W
		t.Errorf("opening a week late costs %q", late)
	}
	if n := len(sec.Tables[2].Rows); n != 3 {
		t.Errorf("%d years in the table", n)
	}
}

// In the report of a year no link leads to files that only the study writes.
func TestChangeoverOfAYearNamesNoFiles(t *testing.T) {
	v := dryAndWet(t)
	v.OfYear = true
	sec := v.Section()
	for _, f := range sec.Figures {
		if f.Data != "" {
			t.Errorf("%s links to %s", f.Name, f.Data)
		}
	}
	for _, table := range sec.Tables {
		if table.Data != "" {
			t.Errorf("%s links to %s", table.Caption, table.Data)
		}
	}
}

// Where dates do not matter there is no map of one colour, no chart and no
// table of dates, and the site's own dates are not praised.
func TestChangeoverSectionWhereNoDateMatters(t *testing.T) {
	v := dryAndWet(t)
	r := v.Result
	none := changeover.Choice{Valve: changeover.Shut, Outcome: r.Never}
	r.Best, r.Steady, r.Window, r.Costs, r.Rule = none, changeover.Steady{Choice: none}, nil, nil, nil
	for i := range r.Each {
		r.Each[i].Choice = none
	}
	v.Own, v.OwnDates = &r.Never, "from 5 November to 20 April"
	sec := v.Section()
	if len(sec.Figures) != 1 || sec.Figures[0].Name != "changeover-year" || len(sec.Tables) != 1 {
		t.Errorf("%d figures and %d tables, want the year and the ways", len(sec.Figures), len(sec.Tables))
	}
	if text := strings.Join(sec.Text, " "); !strings.Contains(text, "from 5 November to 20 April, do no harm, nor do they help") || strings.Contains(text, "rule") {
		t.Error(text)
	}

	v = dryAndWet(t)
	own := v.Result.Best.Outcome
	own.LowHours += 12
	v.Own, v.OwnDates = &own, "from 5 November to 20 April"
	if text := strings.Join(v.Section().Text, " "); !strings.Contains(text, "no longer than the best ones, but the bank lower than you want it (below the comfort charge) for 12 hours more.") {
		t.Error(text)
	}
	*v.Result.Rule = changeover.Rule{AllYear: true, Outcome: changeover.Outcome{DryPipeStops: 1.5}, Played: v.Result.Rule.Played}
	if text := strings.Join(v.Section().Text, " "); !strings.Contains(text, "stops by itself when the creek is low; the intake runs dry 1.5 times a year.") || !strings.Contains(text, "A rule to live by: leave the valve open all year: no rule") {
		t.Error(text)
	}
}
