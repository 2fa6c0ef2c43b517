package report_test

import (
	"math"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

// mixes are ways with two mixes: with the creek for 1,500 a year, without it for
// 1,700.
func mixes() *worth.Result {
	r := ways()
	way := func(cost float64) *worth.Alternative {
		return &worth.Alternative{Found: true, PanelW: 4000, BankWh: 14_000, CostAYear: &cost, Capital: &cost}
	}
	with, without := way(1500), way(1700)
	with.Hydro, with.Waterway = true, &worth.Waterway{Pipe: "50 mm SDR 11", BoreM: 0.0409, BoreRatio: 0.8, NozzlesM: []float64{0.005, 0.0075}}
	without.PanelW, without.Generator, without.FuelL = 5600, true, 121
	r.Creek = worth.Creek{Month: 12, FlowM3S: 0.0037}
	r.Mixes = &worth.Mixes{
		Target: worth.Target{UnmetHours: 20, FuelL: math.Inf(1), Told: true}, Tried: 6272, Run: 113, With: with, Without: without,
		Grid:      worth.Grid{PanelsW: []float64{4000, 5600}, BanksWh: []float64{14000}},
		Waterways: []worth.Waterway{{BoreM: 0.052, BoreRatio: 1, NozzlesM: []float64{0.005}}, *with.Waterway},
		WithLine:  []worth.MixPoint{{UnmetHours: 20, Alternative: with}}, WithoutLine: []worth.MixPoint{{UnmetHours: 20, Alternative: without}},
	}
	r.Turns = []worth.TurningPoint{
		{Name: worth.WaterOfCreek, Given: 0.0037, TurnsAt: 0.0022, Factor: 0.6}, {Name: worth.FuelPrice, Given: 2, TurnsAt: 0.9, Factor: 0.45},
		{Name: worth.DiscountRate, Given: 0.04, TurnsAt: 0.1, Factor: 2.5}, {Name: worth.HeadOfPipe, Given: 44, TurnsAt: 12, Factor: 0.27},
	}
	return r
}

// The first sentence names the cheapest mix with all its parts, the rival and
// what it costs more; then how sure, and what turns it.
func TestVerdictOfMixes(t *testing.T) {
	r := mixes()
	said := func(v report.Worth) string { text := v.Verdict().Sentences; return strings.Join(text, "\n") }
	text, bad := both((report.Worth{Result: r}).Verdict())
	if want := "Hydro is worth it for at most 20 unmet hours in the one-in-five year and in a mean one: the cheapest mix is 4.0 kW of panels, a bank of 14.0 kWh and the creek through a pipe of 40.9 mm with nozzles of 5 and 7.5 mm, for 1,500 EUR a year; the cheapest without the creek, 5.6 kW of panels, a bank of 14.0 kWh and a generator (121 L of fuel), costs 200 EUR a year more."; text[0] != want || bad {
		t.Errorf("%v: %s\nwant %s", bad, text[0], want)
	}
	all := strings.Join(text, "\n")
	for _, want := range []string{
		"Nothing within 20 % of what you gave turns this alone", "water of the creek (mean of December) at 2.20 L/s (now 3.70 L/s)", "fuel, per L at 0.900 EUR (now 2.00 EUR)",
		"discount rate at 10 % a year (now 4.0 % a year)", "head at 12.0 m (now 44.0 m)", "6,272 mixes were weighed: 2 sizes of panels from 4.0 to 5.6 kW",
		"through 2 pipes from 40.9 mm to 52 mm", "Not given and so counted as nothing: digging, per m", "not looked at for pressure, surge or speed",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q in\n%s", want, all)
		}
	}
	if strings.Contains(all, "was not told") || strings.Contains(all, "invented") {
		t.Errorf("a target that was told: %s", all)
	}
	us := said(report.Worth{Result: r, System: measure.US})
	for _, want := range []string{"fuel, per gal at 3.41 EUR (now 7.57 EUR)", "head at 39", "a pipe of 1.61 in"} { // 1 gal is 3.785411784 L, 1 ft 0.3048 m
		if !strings.Contains(us, want) {
			t.Errorf("in US units nothing says %q in\n%s", want, us)
		}
	}

	r.Mixes.Target = worth.Target{UnmetHours: 1, FuelL: 0}
	r.Worth, *r.Mixes.With.CostAYear = false, 1800
	r.Valve = worth.Valve{Best: true, Open: &worth.Date{Month: 10, Day: 11}, Close: &worth.Date{Month: 3, Day: 21}, OwnUnmetHours: 60, UnmetHours: 46}
	r.Turns = []worth.TurningPoint{{Name: "turbine", Given: 2400, TurnsAt: 2100, Factor: 0.875}}
	v := report.Worth{Result: r, Invented: true}
	all = said(v)
	for _, want := range []string{
		"Hydro is not in the cheapest mix for at most 1 unmet hour in the one-in-five year and in a mean one, and no fuel: that is 5.6 kW", "costs 100 EUR a year more",
		"one of these alone turns it, every mix weighed again: turbine at 2,100 EUR (now 2,400 EUR).", "was not told", "prices of this site are invented",
		"the valve open from 11 October to 21 March, not by your own: they leave 46 unmet hours in a mean year, your own 60",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("nothing says %q in\n%s", want, all)
		}
	}
	r.Mixes.Without, r.Turns = nil, nil
	if all = said(v); !strings.Contains(all, "nothing without the creek that was tried keeps to") || !strings.Contains(all, "Nothing alone turns this") {
		t.Error(all)
	}
	r.Mixes.With = nil
	if all = said(v); !strings.HasPrefix(all, "Nothing that was tried keeps to at most 1 unmet hour") {
		t.Error(all)
	}
}

// How sure: in how many draws, by how much, and where only one side has a mix.
func TestSureOfMixes(t *testing.T) {
	r := mixes()
	saved := sim.Doubt{Middle: 200, Draws: []float64{-300, -20, 50, 100, 150, 200, 250, 300, math.Inf(1), math.Inf(-1)}}
	r.Sure = &worth.Sure{Draws: 10, With: sim.Doubt{Draws: make([]float64, 10)}, Without: sim.Doubt{Draws: make([]float64, 10)},
		Mixes: &worth.SureMixes{Worth: 7, Saved: saved}}
	text, bad := both((report.Worth{Result: r}).Verdict())
	// Draws that are not of one mind leave it open, whatever the middle values say.
	if want := "Whether hydro is worth it for at most 20 unmet hours in the one-in-five year and in a mean one: open (7 of 10). By the middle values the cheapest mix is 4.0 kW"; !strings.HasPrefix(text[0], want) || !bad {
		t.Errorf("%v: %s", bad, text[0])
	}
	for worthIn, begins := range map[int]string{8: "Hydro is worth it for at most", 1: "Whether hydro is worth it for at most 20 unmet hours in the one-in-five year and in a mean one: unlikely (1 of 10). By the middle"} {
		other := *r.Sure
		other.Mixes = &worth.SureMixes{Worth: worthIn, Saved: saved}
		of := *r
		of.Sure = &other
		if got, bad := both((report.Worth{Result: &of}).Verdict()); !strings.HasPrefix(got[0], begins) || bad != (worthIn == 1) {
			t.Errorf("%d of 10: %v: %s", worthIn, bad, got[0])
		}
	}
	for _, want := range []string{"the creek is in the cheapest mix: open (7 of 10)", "in 8 of 10 between 300 EUR dearer and 300 EUR cheaper", "In 1 of the draws nothing without", "In 1 of the draws nothing with the creek"} {
		if !strings.Contains(text[1], want) {
			t.Errorf("nothing says %q in %s", want, text[1])
		}
	}
}

// The chapter with mixes has their chart and their table, the mixes with their
// pipe and nozzles.
func TestChapterOfMixes(t *testing.T) {
	s := (report.Worth{Result: mixes()}).Section()
	if len(s.Figures) != 4 || s.Figures[0].File() != "mixes.csv" || len(s.Tables) != 4 {
		t.Fatalf("%d figures, %d tables", len(s.Figures), len(s.Tables))
	}
	for i, want := range []string{"20 (wanted)|without|5.6|14.0|121 L|–|–|1,700", "20 (wanted)|with|4.0|14.0|–|40.9|5 and 7.5 mm|1,500"} {
		if got := strings.Join(s.Tables[0].Rows[i], "|"); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// What the words of the comparison hang on: hours and prices that are not
// given, hours without a price, what each sum is compared with.
func TestWordsOfTheComparison(t *testing.T) {
	r := ways()
	said := func() string { text := (report.Worth{Result: r}).Verdict().Sentences; return strings.Join(text, "\n") }
	r.Alternatives[1].LabourH = 30
	r.Prices.LabourPerH = new(float64)
	if got := said(); !strings.Contains(got, "30 hours of your own a year") || !strings.Contains(got, "not counted in money") {
		t.Errorf("hours of no price: %s", got)
	}
	*r.Prices.LabourPerH = 10
	if got := said(); !strings.Contains(got, "300 EUR of what it costs") {
		t.Errorf("hours of a price: %s", got)
	}
	r.Missing = []string{"turbine", worth.PenstockPrice}
	if got := said(); !strings.HasPrefix(got, "This is no verdict on money yet, for a price is not given (penstock, per m; turbine)") {
		t.Error(got)
	}
	r.Missing = nil
	r.Alternatives[1].UnmetMean, r.Alternatives[0].UnmetMean, r.Alternatives[2].UnmetMean = 50, 800, 40
	r.Worth = true
	for found, want := range map[bool]string{
		false: "Hydro is worth it: it cuts the unmet hours of a mean year from 800 to 50, for 408 EUR a year more than today, and no other way that was tried does as well.",
		true:  "Hydro is not quite the cheapest way: it cuts the unmet hours of a mean year from 800 to 50, for 408 EUR a year more than today; a bank of 14.0 kWh does as well and costs 400 EUR a year more than today.",
	} {
		r.Alternatives[2].Found = found
		*r.Alternatives[2].CostAYear = 791 + 400
		if got := said(); !strings.HasPrefix(got, want) {
			t.Errorf("found %v: %s", found, got)
		}
	}
}
