package plots_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/plots"
)

// changeoverCharts draws the charts of the changeover from made-up numbers.
func changeoverCharts() []plots.Chart {
	m := syntheticYear()
	dates := plots.ChangeoverMap{
		Start: yearStart, Days: yearDays, Years: 12, Dated: true,
		BestOpen: 36, BestClose: 201, OpenFrom: 28, OpenTo: 44, CloseFrom: 190, CloseTo: 230,
		UnmetHours: func(open, close int) float64 {
			if close <= open {
				return math.NaN()
			}
			late, early := float64(max(0, open-40)), float64(max(0, 195-close))
			return math.Min(600, 3+2*late+1.4*early)
		},
	}
	seasons := plots.ChangeoverSeasons{Start: yearStart, Days: yearDays}
	for y := range 12 {
		s := plots.ChangeoverSeason{Year: 2007 + y, RainMM: 700 + 60*float64((y*5)%12), Open: 30 + 3*((y*7)%12), Close: 190 + 2*((y*5)%12)}
		s.OpenFrom, s.OpenTo, s.CloseFrom, s.CloseTo = s.Open-12, s.Open, s.Close-3, s.Close+40
		if y == 4 {
			s.Word = "never"
		}
		seasons.Seasons = append(seasons.Seasons, s)
	}
	return []plots.Chart{
		plots.ChangeoverDates(dates),
		plots.ChangeoverThroughYear(plots.ChangeoverYear{
			Start: yearStart, FlowM3S: m.flowM3S, TurbineM3S: m.turbineM3S, CutoffM3S: 0.0008,
			SoC: m.soc, ClosedSoC: m.soc, FloorSoC: 0.2, Open: 36, Close: 201,
		}),
		plots.ChangeoverByYear(seasons),
	}
}

func TestChangeoverChartsSayWhatTheyShow(t *testing.T) {
	months := strings.Fields("Oct Nov Dec Jan Feb Mar Apr May Jun Jul Aug Sep")
	for i, labels := range [][]string{
		append(months, "unmet hours more than the least", "opened on this day", "closed on this day", "open 6 Nov", "close 20 Apr"),
		append(months, "creek, L/s", "charge, %", "open 6 Nov", "close 20 Apr", "valve open", "cut-off"),
		append(months, "rain, mm", "’07", "’18", "never", "best opening", "best closing"),
	} {
		c := changeoverCharts()[i]
		svg, err := c.SVG()
		if err != nil {
			t.Fatal(err)
		}
		got := words(t, svg)
		for _, l := range labels {
			at := slices.Index(got, l)
			if at < 0 {
				t.Errorf("%s: no label %q, or too few of them, in %q", c.Name, l, got)
				continue
			}
			got = slices.Delete(got, at, at+1)
		}
		if c.Title == "" || len(c.Caption) < 40 || len(c.Alt) < 40 {
			t.Errorf("%s: title %q, caption %q, alternative text %q", c.Name, c.Title, c.Caption, c.Alt)
		}
		if len(svg) > 60_000 {
			t.Errorf("%s: %d bytes of SVG", c.Name, len(svg))
		}
		again, _ := changeoverCharts()[i].SVG()
		if !bytes.Equal(svg, again) {
			t.Errorf("%s differs from run to run", c.Name)
		}
	}
}

// A site that hydro never helps has a flat map, and a map of one day and no
// years are drawn without a fault.
func TestChangeoverChartsOfLittle(t *testing.T) {
	flat := func(open, close int) float64 { return 12 }
	for _, c := range []plots.Chart{
		plots.ChangeoverDates(plots.ChangeoverMap{Start: yearStart, Days: yearDays, UnmetHours: flat}),
		plots.ChangeoverDates(plots.ChangeoverMap{Start: yearStart, Days: 1, UnmetHours: flat}),
		plots.ChangeoverThroughYear(plots.ChangeoverYear{Start: yearStart, FlowM3S: []float64{0}, SoC: make([]float64, 24)}),
		plots.ChangeoverByYear(plots.ChangeoverSeasons{Start: yearStart, Days: yearDays}),
		plots.ChangeoverByYear(plots.ChangeoverSeasons{Start: yearStart, Days: yearDays, Seasons: []plots.ChangeoverSeason{{Year: 2016, Word: "always"}}}),
	} {
		if _, err := c.SVG(); err != nil {
			t.Error(err)
		}
	}
	c := plots.ChangeoverDates(plots.ChangeoverMap{Start: yearStart, Days: yearDays, UnmetHours: flat})
	if !strings.Contains(c.Caption, "No pair of dates") {
		t.Error(c.Caption)
	}
}
