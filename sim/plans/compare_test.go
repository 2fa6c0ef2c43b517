package plans_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/plans"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// sides are the built-in homestead and plans of it.
func sides(t testing.TB, texts ...string) []plans.Side {
	t.Helper()
	b := base(t)
	all := []plans.Side{{Name: "as it is", Home: b.Home}}
	for _, text := range texts {
		p, err := plans.ParsePlan(text)
		if err != nil {
			t.Fatal(err)
		}
		h, err := b.Prepare(p.Set)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, plans.Side{Name: p.Name, Home: h})
	}
	return all
}

// Each side is what the year gives for it, counted here from the hours.
func TestSidesAreTheYear(t *testing.T) {
	t.Parallel()
	all := sides(t, "bigger bank: bank.capacity=20 kWh", "no freezer, engine: loads.freezer.count=0; generator.rated=2 kW", "shut: turbine.open=; turbine.close=; turbine.cutoff_flow=90 L/s")
	years := all[0].Home.Years()[5:8]
	r, err := plans.Compare(context.Background(), all, years, nil)
	if err != nil {
		t.Fatal(err)
	}
	first := map[int]int{}
	for k, side := range r.Sides {
		var months [12]float64
		lows := map[int][]float64{}
		fewer, more := 0, 0
		for i, y := range years {
			h, err := series.New(all[k].Home.Site)
			if err != nil {
				t.Fatal(err)
			}
			year, err := sim.Run(h.Input(y), h.Bus())
			if err != nil {
				t.Fatal(err)
			}
			if side.Unmet[i] != year.Tally.UnmetHours || side.Stops[i] != len(year.In.DryStopHour) || side.Walks[i] != len(year.In.VisitDay) || math.Abs(side.FuelL[i]-year.Tally.FuelL) > 1e-9 {
				t.Errorf("%s, %d: %d dark hours, %d stops, %g L; the year has %d, %d, %g", side.Name, y.Number(), side.Unmet[i], side.Stops[i], side.FuelL[i], year.Tally.UnmetHours, len(year.In.DryStopHour), year.Tally.FuelL)
			}
			for h, w := range year.UnmetW {
				if w > sim.UnmetThresholdW {
					months[y.Start.AddDate(0, 0, h/24).Month()-1] += 1.0 / 3
				}
			}
			for _, d := range []int{0, 40, 364} {
				lows[d] = append(lows[d], slices.Min(year.SoC[24*d:24*d+24]))
			}
			if k == 0 {
				first[i] = side.Unmet[i]
			}
			switch {
			case side.Unmet[i] < first[i]:
				fewer++
			case side.Unmet[i] > first[i]:
				more++
			}
		}
		for m, want := range months {
			if math.Abs(side.Months[m]-want) > 1e-9 {
				t.Errorf("%s: month %d has %g dark hours, counted %g", side.Name, m+1, side.Months[m], want)
			}
		}
		for d, values := range lows {
			if slices.Sort(values); side.LowSoC[d] != values[1] {
				t.Errorf("%s: the middling lowest charge of day %d is %g, of %v", side.Name, d, side.LowSoC[d], values)
			}
		}
		if side.Fewer != fewer || side.More != more || side.Same != 3-fewer-more {
			t.Errorf("%s: fewer %d, same %d, more %d; counted %d fewer, %d more", side.Name, side.Fewer, side.Same, side.More, fewer, more)
		}
	}
	var keys []string
	for _, d := range r.Inputs {
		keys = append(keys, d.Key)
	}
	if got := strings.Join(keys, " "); got != "bank.capacity generator.rated loads.freezer turbine.close turbine.cutoff_flow turbine.open" {
		t.Errorf("the files differ in %s", got)
	}
	// 6 kWh at 420 EUR, and a generator at 900 EUR.
	if c := r.Sides[1].Capital; c == nil || math.Abs(*c-6*420) > 1e-6 {
		t.Errorf("a bank of 6 kWh more costs %v", c)
	}
	if c := r.Sides[2].Capital; c == nil || math.Abs(*c-900) > 1e-6 {
		t.Errorf("the generator costs %v", c)
	}
}

// A homestead is as good as itself.
func TestTheSameSideTwice(t *testing.T) {
	t.Parallel()
	all := sides(t)
	all = append(all, plans.Side{Name: "again", Home: all[0].Home})
	r, err := plans.Compare(context.Background(), all, all[0].Home.Years()[:2], nil)
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Sides[1]; len(r.Inputs) != 0 || s.Same != 2 || *s.Capital != 0 || *s.CostAYear != *r.Sides[0].CostAYear {
		t.Errorf("%+v, inputs %v", s, r.Inputs)
	}
}

func TestParsePlan(t *testing.T) {
	p, err := plans.ParsePlan(" bigger tank : forebay.volume=8000 L; bank.capacity=20 kWh ;")
	if err != nil || p.Name != "bigger tank" || len(p.Set) != 2 || p.Set[1].Key != "bank.capacity" || p.Set[1].Value != "20 kWh" {
		t.Errorf("%+v, %v", p, err)
	}
	if p, err := plans.ParsePlan("turbine.open=11-20"); err != nil || p.Name != "turbine.open" && p.Name != "turbine.open=11-20" {
		t.Errorf("%+v, %v", p, err)
	}
	for _, text := range []string{"", "name", "name:", "name: capacity", ": bank.capacity=3 kWh", "=cmd(): bank.capacity=3 kWh", "a\x1b: bank.capacity=3 kWh", strings.Repeat("x", 90) + ": bank.capacity=3 kWh"} {
		if p, err := plans.ParsePlan(text); err == nil {
			t.Errorf("%q is taken: %+v", text, p)
		}
	}
}

// Under draws each change and each side is what the edited site gives under the
// same draws, run from nothing, and what is told of the draws is counted here.
func TestUnderDraws(t *testing.T) {
	t.Parallel()
	b := few(base(t))
	b.Years = b.Years[:2]
	const n = 4
	if got, err := b.Draw(t.Context(), n, 7); err != nil || got != n {
		t.Fatal(got, err)
	}
	// by draw, the dark hours of the years, without what homesteads share
	plain := func(text string) (byDraw [n]float64) {
		var set []files.Setting
		if text != "" {
			s, err := files.ParseSetting(text, text)
			if err != nil {
				t.Fatal(err)
			}
			set = append(set, s)
		}
		s, err := site.LoadFS(site.DemoFS(), site.Options{Set: set})
		if err != nil {
			t.Fatal(err)
		}
		h, err := series.New(s)
		if err != nil {
			t.Fatal(err)
		}
		for d, draw := range sim.DrawsTo(n) {
			o := h.Draw(draw, 7)
			for _, y := range b.Years {
				year, err := sim.Run(o.Input(y), o.Bus())
				if err != nil {
					t.Fatal(err)
				}
				byDraw[d] += float64(year.Tally.UnmetHours) / 2
			}
		}
		return byDraw
	}
	was := plain("")
	if was[0] == was[1] && was[1] == was[2] {
		t.Errorf("all draws are alike: %v", was)
	}
	r, err := b.Improve(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if r.Draws != n || math.Abs(r.Now.UnmetMean-(was[0]+was[1]+was[2]+was[3])/n) > 1e-9 {
		t.Errorf("%d draws, today %g hours, counted %v", r.Draws, r.Now.UnmetMean, was)
	}
	for _, g := range slices.Concat(r.Better[:4], r.Without[:1]) {
		is := plain(g.Set[0].Key + "=" + g.Set[0].Value)
		if len(g.Set) > 1 {
			continue
		}
		helps, sum, low, high := 0, 0.0, math.Inf(1), math.Inf(-1)
		for d := range is {
			saved := was[d] - is[d]
			sum += saved / n
			low, high = min(low, saved), max(high, saved)
			if saved >= 0.5 {
				helps++
			}
		}
		if g.HelpsIn != helps || math.Abs(g.SavedH-sum) > 1e-9 || g.SavedLow != low || g.SavedHigh != high {
			t.Errorf("%s: saves %g (%g to %g) hours, helps in %d draws; counted %g (%g to %g), %d", g.Name, g.SavedH, g.SavedLow, g.SavedHigh, g.HelpsIn, sum, low, high, helps)
		}
	}
	p, err := plans.ParsePlan("bank: bank.capacity=20 kWh")
	if err != nil {
		t.Fatal(err)
	}
	h, err := b.Prepare(p.Set)
	if err != nil {
		t.Fatal(err)
	}
	c, err := plans.Compare(t.Context(), []plans.Side{b.Side("as it is", b.Home), b.Side(p.Name, h)}, b.Years, nil)
	if err != nil {
		t.Fatal(err)
	}
	is, better, mean := plain("bank.capacity=20 kWh"), 0, 0.0
	for d := range is {
		mean += is[d] / n
		if is[d] < was[d] {
			better++
		}
	}
	if s := c.Sides[1]; c.Draws != n || s.BetterIn != better || math.Abs(s.Mean.UnmetMean-mean) > 1e-9 || math.Abs(s.UnmetOf(0, 2)+s.UnmetOf(1, 2)-2*mean) > 1e-9 {
		t.Errorf("%d draws: better in %d, mean %g; counted %d, %g", c.Draws, s.BetterIn, s.Mean.UnmetMean, better, mean)
	}
}
