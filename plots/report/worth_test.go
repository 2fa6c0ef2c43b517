package report_test

import (
	"strconv"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

func ways() *worth.Result {
	v := func(x float64) *float64 { return &x }
	way := func(name string, hydro bool, items ...worth.Item) worth.Alternative {
		w := worth.Alternative{Name: name, Found: true, Hydro: hydro, PanelW: 4000, BankWh: 14_000, FuelL: 37.85411784, Items: items, Capital: v(0), CostAYear: v(0), PresentValue: v(1000)}
		for _, it := range items {
			*w.CostAYear += it.Yearly
		}
		w.Dark.Month = 12
		return w
	}
	bank := worth.Item{Name: "bank, as the years wear it", Part: worth.BankPart, Yearly: 791}
	r := &worth.Result{
		Currency: "EUR", Worth: true, Years: []int{2001, 2002}, Missing: []string{"digging, per m"},
		Alternatives: []worth.Alternative{
			way(worth.WithoutHydro, false, bank),
			way(worth.WithHydro, true, bank, worth.Item{Name: "turbine", Part: worth.HydroPart, Yearly: 216}, worth.Item{Name: "own hours", Part: worth.OwnHoursPart, Yearly: 192}),
			way(worth.BiggerBank, false, bank),
		},
		Turns:     []worth.TurningPoint{{Name: worth.PenstockPrice, Given: 9, TurnsAt: 11, Factor: 11.0 / 9}},
		LeftOut:   []worth.LeftOut{{Name: worth.MorePanels, Why: worth.NoPanels}, {Name: worth.PanelsAndBank, Why: worth.NoPanels}},
		Prices:    &worth.Prices{Currency: "EUR", DiscountRate: 0.04, LifePanelsY: 25, LifeHydroY: 15, LifePenstockY: 40, LifeInverterY: 12, LifeGeneratorH: 3000, Years: 20},
		Generator: &sim.Generator{RatedW: 1000, StartSoC: 0.3, StopSoC: 0.9, FuelIdleLH: 0.233, FuelLPerKWh: 0.481},
	}
	r.Alternatives[2].Found = false
	return r
}

// The chapter shows every way with what it costs and what that is made of, and
// hides nothing: lives, the rate, ways left out, the generator that is taken.
func TestWorthChapter(t *testing.T) {
	s := report.Worth{Result: ways()}.Section()
	text := strings.Join(s.Text, "\n")
	for _, want := range []string{"Hydro is not worth it: it leaves the unmet hours", "counted as nothing: digging, per m", "Bigger bank: no bank up to ten times", "Not compared: more panels, panels and bank: the site describes no [[array]] that could grow.", "The generator of these ways is one that carries the house: 1.00 kW"} {
		if !strings.Contains(text, want) {
			t.Errorf("the chapter lacks %q in\n%s", want, text)
		}
	}
	if len(s.Figures) != 3 || len(s.Tables) != 3 {
		t.Fatalf("%d figures and %d tables", len(s.Figures), len(s.Tables))
	}
	for _, f := range s.Figures {
		if !strings.HasSuffix(f.File(), ".csv") {
			t.Errorf("%s has its numbers in %q", f.Name, f.File())
		}
	}
	for _, table := range s.Tables {
		for _, row := range table.Rows {
			if len(row) != len(table.Head) {
				t.Errorf("%s: %d cells under %d heads", table.Caption, len(row), len(table.Head))
			}
		}
		for _, m := range table.Minor {
			if m <= 0 || m >= len(table.Head) {
				t.Errorf("%s: no column %d", table.Caption, m)
			}
		}
	}
	for _, want := range []string{"4 % a year", "panels 25", "turbine 15", "20 years at most", "all payments of 20 years"} {
		if !strings.Contains(s.Tables[1].Note, want) {
			t.Errorf("the note on costs lacks %q: %s", want, s.Tables[1].Note)
		}
	}
	parts := s.Tables[2]
	if got := strings.Join(parts.Head, "|"); got != "way|bank|hydro|own hours|together" {
		t.Errorf("parts %s", got)
	}
	for _, row := range parts.Rows {
		sum := 0.0
		for _, cell := range row[1 : len(row)-1] {
			v, err := strconv.ParseFloat(strings.ReplaceAll(cell, ",", ""), 64)
			if err != nil {
				t.Fatal(err)
			}
			sum += v
		}
		all, _ := strconv.ParseFloat(strings.ReplaceAll(row[len(row)-1], ",", ""), 64)
		if sum < all-5 || sum > all+5 {
			t.Errorf("%s: the parts are %g together, told as %g", row[0], sum, all)
		}
	}
}

// In US units fuel is told in gallons and the pipe's price by the foot.
func TestWorthChapterInUSUnits(t *testing.T) {
	s := report.Worth{Result: ways(), System: measure.US}.Section()
	at := -1
	for i, h := range s.Tables[0].Head {
		if h == "fuel, gal" {
			at = i
		}
	}
	if at < 0 || s.Tables[0].Rows[0][at] != "10" {
		t.Errorf("37.854 L of fuel under %q: %q", s.Tables[0].Head, s.Tables[0].Rows[0])
	}
	if alt := s.Figures[2].Alt; !strings.Contains(alt, "penstock, per ft") {
		t.Errorf("turning points: %s", alt)
	}
}

// Without prices there is nothing about money.
func TestWorthChapterWithoutPrices(t *testing.T) {
	r := ways()
	r.Prices, r.Turns = nil, nil
	for i := range r.Alternatives {
		r.Alternatives[i].CostAYear, r.Alternatives[i].Items = nil, nil
	}
	if s := (report.Worth{Result: r}).Section(); len(s.Figures) != 1 || len(s.Tables) != 1 {
		t.Errorf("%d figures and %d tables", len(s.Figures), len(s.Tables))
	}
}
