package plots_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"sunrill/plots"
)

var noNumber = regexp.MustCompile(`NaN|\bInf\b|∞`)

// With a generator or a disconnect unmet hours do not fall steadily with the
// bank, nor with the panels. The lines then stand where from there on all banks
// keep to the level, and nothing in picture or words is no number.
func TestPanelsAndBankWhereHoursDoNotFallSteadily(t *testing.T) {
	v := plots.PanelBankField{
		PanelKW: []float64{0, 1, 2, 3, 4}, CapacityKWh: []float64{0, 5, 10, 20}, PresentKW: 2, PresentKWh: 10,
		UnmetHours: [][]float64{
			{900, 900, 900, 900},
			{300, 5, 300, 300}, // 5 by luck
			{300, 200, 150, 50},
			{300, 100, 20, 60}, // worse with more
			{200, 10, 10, 10},
		},
	}
	p := look(t, plots.PanelsAndBank(v))
	x, y := p.axes(t)
	// The line of 100 h: it enters from above between 1 and 2 kW, where 300 h
	// turn to 50 (at 1.8 kW); at 2 kW 15 kWh, at 3 kW 5 kWh, at 4 kW 2.37 kWh.
	want := [][2]float64{{1.8, 20}, {2, 15}, {3, 5}, {4, 5 * 100. / 190}}
	found := false
	for _, m := range p.marks {
		if len(m.x) != len(want) || m.stroke == "" {
			continue
		}
		same := true
		for i, w := range want {
			same = same && math.Abs(x.read(m.x[i])-w[0]) < 0.03 && math.Abs(y.read(m.y[i])-w[1]) < 0.15
		}
		found = found || same
	}
	if !found {
		t.Errorf("no line through %v", want)
	}
	flat := v
	flat.UnmetHours = [][]float64{{300, 5, 300, 300}, {300, 5, 300, 300}, {10, 10, 10, 300}, {300, 5, 300, 300}, {5, 300, 300, 300}}
	none := plots.PanelBankField{PanelKW: []float64{0, 0}, CapacityKWh: []float64{0, 0}, UnmetHours: [][]float64{{0, 0}, {0, 0}}}
	for i, f := range []plots.PanelBankField{v, flat, none} {
		c := plots.PanelsAndBank(f)
		svg, err := c.SVG()
		if err != nil {
			t.Errorf("field %d: %v", i, err)
		}
		if at := noNumber.FindString(string(svg) + c.Alt + c.Caption); at != "" {
			t.Errorf("field %d: there is a %s in it", i, at)
		}
	}
}

// A name of a hundred letters is cut; the bars that it stands beside keep
// their room, and the file of numbers has it in full.
func TestLongNamesLeaveRoom(t *testing.T) {
	long := strings.Repeat("Würzburg ", 12)
	c := plots.WhoUsesWhat([]plots.Use{{Name: long, Wh: 320e3}, {Name: "fridge", Wh: 190e3}})
	p := look(t, c)
	widest := 0.0
	for _, m := range p.marks {
		if m.fill != "none" && len(m.x) >= 4 {
			widest = math.Max(widest, high(m.x)-low(m.x))
		}
	}
	if widest < 80 {
		t.Errorf("the longest bar is %.0f points wide", widest)
	}
	cut := false
	for _, w := range p.words {
		if w.x < 0 || w.x+w.width > 425 {
			t.Errorf("%q stands from %.0f to %.0f, outside of the picture", w.text, w.x, w.x+w.width)
		}
		cut = cut || strings.HasSuffix(w.text, "…")
	}
	if !cut || c.Numbers[0].Texts[0] != long {
		t.Errorf("cut: %v; in the numbers it is %q", cut, c.Numbers[0].Texts[0])
	}
	household := plots.Household{Seasons: []string{"Dec to Feb"}, MeanW: [][][24]float64{make([][24]float64, 5)}}
	for i := range 5 {
		household.Uses = append(household.Uses, fmt.Sprint(i, long))
		household.MeanW[0][i][3] = 40
	}
	for _, w := range look(t, plots.DayBySeason(household)).words {
		if w.x+w.width > 425 {
			t.Errorf("%q ends at %.0f, outside of the picture", w.text, w.x+w.width)
		}
	}
}
