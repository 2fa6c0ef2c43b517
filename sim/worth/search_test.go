package worth_test

import (
	"math"
	"testing"

	"sunrill/sim/worth"
)

// No pair of panels and bank on the grid keeps to hydro's unmet hours for less
// a year: for each panel power, the largest bank that would be cheaper is run
// and must not do.
func TestPanelsAndBankAreTheCheapestPair(t *testing.T) {
	p := homestead(1)
	r := compare(t, p)
	both, target := r.Alternative(worth.PanelsAndBank), r.Alternative(worth.WithHydro).UnmetMean
	if !both.Found {
		t.Fatal("nothing found")
	}
	crf := worth.CapitalRecovery
	aYear := func(kW, kWh float64) float64 {
		return 1000*(kW-3)*crf(.04, 25) + 20*kW/3 + 400*kWh*crf(.04, both.BankLifeY) + 1000*crf(.04, 12)
	}
	if got, want := *both.CostAYear, aYear(both.PanelW/1000, both.BankWh/1000); math.Abs(got-want) > 1e-6 {
		t.Fatalf("costs %g a year, by hand %g", got, want)
	}
	tried := 0
	for kW := 3.0; kW <= 30; kW += 0.1 {
		kWh := 100.0
		for ; kWh >= 10 && aYear(kW, kWh) >= *both.CostAYear-1e-6; kWh -= 0.1 {
		}
		if kWh < 10-1e-9 {
			continue // dearer with any bank
		}
		tried++
		if got := meanUnmet(t, p, kW/3, math.Round(kWh*10)*100, false); got <= target {
			t.Errorf("%.1f kW with %.1f kWh cost %g a year and leave %g unmet hours: cheaper than %.1f kW with %.1f kWh for %g",
				kW, kWh, aYear(kW, kWh), got, both.PanelW/1000, both.BankWh/1000, *both.CostAYear)
		}
	}
	if tried < 10 {
		t.Errorf("only %d pairs were cheaper: the test shows little", tried)
	}
}

// Without a price for the bank, the least growth of both is looked for: never
// more than panels alone would have to grow.
func TestPanelsAndBankWithoutPricesGrowLeast(t *testing.T) {
	p := homestead(1)
	p.Prices = nil
	r := compare(t, p)
	growth := func(w *worth.Alternative) float64 { return w.PanelW/3000 + w.BankWh/10_000 }
	both, panels := r.Alternative(worth.PanelsAndBank), r.Alternative(worth.MorePanels)
	if !both.Found || growth(both) > growth(panels)+1e-9 {
		t.Errorf("both grow by %g, panels alone by %g", growth(both), growth(panels))
	}
}

// Sizes that do not lie on the grid of 0.1 count from what stands today.
func TestSizesOffTheGrid(t *testing.T) {
	p := homestead(1)
	p.PanelW = 2975
	p.Bus.Bank = p.Bus.Bank.Scaled(10040)
	r := compare(t, p)
	if w := r.Alternative(worth.WithoutHydro); w.PanelW != 2975 || w.BankWh != 10040 {
		t.Errorf("today: %g W and %g Wh", w.PanelW, w.BankWh)
	}
	w := r.Alternative(worth.MorePanels)
	if tenths := w.PanelW / 100; math.Abs(tenths-math.Round(tenths)) > 1e-9 || w.BankWh != 10040 {
		t.Errorf("more panels: %g W with the bank of %g Wh", w.PanelW, w.BankWh)
	}
}
