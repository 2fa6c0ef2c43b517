package plots_test

import (
	"bytes"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sunrill/plots"
)

func fittedChart(days int) plots.Chart {
	m := syntheticYear()
	v := plots.Fitted{Start: yearStart, Model: "curve", ReadingDay: []float64{20.5, 95.5, 200.5},
		ReadingM3S: []float64{0.0004, 0.006, 0.002}, ErrorM3S: []float64{0.00005, 0.0004, 0.0001}}
	for d := range days {
		q := m.flowM3S[d%yearDays]
		v.RainMM = append(v.RainMM, m.rainMM[d%yearDays])
		v.FlowM3S, v.LowM3S, v.HighM3S = append(v.FlowM3S, q), append(v.LowM3S, 0.7*q), append(v.HighM3S, 1.4*q)
	}
	return plots.FitToReadings(v)
}

func durationChart() plots.Chart {
	return plots.FlowDuration(plots.Duration{FlowM3S: syntheticYear().flowM3S, NeedM3S: 0.0012, FullM3S: 0.0035})
}

func TestCreekChartsSayWhatTheyShow(t *testing.T) {
	for _, c := range []struct {
		chart  plots.Chart
		labels []string
	}{
		{fittedChart(yearDays), []string{"month, 2016–17", "Jan", "L/s", "mm/day", "your readings", "creek on 8 days of 10"}},
		{fittedChart(3 * yearDays), []string{"2017", "2018", "year"}},
		{durationChart(), []string{"L/s", "share of days with more, %", "40"}},
	} {
		var file bytes.Buffer
		if err := c.chart.WriteTo(&file, "svg"); err != nil {
			t.Fatal(err)
		}
		got := words(t, file.Bytes())
		for _, l := range c.labels {
			if !slices.Contains(got, l) {
				t.Errorf("%s: no label %q in %q", c.chart.Name, l, got)
			}
		}
		if len(c.chart.Alt) < 40 || c.chart.Caption == "" {
			t.Errorf("%s: caption %q, alternative text %q", c.chart.Name, c.chart.Caption, c.chart.Alt)
		}
		if file.Len() > 100_000 {
			t.Errorf("%s: %d bytes of SVG", c.chart.Name, file.Len())
		}
	}
}

// The shares in the legend are counted by hand on ten days.
func TestFlowDurationCountsDays(t *testing.T) {
	unknown := math.NaN() // a day that nobody measured is none of the days
	c := plots.FlowDuration(plots.Duration{FlowM3S: []float64{.001, .002, unknown, .003, .004, .005, .006, .007, .008, .009, .010, unknown}, NeedM3S: 0.0035, FullM3S: 0.009})
	var labels []string
	for _, k := range c.Legend {
		labels = append(labels, k.Label)
	}
	got := strings.Join(labels, "; ")
	if strings.Contains(c.Alt, "NaN") || !strings.HasPrefix(c.Alt, "Flow over 10 days") {
		t.Errorf("alternative text %q", c.Alt)
	}
	if want := "creek; least for the turbine: 70 % of days; all that the turbine takes: 10 % of days"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestCreekChartsOfLittle(t *testing.T) {
	start := time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []plots.Chart{
		plots.FitToReadings(plots.Fitted{Start: start}),
		plots.FitToReadings(plots.Fitted{Start: start, RainMM: []float64{0}, FlowM3S: []float64{0}, ReadingDay: []float64{0.5}, ReadingM3S: []float64{0}, ErrorM3S: []float64{0}}),
		plots.FlowDuration(plots.Duration{}),
		plots.FlowDuration(plots.Duration{FlowM3S: []float64{0, 0}}),
		plots.FlowDuration(plots.Duration{FlowM3S: []float64{0.002}}),
	} {
		svg, err := c.SVG()
		if err != nil {
			t.Error(err)
		}
		if regexp.MustCompile(`NaN|Inf`).Match(svg) {
			t.Errorf("%s: NaN or Inf in the drawing", c.Name)
		}
	}
}
