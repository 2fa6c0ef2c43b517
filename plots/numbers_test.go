package plots_test

import (
	"math"
	"testing"
	"time"

	"sunrill/plots"
)

// Every chart whose numbers are in no other file carries them, in columns of
// one length with names that a spreadsheet can tell apart.
func TestChartsCarryWhatTheyDraw(t *testing.T) {
	start := time.Date(2018, 10, 1, 0, 0, 0, 0, time.UTC)
	year := func(v float64, n int) []float64 {
		s := make([]float64, n)
		for i := range s {
			s[i] = v
		}
		return s
	}
	week := year(0.5, 52)
	for _, c := range []struct {
		chart plots.Chart
		rows  int
		first string
		value float64 // in the second column's first row; NaN: words
	}{
		{plots.UnmetByYear(plots.Years{Names: []string{"2017–18", "2018–19"}, UnmetHours: []int{7, 3}, RainMM: []float64{900, 1100}}), 2, "year", 7},
		{plots.FlowDuration(plots.Duration{FlowM3S: []float64{0.001, 0.004, 0.002, 0.003}}), 4, "days_with_more_pct", 4},
		{plots.FlowToWatts(plots.Power{FlowM3S: []float64{0.001, 0.002}, PowerW: []float64{100, 180}, Sets: []plots.PowerSet{{Name: "7 mm", FlowM3S: 0.001, PowerW: 100}}}), 3, "nozzles", 1},
		{plots.DayBySeason(plots.Household{Uses: []string{"fridge"}, Seasons: []string{"Dec to Feb"}, MeanW: [][][24]float64{{{40}}}}), 24, "season", math.NaN()},
		{plots.WhoUsesWhat([]plots.Use{{Name: "fridge", Wh: 320e3}}), 1, "use", 320},
		{plots.HorizonAndSun(plots.HorizonLine{BearingDeg: []float64{90, 180}, HeightDeg: []float64{5, 20}}), 2, "of", 90},
		{plots.ChargeFans(100, plots.ChargeFan{Start: start, Median: week, OneIn5: week, OneIn20: week, Of: "panels alone"}), 52, "of", 1},
		{plots.ChangeoverThroughYear(plots.ChangeoverYear{Start: start, FlowM3S: year(0.002, 365), SoC: year(0.8, 8760), ClosedSoC: year(0.6, 8760), Open: 30, Close: 200}), 365, "date", 2},
		{plots.MeterBeside(plots.Metered{Start: start, What: plots.Bank, Simulated: year(0.8, 8760), Measured: year(0.7, 8760)}), 365, "date", 80},
	} {
		columns := c.chart.Numbers
		if len(columns) < 2 {
			t.Errorf("%s carries %d columns", c.chart.Name, len(columns))
			continue
		}
		seen := map[string]bool{}
		for _, col := range columns {
			if n := max(len(col.Values), len(col.Texts)); n != c.rows {
				t.Errorf("%s: column %s has %d rows, want %d", c.chart.Name, col.Name, n, c.rows)
			}
			if seen[col.Name] || col.Name == "" {
				t.Errorf("%s: the name %q stands twice or is empty", c.chart.Name, col.Name)
			}
			seen[col.Name] = true
		}
		if columns[0].Name != c.first {
			t.Errorf("%s begins with %s, want %s", c.chart.Name, columns[0].Name, c.first)
		}
		if !math.IsNaN(c.value) && math.Abs(columns[1].Values[0]-c.value) > 1e-9 {
			t.Errorf("%s: %s begins with %g, want %g", c.chart.Name, columns[1].Name, columns[1].Values[0], c.value)
		}
	}
}
