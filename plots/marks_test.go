package plots_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"sunrill/plots"
	"sunrill/sim/measure"
)

// These tests read the marks off the drawn pictures, by the numbers at their axes,
// and hold them against values worked out here, apart from the code that draws.

var marksStart = time.Date(2018, 10, 1, 0, 0, 0, 0, time.UTC)

// sameBoxes holds boxes against what they should be, each number to within
// a share of the plot's size.
func sameBoxes(t *testing.T, what string, got, want []rect, tolX, tolY float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %d boxes %v, want %d", what, len(got), got, len(want))
		return
	}
	for i, g := range got {
		w := want[i]
		if math.Abs(g.x0-w.x0) > tolX || math.Abs(g.x1-w.x1) > tolX || math.Abs(g.y0-w.y0) > tolY || math.Abs(g.y1-w.y1) > tolY {
			t.Errorf("%s: box %d is %.3v, want %.3v", what, i, g, w)
		}
	}
}

func sameLine(t *testing.T, what string, got [][2]float64, want func(x float64) float64, tol float64) {
	t.Helper()
	for _, p := range got {
		if w := want(p[0]); math.Abs(p[1]-w) > tol {
			t.Errorf("%s: at %.3g it stands at %.4g, want %.4g", what, p[0], p[1], w)
			return
		}
	}
}

func TestMarksOfEnergyByMonth(t *testing.T) {
	m := plots.MonthlyEnergy{
		Supplies: []plots.Supply{
			{Name: "creek", What: plots.Hydro, Wh: []float64{0, 60e3, 90e3}}, {Name: "wind", What: plots.Other, Wh: []float64{10e3, 0, 5e3}},
			{Name: "panels", What: plots.Panels, Wh: []float64{90e3, 40e3, 15e3}}, {Name: "generator", What: plots.Generator, Wh: []float64{0, 0, 30e3}},
		},
		DemandWh: []float64{80e3, 90e3, 100e3}, UnmetWh: []float64{0, 10e3, 25e3}, UnmetHours: []int{0, 4, 9}, FlexibleWh: []float64{15e3, 0, 0},
	}
	for i := range 3 {
		m.Months = append(m.Months, marksStart.AddDate(0, i, 0))
	}
	p := look(t, plots.EnergyByMonth(m))
	a := p.panels(t)[0].across(-0.5, 2.5)
	for _, c := range []struct {
		what string
		q    plots.Quantity
		want []rect
	}{
		{"creek", plots.Hydro, []rect{{0.6, 1, 0, 60}, {1.6, 2, 0, 90}}},
		{"wind", plots.Other, []rect{{-0.4, 0, 0, 10}, {1.6, 2, 90, 95}}},
		{"panels", plots.Panels, []rect{{-0.4, 0, 10, 100}, {0.6, 1, 60, 100}, {1.6, 2, 95, 110}}},
		{"generator", plots.Generator, []rect{{1.6, 2, 110, 140}}},
		{"unmet", plots.Unmet, []rect{{1.04, 1.4, 80, 90}, {2.04, 2.4, 75, 100}}},
		{"flexible", plots.Surplus, []rect{{0.04, 0.4, 80, 95}}},
	} {
		sameBoxes(t, c.what, p.boxes(a, paint(c.q.Color())), c.want, 0.01, 0.6)
	}
	sameBoxes(t, "served", p.boxes(a, paint(plots.Served.Tint(0.6))), []rect{{0.04, 0.4, 0, 80}, {1.04, 1.4, 0, 80}, {2.04, 2.4, 0, 75}}, 0.01, 0.6)
}

func TestMarksOfUnmetByYear(t *testing.T) {
	p := look(t, plots.UnmetByYear(plots.Years{Names: []string{"2017–18", "2018–19"}, UnmetHours: []int{70, 30}, RainMM: []float64{900, 1100}, RainScale: measure.Scale{Unit: "in", Factor: 1 / 25.4}}))
	ps := p.panels(t)
	if len(ps) != 2 {
		t.Fatalf("%d plots", len(ps))
	}
	dark, rain := ps[0].across(-0.6, 1.6), ps[1].across(-0.6, 1.6)
	sameBoxes(t, "unmet", p.boxes(dark, paint(plots.Unmet.Color())), []rect{{-0.38, 0.38, 0, 70}, {0.62, 1.38, 0, 30}}, 0.02, 0.5)
	sameBoxes(t, "rain", p.boxes(rain, paint(plots.Rain.Color())), []rect{{-0.38, 0.38, 0, 900 / 25.4}, {0.62, 1.38, 0, 1100 / 25.4}}, 0.02, 0.5)
}

// A charge that swings by 10 points about a mean that falls by 1 point a week.
func TestMarksOfCharge(t *testing.T) {
	v := plots.Charge{Start: marksStart, FloorSoC: 0.2, ComfortSoC: 0.4, UnmetW: make([]float64, 8760), UnmetThresholdW: 1}
	for h := range 8760 {
		v.SoC = append(v.SoC, 0.9-0.01*float64(h/168)+0.1*math.Sin(2*math.Pi*float64(h%24)/24))
	}
	v.UnmetW[24*100+3], v.UnmetW[24*101+3] = 5, 5
	p := look(t, plots.ChargeThroughYear(v))
	a := p.panels(t)[0].across(0, 365)
	mean := func(day float64) float64 { return 90 - math.Floor(day/7) }
	for _, l := range p.lines(a, paint(plots.Bank.Color())) {
		sameLine(t, "mean charge", l, mean, 0.4)
	}
	if n := len(p.lines(a, paint(plots.Bank.Color()))); n != 1 {
		t.Errorf("%d lines of the mean", n)
	}
	for _, m := range p.marks {
		if m.fill != paint(plots.Bank.Tint(0.4)) || len(m.x) < 700 || !a.holds(m) {
			continue
		}
		for i := range m.x {
			day, off := a.x.read(m.x[i]), a.y.read(m.y[i])
			edge := mean(day + map[bool]float64{true: 0.5, false: -0.5}[i%2 == 0 == (i < len(m.x)/2)])
			if math.Abs(math.Abs(off-edge)-10) > 0.7 {
				t.Fatalf("the band's edge on day %.2f is at %.2f %%, want %.2f ± 10", day, off, edge)
			}
		}
	}
	sameBoxes(t, "days with unmet hours", p.boxes(a, paint(plots.Unmet.Color())), []rect{{100, 102, 0, 4.5}}, 0.2, 0.3)
}

func TestMarksOfRainAndCreek(t *testing.T) {
	v := plots.Water{Start: marksStart, CloseHour: 8760, CutoffM3S: 0.0008}
	for d := range 365 {
		v.RainMM = append(v.RainMM, 0)
		v.FlowM3S = append(v.FlowM3S, 0.002+0.001*math.Sin(2*math.Pi*float64(d)/365))
		for range 24 {
			v.TurbineM3S = append(v.TurbineM3S, 0.0015)
		}
	}
	v.RainMM[10], v.RainMM[200] = 20, 35
	p := look(t, plots.RainAndCreek(v))
	ps := p.panels(t)
	rain, creek := ps[0].across(0, 365), ps[1].across(0, 365)
	sameBoxes(t, "rain", p.boxes(rain, paint(plots.Rain.Color())), []rect{{10, 11, 0, 20}, {200, 201, 0, 35}}, 0.2, 0.5)
	lines := p.lines(creek, paint(plots.Creek.Color()))
	if len(lines) != 1 || len(lines[0]) < 365 {
		t.Fatalf("%d lines of the creek, of %d points", len(lines), len(lines[0]))
	}
	sameLine(t, "creek", lines[0], func(day float64) float64 { return 2 + math.Sin(2*math.Pi*(day-0.5)/365) }, 0.02)
	for _, m := range p.marks {
		if m.fill == paint(plots.Hydro.Color()) && creek.holds(m) && len(m.x) > 100 {
			if top := creek.y.read(low(m.y)); math.Abs(top-1.5) > 0.03 {
				t.Errorf("the turbine takes %.3f L/s, want 1.5", top)
			}
		}
	}
}

// Of 100 days with 1, 2 … 100 L/s, 100 − q days have more than q, half a day
// aside.
func TestMarksOfFlowDuration(t *testing.T) {
	v := plots.Duration{}
	for d := range 100 {
		v.FlowM3S = append(v.FlowM3S, 0.001*float64((37*d)%100+1))
	}
	p := look(t, plots.FlowDuration(v))
	x, y := p.axes(t)
	y.log = true
	a := p.panels(t)[0]
	a.x, a.y = x, y
	lines := p.lines(a, paint(plots.Creek.Color()))
	if len(lines) != 1 || len(lines[0]) != 100 {
		t.Fatalf("%d lines", len(lines))
	}
	for _, at := range lines[0] {
		if want := 100.5 - at[0]; math.Abs(at[1]-want) > 0.02*want+0.2 {
			t.Errorf("%.1f %% of days have more than %.2f L/s, counted %.2f", at[0], at[1], want)
		}
	}
}

func TestMarksOfBankSizes(t *testing.T) {
	v := plots.BankCurve{Years: 5, PresentKWh: 10, TargetHours: 20, SizeKWh: 25}
	for k := range 41 {
		kWh := float64(k)
		v.CapacityKWh = append(v.CapacityKWh, kWh)
		v.Mean, v.P80, v.Worst = append(v.Mean, 40-kWh), append(v.P80, 70-2*kWh), append(v.Worst, 100-2*kWh)
	}
	for k := range v.P80 {
		v.P80[k] = math.Max(0, v.P80[k])
	}
	p := look(t, plots.BankSizes(v))
	x, y := p.axes(t)
	a := p.panels(t)[0]
	a.x, a.y = x, y
	unmet := p.lines(a, paint(plots.Unmet.Color()))
	if len(unmet) != 2 {
		t.Fatalf("%d lines of unmet hours", len(unmet))
	}
	sameLine(t, "worst year", unmet[0], func(kWh float64) float64 { return 100 - 2*kWh }, 0.7)
	sameLine(t, "1 year in 5", unmet[1], func(kWh float64) float64 { return math.Max(0, 70-2*kWh) }, 0.7)
	mean := p.lines(a, paint(plots.Served.Color()))
	sameLine(t, "mean", mean[0], func(kWh float64) float64 { return 40 - kWh }, 0.7)
	for _, m := range p.marks { // the target's ring
		if m.arcs && a.holds(m) && m.stroke != "" {
			if mx, my := m.middle(); math.Abs(x.read(mx)-25) > 0.5 || math.Abs(y.read(my)-20) > 1 {
				t.Errorf("the target stands at %.1f kWh and %.1f h", x.read(mx), y.read(my))
			}
		}
	}
}

// Of the spells of four years, those of at most 8 kWh are carried by the smaller
// bank, those of up to 16 by the larger, one by none.
func TestMarksOfSpellDepths(t *testing.T) {
	v := plots.SpellField{RatedKWh: []float64{10, 20}, UsableKWh: []float64{8, 16}, Present: 0, Years: 4,
		Month: []time.Month{12, 1, 7, 7, 10, 2}, DepthKWh: []float64{3, 8, 4, 9, 12, 17}}
	for _, south := range []bool{false, true} {
		v.South = south
		dark, light := []rect{{0, 0.5, 1.66, 2.34}, {0, 0.25, -0.34, 0.34}}, []rect{{0.5, 0.75, 1.66, 2.34}, {0, 0.25, 0.66, 1.34}}
		if south { // July is the darkest
			dark, light = []rect{{0, 0.25, 0.66, 1.34}, {0, 0.25, 1.66, 2.34}}, []rect{{0, 0.25, -0.34, 0.34}, {0.25, 0.75, 1.66, 2.34}}
		}
		p := look(t, plots.SpellDepths(v))
		a := p.panels(t)[0]
		a.y = axis{at: []float64{a.bottom, a.top}, value: []float64{-0.6, 2.6}}
		byX := func(rs []rect) []rect {
			slices.SortFunc(rs, func(a, b rect) int {
				return cmp.Or(cmp.Compare(math.Round(100*a.x0), math.Round(100*b.x0)), cmp.Compare(a.y0, b.y0))
			})
			return rs
		}
		sameBoxes(t, "winter", byX(p.boxes(a, paint(plots.Unmet.Shade(0.85)))), byX(dark), 0.01, 0.02)
		sameBoxes(t, "summer", byX(p.boxes(a, paint(plots.Unmet.Shade(0.12)))), byX(light), 0.01, 0.02)
		want := []string{"more than 20 kWh", "1 in 4 years", "your 10 kWh", "20 kWh", "0.8 a year", "1 in 2 years"}
		for _, text := range want {
			if !slices.ContainsFunc(p.words, func(w word) bool { return w.text == text }) {
				t.Errorf("%q stands nowhere", text)
			}
		}
	}
}

// Use would end a bank of c kWh after c/2 years, age after 8: at 16 kWh they cross.
func TestMarksOfBankLife(t *testing.T) {
	v := plots.BankCurve{PresentKWh: 10, AgeYears: 8, SizeKWh: math.NaN()}
	for k := range 61 {
		v.CapacityKWh, v.UseYears = append(v.CapacityKWh, float64(k)), append(v.UseYears, float64(k)/2)
	}
	p := look(t, plots.BankLife(v))
	x, y := p.axes(t)
	a := p.panels(t)[0]
	a.x, a.y = x, y
	lines := p.lines(a, paint(plots.Bank.Color()))
	if len(lines) == 0 {
		t.Fatal("no line of use")
	}
	sameLine(t, "use", lines[0], func(kWh float64) float64 { return kWh / 2 }, 0.15)
	age := false
	for _, m := range p.marks {
		age = age || m.dashed && len(m.x) == 2 && a.holds(m) && m.x[0] != m.x[1] && math.Abs(y.read(m.y[0])-8) < 0.1
	}
	if !age || !v.UseMatters() {
		t.Errorf("age is drawn at 8 years: %v; use matters: %v", age, v.UseMatters())
	}
	v.PresentKWh = 40 // half of it lasts 10 years by use
	if v.UseMatters() {
		t.Error("use matters where age always comes first")
	}
}

// Opening late costs 2 hours a day from day 40 on, closing early 1.5 hours a day
// up to day 195, closing late one from day 250 on; the best dates leave 3 hours.
func TestMarksOfChangeoverDates(t *testing.T) {
	v := plots.ChangeoverMap{Start: marksStart, Days: 365, Dated: true, BestOpen: 36, BestClose: 201, OpenFrom: 28, OpenTo: 40, CloseFrom: 195, CloseTo: 365,
		UnmetHours: func(open, close int) float64 {
			if close <= open {
				return math.NaN()
			}
			return 3 + 2*math.Max(0, float64(open-40)) + 1.5*math.Max(0, float64(195-close)) + math.Max(0, float64(close-250))
		}}
	p := look(t, plots.ChangeoverDates(v))
	a := p.panels(t)[0].across(0, 365)
	var opening [][2]float64
	for _, l := range p.lines(a, paint(plots.Hydro.Color())) {
		opening = append(opening, l...)
	}
	sameLine(t, "opening", opening, func(day float64) float64 { return 2 * math.Max(0, day-40) }, 3)
	var closing [][2]float64
	for _, l := range p.lines(a, paint(plots.Limit.Color())) {
		closing = append(closing, l...)
	}
	sameLine(t, "closing", closing, func(day float64) float64 { return 1.5*math.Max(0, 195-day) + math.Max(0, day-250) }, 3)
	if len(opening) < 100 || len(closing) < 100 {
		t.Errorf("%d and %d points", len(opening), len(closing))
	}
	sameBoxes(t, "no hurry to open", p.boxes(a, paint(plots.Hydro.Tint(0.25))), []rect{{28, 41, 0, 8}}, 0.7, 0.5)
}

// The house takes 100 W at noon in all seasons but one, which takes 300.
func TestMarksOfDayBySeason(t *testing.T) {
	v := plots.Household{Uses: []string{"iron"}, Seasons: []string{"Dec to Feb", "Mar to May", "Jun to Aug", "Sep to Nov"}}
	for s := range 4 {
		var day [24]float64
		day[12] = 100
		if s == 2 {
			day[12] = 300
		}
		v.MeanW = append(v.MeanW, [][24]float64{day})
	}
	p := look(t, plots.DayBySeason(v))
	ps := p.panels(t)
	if len(ps) != 2 {
		t.Fatalf("%d plots, want one for three seasons and one for the other", len(ps))
	}
	for i, want := range []float64{100, 300} {
		a := ps[i].across(0, 24)
		found := false
		for _, m := range p.marks {
			for _, b := range p.boxes(a, m.fill) {
				found = found || math.Abs(b.x0-12) < 0.05 && math.Abs(b.x1-13) < 0.05 && math.Abs(b.y1-want) < 3 && math.Abs(b.y0) < 3
			}
		}
		if !found {
			t.Errorf("plot %d has no bar of %g W at noon", i, want)
		}
	}
	names := []string{"Dec to Feb; Mar to May; Sep to Nov", "Jun to Aug"}
	for _, n := range names {
		if !slices.ContainsFunc(p.words, func(w word) bool { return w.text == n }) {
			t.Errorf("%q stands nowhere", n)
		}
	}
	v.MeanW[2] = v.MeanW[1]
	if one := look(t, plots.DayBySeason(v)); len(one.panels(t)) != 1 || !slices.ContainsFunc(one.words, func(w word) bool { return w.text == "all year" }) {
		t.Error("four seasons alike are not drawn as one")
	}
}

func TestMarksOfDryWinters(t *testing.T) {
	p := look(t, plots.DryWinters([]plots.WinterRow{
		{Name: "record", Without: plots.Spread{P50: 40, P80: 90, P95: 150, Worst: 200}, With: &plots.Spread{P50: 10, P80: 20, P95: 60, Worst: 80}},
		{Name: "rain × 0.5", Without: plots.Spread{P50: 30, P80: 60, P95: 100, Worst: 120}},
	}, "panels alone"))
	a := p.panels(t)[0]
	a.y = axis{at: []float64{a.bottom, a.top}, value: []float64{-0.6, 1.6}}
	for _, c := range []struct {
		q    plots.Quantity
		want [][2]float64 // medians and 1 in 5, and where they stand
	}{{plots.Panels, [][2]float64{{40, 1.17}, {90, 1.17}, {30, 0.17}, {60, 0.17}}}, {plots.Hydro, [][2]float64{{10, 0.83}, {20, 0.83}}}} {
		got := p.dots(a, paint(c.q.Color()))
		for _, w := range c.want {
			found := false
			for _, g := range got {
				found = found || math.Abs(g[0]-w[0]) < 1 && math.Abs(g[1]-w[1]) < 0.05
			}
			if !found {
				t.Errorf("no mark at %v among %.3v", w, got)
			}
		}
	}
}

func TestMarksOfChargeFans(t *testing.T) {
	f := plots.ChargeFan{Start: marksStart, FloorSoC: 0.2}
	for w := range 52 {
		f.Median = append(f.Median, 0.9-0.01*float64(w))
		f.OneIn5, f.OneIn20 = append(f.OneIn5, 0.7-0.01*float64(w)), append(f.OneIn20, 0.5)
	}
	p := look(t, plots.ChargeFans(100, f))
	a := p.panels(t)[0].across(0, 365)
	lines := p.lines(a, paint(plots.Bank.Shade(0.85)))
	if len(lines) != 1 || len(lines[0]) != 52 {
		t.Fatalf("%d lines", len(lines))
	}
	sameLine(t, "median", lines[0], func(day float64) float64 { return 90 - (day/7 - 0.5) }, 0.5)
	for fraction, edges := range map[float64][2]func(week float64) float64{
		0.65: {func(w float64) float64 { return 90 - w }, func(w float64) float64 { return 70 - w }},
		0.3:  {func(w float64) float64 { return 70 - w }, func(w float64) float64 { return 50 }},
	} {
		for _, m := range p.marks {
			if m.fill != paint(plots.Bank.Tint(fraction)) || len(m.x) < 100 {
				continue
			}
			for i := range m.x {
				week, got := a.x.read(m.x[i])/7-0.5, a.y.read(m.y[i])
				if want := edges[map[bool]int{true: 0, false: 1}[i < len(m.x)/2]](week); math.Abs(got-want) > 0.7 && i != len(m.x)-1 {
					t.Fatalf("band %g: %.2f %% in week %.1f, want %.2f", fraction, got, week, want)
				}
			}
		}
	}
}

func TestMarksOfFitToReadings(t *testing.T) {
	v := plots.Fitted{Start: marksStart, Model: "curve", ReadingDay: []float64{20, 100}, ReadingM3S: []float64{0.002, 0.006}, ErrorM3S: []float64{0.0002, 0.0006}}
	for d := range 365 {
		v.RainMM = append(v.RainMM, 0)
		v.FlowM3S = append(v.FlowM3S, 0.001*math.Exp(float64(d)/150))
	}
	v.RainMM[50] = 30
	p := look(t, plots.FitToReadings(v))
	ps := p.panels(t)
	creek := ps[1].across(0, 365)
	creek.y.log = true
	for i, at := range p.dots(creek, paint(plots.Measured.Color())) {
		if math.Abs(at[0]-v.ReadingDay[i]) > 1 || math.Abs(at[1]/(1000*v.ReadingM3S[i])-1) > 0.03 {
			t.Errorf("reading %d stands at day %.1f and %.2f L/s", i, at[0], at[1])
		}
	}
	lines := p.lines(creek, paint(plots.Creek.Color()))
	if len(lines) != 1 {
		t.Fatalf("%d lines", len(lines))
	}
	for _, at := range lines[0] {
		if want := math.Exp((at[0] - 0.5) / 150); math.Abs(at[1]/want-1) > 0.02 {
			t.Fatalf("the flow on day %.1f is %.3f L/s, want %.3f", at[0], at[1], want)
		}
	}
	sameBoxes(t, "rain", p.boxes(ps[0].across(0, 365), paint(plots.Rain.Color())), []rect{{50, 51, 0, 30}}, 0.3, 0.5)
}

func TestMarksOfWhoUsesWhat(t *testing.T) {
	p := look(t, plots.WhoUsesWhat([]plots.Use{{Name: "fridge", Wh: 320e3}, {Name: "iron", Wh: 40e3}, {Name: "tank", Wh: 500e3, Flexible: true}}))
	a := p.panels(t)[0]
	a.y = axis{at: []float64{a.bottom, a.top}, value: []float64{-0.6, 2.6}}
	sameBoxes(t, "flexible", p.boxes(a, paint(plots.Surplus.Color())), []rect{{0, 500, 1.64, 2.36}}, 3, 0.02)
	found, seen := 0, map[string]bool{}
	for _, m := range p.marks {
		if seen[m.fill] {
			continue
		}
		seen[m.fill] = true
		for _, b := range p.boxes(a, m.fill) {
			for _, w := range []rect{{0, 320, 0.64, 1.36}, {0, 40, -0.36, 0.36}} {
				if math.Abs(b.x1-w.x1) < 3 && math.Abs(b.y0-w.y0) < 0.02 && math.Abs(b.y1-w.y1) < 0.02 {
					found++
				}
			}
		}
	}
	if found != 2 {
		t.Errorf("%d of the bars of 320 and 40 kWh stand where they should", found)
	}
}

func TestMarksOfMeter(t *testing.T) {
	v := plots.Metered{Start: marksStart, What: plots.Hydro}
	for h := range 8760 {
		v.Simulated = append(v.Simulated, 100+float64(h/24)/2)
		v.Measured = append(v.Measured, math.NaN())
		if h/24 < 30 {
			v.Measured[h] = 80
		}
	}
	p := look(t, plots.MeterBeside(v))
	a := p.panels(t)[0].across(0, 365)
	lines := p.lines(a, paint(plots.Hydro.Color()))
	sameLine(t, "simulated", lines[0], func(day float64) float64 { return 100 + math.Floor(day)/2 }, 2)
	dots := p.dots(a, paint(plots.Measured.Color()))
	if len(dots) != 30 {
		t.Fatalf("%d measured days", len(dots))
	}
	for i, at := range dots {
		if math.Abs(at[0]-float64(i)-0.5) > 0.7 || math.Abs(at[1]-80) > 2 {
			t.Errorf("day %d stands at %.1f and %.1f W", i, at[0], at[1])
		}
	}
}

func TestMarksOfCostOfLight(t *testing.T) {
	alternatives := []plots.AlternativePoint{{"a", 1000, 200, false, false}, {"b", 1500, 20, true, false}, {"c", 1800, 0, true, true}}
	p := look(t, plots.CostOfLight("EUR", alternatives))
	x, y := p.axes(t)
	a := p.panels(t)[0]
	a.x, a.y = x, y
	for i, q := range []plots.Quantity{plots.Panels, plots.Hydro, plots.Creek} {
		at := p.dots(a, paint(q.Color()))
		if len(at) != 1 || math.Abs(at[0][0]-alternatives[i].CostAYear) > 8 || math.Abs(at[0][1]-alternatives[i].UnmetHours) > 3 {
			t.Errorf("way %s stands at %.4v, it has %g and %g", alternatives[i].Name, at, alternatives[i].CostAYear, alternatives[i].UnmetHours)
		}
	}
}

func TestMarksOfDarkMonth(t *testing.T) {
	v := plots.DarkMonth{Month: "December", Alternatives: []string{"a", "b"}, Supplies: []plots.Supply{
		{Name: "creek", What: plots.Hydro, Wh: []float64{0, 100e3}}, {Name: "panels", What: plots.Panels, Wh: []float64{50e3, 60e3}}, {Name: "generator", What: plots.Generator, Wh: []float64{20e3, 0}}}, DemandKWh: []float64{120, 120}, UnmetKWh: []float64{40, 0}}
	p := look(t, plots.EnergyOfDarkMonth(v))
	a := p.panels(t)[0]
	a.y = axis{at: []float64{a.bottom, a.top}, value: []float64{-0.6, 1.6}}
	for _, c := range []struct {
		q    plots.Quantity
		want []rect
	}{
		{plots.Panels, []rect{{0, 50, 0.68, 1.06}, {100, 160, -0.32, 0.06}}}, {plots.Hydro, []rect{{0, 100, -0.32, 0.06}}},
		{plots.Generator, []rect{{50, 70, 0.68, 1.06}}}, {plots.Unmet, []rect{{80, 120, 1.08, 1.34}}},
	} {
		sameBoxes(t, fmt.Sprint(c.q), p.boxes(a, paint(c.q.Color())), c.want, 1, 0.02)
	}
}

// Twice and half the price lie equally far from 1.
func TestMarksOfTurningPoints(t *testing.T) {
	p := look(t, plots.TurningPoints([]plots.Turn{{"fuel", 2}, {"turbine", 0.5}}))
	a := p.panels(t)[0]
	if len(a.x.at) < 2 {
		t.Fatalf("the axis has %d numbers", len(a.x.at))
	}
	a.x.log = true
	a.y = axis{at: []float64{a.bottom, a.top}, value: []float64{-0.6, 1.6}}
	got := p.boxes(a, paint(plots.Unmet.Color()))
	sameBoxes(t, "turns", got, []rect{{0.5, 1, -0.32, 0.32}, {1, 2, 0.68, 1.32}}, 0.02, 0.02)
}

func TestMarksOfHorizon(t *testing.T) {
	v := plots.HorizonLine{BearingDeg: []float64{0, 90, 180, 270}, HeightDeg: []float64{0, 20, 10, 20}}
	path := plots.SunPath{Name: "Dec", Solstice: true}
	for b := 120.0; b <= 240; b += 10 {
		path.BearingDeg, path.HeightDeg = append(path.BearingDeg, b), append(path.HeightDeg, 30-math.Abs(b-180)/3)
	}
	v.Paths = []plots.SunPath{path}
	p := look(t, plots.HorizonAndSun(v))
	a := p.panels(t)[0].across(40, 320)
	lines := p.lines(a, paint(plots.Panels.Color()))
	sameLine(t, "path", lines[0], func(b float64) float64 { return 30 - math.Abs(b-180)/3 }, 0.3)
	seen := 0
	for _, m := range p.marks {
		if m.fill == paint(plots.Land.Tint(0.75)) && len(m.x) > 200 {
			for i := range m.x[:len(m.x)/2] {
				b, h := a.x.read(m.x[i]), a.y.read(m.y[i])
				if b > 91 && b < 179 && h > 0.5 {
					seen++
					if want := 20 - (b-90)/9; math.Abs(h-want) > 0.3 {
						t.Fatalf("the hills at %.0f° are %.2f° high, want %.2f", b, h, want)
					}
				}
			}
		}
	}
	if seen < 60 {
		t.Errorf("%d points of the hills were seen", seen)
	}
}

func TestMarksOfChangeoverByYear(t *testing.T) {
	v := plots.ChangeoverSeasons{Start: marksStart, Days: 365, Seasons: []plots.ChangeoverSeason{
		{Year: 2016, Open: 30, Close: 200, OpenFrom: 20, OpenTo: 40, CloseFrom: 190, CloseTo: 220, RainMM: 800},
		{Year: 2017, Open: 60, Close: 240, OpenFrom: 60, OpenTo: 60, CloseFrom: 240, CloseTo: 240, RainMM: 1200},
	}}
	p := look(t, plots.ChangeoverByYear(v))
	ps := p.panels(t)
	dates := ps[0].across(-0.6, 1.6)
	dates.y = axis{at: []float64{dates.bottom, dates.top}, value: []float64{0, 365}}
	for _, c := range []struct {
		what string
		q    plots.Quantity
		want [][2]float64
	}{{"openings", plots.Hydro, [][2]float64{{0, 30}, {1, 60}}}, {"closings", plots.Limit, [][2]float64{{0, 200}, {1, 240}}}} {
		got := p.dots(dates, paint(c.q.Color()))
		if len(got) != 2 {
			t.Fatalf("%d %s", len(got), c.what)
		}
		for i, at := range got {
			if math.Abs(at[0]-c.want[i][0]) > 0.02 || math.Abs(at[1]-c.want[i][1]) > 2 {
				t.Errorf("%s: %.3v, want %v", c.what, at, c.want[i])
			}
		}
	}
	sameBoxes(t, "rain", p.boxes(ps[1].across(-0.6, 1.6), paint(plots.Rain.Color())), []rect{{-0.35, 0.35, 0, 800}, {0.65, 1.35, 0, 1200}}, 0.02, 12)
}

func TestMarksOfChangeoverThroughYear(t *testing.T) {
	v := plots.ChangeoverYear{Start: marksStart, Open: 36, Close: 200, FloorSoC: 0.2}
	for d := range 365 {
		v.FlowM3S = append(v.FlowM3S, 0.001+0.00001*float64(d))
		for h := range 24 {
			v.TurbineM3S, v.ClosedSoC = append(v.TurbineM3S, 0.0008), append(v.ClosedSoC, 0.6)
			v.SoC = append(v.SoC, 0.8+0.1*math.Sin(2*math.Pi*float64(h)/24))
		}
	}
	p := look(t, plots.ChangeoverThroughYear(v))
	ps := p.panels(t)
	creek, bank := ps[0].across(0, 365), ps[1].across(0, 365)
	sameLine(t, "creek", p.lines(creek, paint(plots.Creek.Color()))[0], func(day float64) float64 { return 1 + 0.01*(day-0.5) }, 0.05)
	sameLine(t, "closed", p.lines(bank, paint(plots.Measured.Color()))[0], func(float64) float64 { return 60 }, 0.7)
	for _, a := range []panel{creek, bank} {
		b := p.boxes(a, paint(plots.Hydro.Tint(0.13)))
		if len(b) != 1 || math.Abs(b[0].x0-36) > 0.5 || math.Abs(b[0].x1-200) > 0.5 {
			t.Errorf("the valve is open in %.4v, want 36 to 200", b)
		}
	}
}

func TestMarksOfDeficitSpells(t *testing.T) {
	v := plots.Spells{Start: marksStart, Days: 365, UsableWh: 9000, Spells: []plots.Spell{{StartHour: 240, Hours: 12, DepthWh: 2000}, {StartHour: 2400, Hours: 240, DepthWh: 14000, UnmetWh: 5000}}}
	p := look(t, plots.DeficitSpells(v))
	a := p.panels(t)[0].across(0, 365)
	sameBoxes(t, "carried", p.boxes(a, paint(plots.Bank.Color())), []rect{{10, 10.5, 0, 2}}, 0.2, 0.15)
	sameBoxes(t, "failed", p.boxes(a, paint(plots.Unmet.Color())), []rect{{100, 110, 0, 14}}, 0.2, 0.15)
}
