package worth_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sim/worth"
)

func said(r *worth.Result, words string) bool {
	return strings.Contains(r.Verdict+" "+strings.Join(r.Uncertainty, " "), words)
}

// A generator that stands is part of every way; what hydro saves is its fuel.
func TestGeneratorThatStands(t *testing.T) {
	p := homestead(1)
	g := p.Generator
	p.Bus.Generator = &g
	r := compare(t, p)
	for _, name := range []string{worth.MorePanels, worth.BiggerBank, worth.PanelsAndBank, worth.GeneratorInstead, worth.HydroAndGenerator} {
		if r.Way(name) != nil {
			t.Errorf("%s is compared, though nothing has to grow", name)
		}
		told := false
		for _, l := range r.LeftOut {
			told = told || l.Name == name && l.Why != ""
		}
		if !told {
			t.Errorf("nobody says why %s is left out", name)
		}
	}
	now, hydro := r.Way(worth.WithoutHydro), r.Way(worth.WithHydro)
	if hydro.FuelL >= now.FuelL || !said(r, "of fuel") {
		t.Errorf("fuel %g L without, %g L with hydro: %s", now.FuelL, hydro.FuelL, r.Verdict)
	}
	if !said(r, "None of the") && !said(r, "one year of record") {
		t.Errorf("nothing said of the years: %q", r.Uncertainty)
	}
}

// What does not stand cannot grow, and is not compared.
func TestNothingToGrow(t *testing.T) {
	p := homestead(1)
	p.PanelW = 0
	p.Years[0].Set(sim.Panels, make([]float64, p.Years[0].Hours()))
	r := compare(t, p)
	if r.Way(worth.MorePanels) != nil || r.Way(worth.PanelsAndBank) != nil || r.Way(worth.BiggerBank) == nil {
		t.Errorf("without panels the ways are %+v", r.Ways)
	}
	p = homestead(1)
	p.Bus.Bank = p.Bus.Bank.Scaled(0)
	r = compare(t, p)
	if r.Way(worth.BiggerBank) != nil || r.Way(worth.PanelsAndBank) != nil || r.Way(worth.MorePanels) == nil {
		t.Errorf("without a bank the ways are %+v", r.Ways)
	}
	if w := r.Way(worth.WithHydro); w.BankLifeY != 0 {
		t.Errorf("a bank of nothing lasts %g years", w.BankLifeY)
	}
}

// Hours that are not given are named, not counted as none in silence; hours
// without a price are told without money.
func TestOwnHours(t *testing.T) {
	p := homestead(1)
	p.Prices.LabourHydroH = nil
	if r := compare(t, p); !said(r, "own hours of hydro a year") {
		t.Errorf("missing hours are not named: %q", r.Uncertainty)
	}
	if r := compare(t, homestead(1)); !said(r, "30 hours of your own a year") || !said(r, "not counted in money") {
		t.Errorf("hours of no price: %q", r.Uncertainty)
	}
	p = homestead(1)
	p.Prices.LabourPerH = pointer(10)
	if r := compare(t, p); !said(r, "300 crowns of what it costs") {
		t.Errorf("hours of a price: %q", r.Uncertainty)
	}
}

// Without the turbine's price there is no verdict on money.
func TestWantingPriceIsNoVerdict(t *testing.T) {
	p := homestead(1)
	p.Prices.Turbine = nil
	r := compare(t, p)
	if !strings.HasPrefix(r.Verdict, "This is no verdict on money yet") || !strings.Contains(r.Verdict, "turbine") || r.Creek.Pays != "" {
		t.Errorf("creek %q, verdict: %s", r.Creek.Pays, r.Verdict)
	}
}

// The creek's limit and the verdict agree at the water as it is.
func TestCreekAgreesWithTheVerdict(t *testing.T) {
	for _, turbine := range []float64{0, 500, 5000, 50000} {
		p := homestead(2)
		p.Prices.Turbine = &turbine
		r := compare(t, p)
		pays := r.Creek.Pays == worth.PaysAlways || r.Creek.Pays == worth.PaysWith && r.Creek.Enough <= 1
		if pays != r.Worth {
			t.Errorf("turbine at %g: worth %v, creek %+v", turbine, r.Worth, r.Creek)
		}
		if r.Creek.Pays == worth.PaysNever && !said(r, "up to twice what it has, hydro as described did not pay either") {
			t.Errorf("turbine at %g: %q", turbine, r.Uncertainty)
		}
	}
}

// A price per m is one per ft for who thinks in feet: 1 ft is 0.3048 m and
// 1 gal is 3.785411784 L exactly (NIST SP 811, appendix B).
func TestPricesInUSUnits(t *testing.T) {
	for _, c := range []struct {
		name, want string
		per        float64
	}{
		{"penstock, per m", "penstock, per ft", 0.3048},
		{"fuel, per L", "fuel, per gal", 3.785411784},
		{"turbine", "turbine", 1},
	} {
		turn := worth.TurningPoint{Name: c.name, Price: 100, TurnsAt: 120}
		name, price, at := turn.In(measure.US)
		if name != c.want || math.Abs(price-100*c.per) > 1e-9 || math.Abs(at-120*c.per) > 1e-9 {
			t.Errorf("%s: %s %g %g", c.name, name, price, at)
		}
		if name, price, at = turn.In(measure.Metric); name != c.name || price != 100 || at != 120 {
			t.Errorf("%s in metric: %s %g %g", c.name, name, price, at)
		}
	}
	p := homestead(1)
	p.System = measure.US
	p.Prices.PenstockPerM = nil
	if r := compare(t, p); !said(r, "penstock, per ft") || r.Missing[0] != "penstock, per m" {
		t.Errorf("missing %q: %q", r.Missing, r.Uncertainty)
	}
}

func pointer(v float64) *float64 { return &v }

// What a way costs is told against today, each time: two ways may not seem
// compared with each other.
func TestEveryCostNamesWhatItIsComparedWith(t *testing.T) {
	for _, turbine := range []float64{0, 2000, 50000} {
		p := homestead(2)
		p.Prices.Turbine = &turbine
		r := compare(t, p)
		sums := regexp.MustCompile(`[\d,.]+ crowns[^;:,.]*`).FindAllString(r.Verdict, -1)
		if len(sums) == 0 {
			t.Errorf("no sum in %q", r.Verdict)
		}
		for _, s := range sums {
			if !strings.Contains(s, "a year more than today") && !strings.Contains(s, "a year less than today") {
				t.Errorf("%q of %q names nothing to compare with", s, r.Verdict)
			}
		}
	}
}
