package plots_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"sunrill/plots"
)

// studyCharts draws the charts of bank and drywinter from invented numbers.
func studyCharts() []plots.Chart {
	curve := plots.BankCurve{Years: 20, PresentKWh: 12, TargetHours: 10, SizeKWh: 31.6, AgeYears: 10}
	for k := range 50 {
		kWh := 60 * math.Pow(float64(k)/49, 2)
		curve.CapacityKWh = append(curve.CapacityKWh, kWh)
		left := 4000 * math.Exp(-kWh/2)
		curve.Mean = append(curve.Mean, left+math.Max(0, 60-2*kWh))
		curve.P80 = append(curve.P80, left+math.Max(0, 200-6*kWh))
		curve.Worst = append(curve.Worst, left+math.Max(0, 400-7*kWh))
		curve.UseYears = append(curve.UseYears, 0.8*kWh)
	}
	field := plots.SpellField{RatedKWh: []float64{6, 12, 24, 48}, UsableKWh: []float64{3, 6, 12, 24}, Present: 1, Years: 20}
	for i := range 120 {
		hours := 26 * math.Pow(1.03, float64(i))
		field.Month = append(field.Month, time.Month(1+i%12))
		field.DepthKWh = append(field.DepthKWh, 2*math.Pow(hours/24, 0.8)*(1+0.4*math.Sin(float64(7*i))))
	}
	grid := plots.PanelBankField{PresentKW: 3, PresentKWh: 12}
	for k := range 25 {
		grid.CapacityKWh = append(grid.CapacityKWh, 2*float64(k))
	}
	for i := range 13 {
		kW := 0.75 * float64(i)
		grid.PanelKW = append(grid.PanelKW, kW)
		var row []float64
		for _, kWh := range grid.CapacityKWh {
			row = append(row, math.Floor(3000*math.Exp(-kW/3)+2000*math.Exp(-kWh/4)-200))
		}
		grid.UnmetHours = append(grid.UnmetHours, row)
	}
	var rows []plots.WinterRow
	for i, name := range []string{"record", "worst year", "rain × 0.5", "onset 8 weeks later", "made-up years"} {
		x := 40 * float64(i)
		rows = append(rows, plots.WinterRow{Name: name, Without: plots.Spread{300 - x/4, 420 - x/4, 520, 640 + x}, With: &plots.Spread{20 + x, 60 + 2*x, 90 + 2*x, 150 + 2*x}})
	}
	fan := plots.ChargeFan{Start: time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC), FloorSoC: 0.2, Of: "with the creek"}
	for w := range 52 {
		s := 0.75 - 0.4*math.Exp(-math.Pow((float64(w)-12)/8, 2))
		fan.Median = append(fan.Median, s)
		fan.OneIn5 = append(fan.OneIn5, math.Max(0.2, s-0.15))
		fan.OneIn20 = append(fan.OneIn20, math.Max(0.2, s-0.3))
	}
	alone := fan
	alone.Of = "panels alone"
	return []plots.Chart{
		plots.BankSizes(curve), plots.SpellDepths(field), plots.BankLife(curve), plots.PanelsAndBank(grid),
		plots.DryWinters(rows, "panels alone"), plots.ChargeFans(1000, fan, alone),
	}
}

func TestStudyChartsSayWhatTheyShow(t *testing.T) {
	for i, labels := range [][]string{
		{"capacity of the bank, kWh", "unmet hours a year", "1 year in 5", "worst year", "your bank, 12 kWh", "31.6 kWh: 10 h"},
		{"spells of more than a day, a year", "6 kWh", "your 12 kWh", "48 kWh", "more than 48 kWh", "from Dec to Feb", "your bank carries those above"},
		{"capacity of the bank, kWh", "years", "age, 10 years", "your bank, 12 kWh"},
		{"panels, kW", "capacity of the bank, kWh", "0 h", "100 h", "what you have"},
		{"unmet hours a year", "record", "rain × 0.5", "made-up years", "panels alone", "with the creek"},
		{"lowest charge, %", "Oct", "Sep", "with the creek", "panels alone", "median", "to 1 year in 5", "floor"},
	} {
		c := studyCharts()[i]
		svg, err := c.SVG()
		if err != nil {
			t.Fatal(err)
		}
		got := words(t, svg)
		for _, l := range labels {
			if !slices.Contains(got, l) {
				t.Errorf("%s: no label %q in %q", c.Name, l, got)
			}
		}
		if c.Title == "" || len(c.Caption) < 40 || len(c.Alt) < 40 {
			t.Errorf("%s: title %q, caption %q, alternative text %q", c.Name, c.Title, c.Caption, c.Alt)
		}
		if len(svg) > 60_000 {
			t.Errorf("%s: %d bytes of SVG", c.Name, len(svg))
		}
	}
}

// One year, no bank, nothing ever unmet, no spell, no panels that help: all are
// drawn without a fault.
func TestStudyChartsOfLittle(t *testing.T) {
	none := plots.BankCurve{CapacityKWh: []float64{0, 1}, Mean: []float64{0, 0}, P80: []float64{0, 0}, Worst: []float64{0, 0}, Years: 1,
		SizeKWh: math.NaN(), UseYears: []float64{0, 0}}
	zero := none
	zero.SizeKWh = 0
	bad := plots.PanelBankField{PanelKW: []float64{0, 1}, CapacityKWh: []float64{0, 1}, UnmetHours: [][]float64{{8000, 7000}, {6000, 5000}}}
	good := plots.PanelBankField{PanelKW: []float64{0, 1}, CapacityKWh: []float64{0, 1}, UnmetHours: [][]float64{{0, 0}, {0, 0}}}
	for _, c := range []plots.Chart{
		plots.BankSizes(none), plots.BankSizes(zero), plots.BankLife(none),
		plots.SpellDepths(plots.SpellField{Present: -1, Years: 1}),
		plots.SpellDepths(plots.SpellField{Month: []time.Month{time.July}, South: true, DepthKWh: []float64{1e-4}, Present: -1, Years: 1}),
		plots.PanelsAndBank(bad), plots.PanelsAndBank(good),
		plots.DryWinters([]plots.WinterRow{{Name: "record"}}, "panels alone"),
		plots.ChargeFans(1, plots.ChargeFan{Start: yearStart, Median: make([]float64, 52), OneIn5: make([]float64, 52), OneIn20: make([]float64, 52)}),
	} {
		svg, err := c.SVG()
		if err != nil {
			t.Error(err)
		}
		if strings.Contains(string(svg), "NaN") || strings.Contains(string(svg), "Inf") {
			t.Errorf("%s: a number that is none", c.Name)
		}
	}
}
