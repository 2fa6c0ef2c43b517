package hydro_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/sources/hydro"
)

// plant is a household set: 40 m of head, two nozzles.
func plant() hydro.Plant {
	return hydro.Plant{
		Intake:   hydro.Intake{ResidualM3S: 0.5e-3, HouseWaterM3S: 0.02e-3},
		Penstock: hydro.Penstock{GrossHeadM: 40, LengthM: 250, BoreM: 0.05, RoughnessM: 0.0015e-3, MinorLoss: 1.5, WaterC: 10, Material: "pe"},
		Turbine:  hydro.Turbine{Kind: "turgo", NozzlesM: []float64{0.007, 0.009}, NozzleCoefficient: 0.94, AlternatorEfficiency: 0.8},
		Cable:    hydro.Cable{LengthM: 40, SectionM2: 25e-6, VoltageV: 48},
		Visits:   hydro.Visits{EveryDays: 7},
	}
}

func TestSetsAreSortedAndSolved(t *testing.T) {
	p := plant()
	p.Turbine.NozzlesM = []float64{0.009, 0.007, 0.007}
	m := p.Prepare()
	if len(m.Sets) != 5 { // 7, 9, 7+7, 9+7, 9+7+7
		t.Fatalf("%d sets, want 5", len(m.Sets))
	}
	for i, s := range m.Sets {
		if i > 0 && s.FlowM3S <= m.Sets[i-1].FlowM3S {
			t.Errorf("set %d takes %g, set %d %g", i, s.FlowM3S, i-1, m.Sets[i-1].FlowM3S)
		}
		area := 0.0
		for _, d := range s.BoresM {
			area += math.Pi / 4 * d * d
		}
		within(t, "nozzle equation", s.FlowM3S, 0.94*area*math.Sqrt(2*9.80665*s.NetHeadM), 1e-9)
	}
}

// stream returns the flows of the creek that leave these for the turbine.
func (c days) stream(p hydro.Plant) []float64 {
	var s []float64
	for _, left := range c {
		s = append(s, left+p.Intake.ResidualM3S+p.Intake.HouseWaterM3S)
	}
	return s
}

type days []float64

func TestVisits(t *testing.T) {
	p := plant()
	m := p.Prepare()
	small, large, both := m.Sets[0].FlowM3S, m.Sets[1].FlowM3S, m.Sets[2].FlowM3S
	little := small * 0.4
	left := days{
		little, both, both, both, both, both, both, // first visit finds too little: shut for the week
		large, large, small, small, large, both, little, // a set of 9 mm, forced to stop twice
		both, both, both, both, both, both, both,
		small, small,
	}
	rain := make([]float64, len(left))
	rain[1] = 20
	for _, c := range []struct {
		name   string
		visits hydro.Visits
		sets   []int
		runs   string // a letter a day
		stops  []int  // days
		walks  []int
	}{
		{"each week", hydro.Visits{EveryDays: 7},
			[]int{-1, -1, -1, -1, -1, -1, -1, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 0, 0},
			".......oo..oo.ooooooooo", []int{9, 13}, []int{0, 7, 14, 21}},
		{"each day", hydro.Visits{EveryDays: 1},
			[]int{-1, 2, 2, 2, 2, 2, 2, 1, 1, 0, 0, 1, 2, -1, 2, 2, 2, 2, 2, 2, 2, 0, 0},
			".oooooooooooo.ooooooooo", nil, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22}},
		{"nobody", hydro.Visits{},
			slices.Repeat([]int{2}, 23),
			".oooooo.....o.ooooooo..", []int{7, 13, 21}, nil},
		{"each week and after a stop", hydro.Visits{EveryDays: 7, AfterStop: true},
			[]int{-1, -1, -1, -1, -1, -1, -1, 1, 1, 1, 0, 0, 0, 0, 2, 2, 2, 2, 2, 2, 2, 0, 0},
			".......oo.ooo.ooooooooo", []int{9, 13}, []int{0, 7, 10, 14, 21}},
		{"each week and after rain", hydro.Visits{EveryDays: 7, AfterRainMM: 20},
			[]int{-1, -1, 2, 2, 2, 2, 2, 1, 1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 0, 0},
			"..ooooooo..oo.ooooooooo", []int{9, 13}, []int{0, 2, 7, 14, 21}},
	} {
		p.Visits = c.visits
		f := p.Prepare().Series(nil, hydro.Creek{FlowM3S: left.stream(p), RainMM: rain}, hydro.AllYear)
		if !slices.Equal(f.NozzleSet, c.sets) {
			t.Errorf("%s: sets %v, want %v", c.name, f.NozzleSet, c.sets)
		}
		runs := ""
		for d := range left {
			if f.TurbineM3S[24*d] > 0 {
				runs += "o"
			} else {
				runs += "."
			}
		}
		if runs != c.runs {
			t.Errorf("%s: runs %s, want %s", c.name, runs, c.runs)
		}
		var stops []int
		for _, h := range f.DryStopHour {
			stops = append(stops, h/24)
		}
		if !slices.Equal(stops, c.stops) {
			t.Errorf("%s: dry-pipe stops on days %v, want %v", c.name, stops, c.stops)
		}
		if !slices.Equal(f.VisitDay, c.walks) {
			t.Errorf("%s: walks on days %v, want %v", c.name, f.VisitDay, c.walks)
		}
	}
}

// Without a forebay the turbine never takes more than is left for it, and
// never runs below the cut-off; with one, each hour's water is accounted for:
// in = turbine + house + overflow + change of store. Power is never above that
// of the water falling the gross head.
func TestSeriesLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plant()
		p.Penstock.GrossHeadM = rapid.Float64Range(2, 150).Draw(t, "head")
		p.Penstock.BoreM = rapid.Float64Range(0.02, 0.2).Draw(t, "bore")
		p.Penstock.LengthM = rapid.Float64Range(0, 1000).Draw(t, "length")
		p.Visits = drawVisits(t)
		p.Turbine.CutoffM3S = rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 0.002)).Draw(t, "cutoff")
		p.Intake.LimitM3S = rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-4, 0.005)).Draw(t, "limit")
		if rapid.Bool().Draw(t, "spear") {
			p.Turbine.NozzlesM = nil
			p.Turbine.DesignFlowM3S = rapid.Float64Range(1e-4, 0.01).Draw(t, "design")
		}
		if rapid.Bool().Draw(t, "forebay") {
			p.Forebay = hydro.Forebay{VolumeM3: rapid.Float64Range(0.1, 50).Draw(t, "volume"), RestartFraction: rapid.Float64Range(0.05, 1).Draw(t, "restart")}
		}
		stream := rapid.SliceOfN(rapid.Float64Range(0, 0.01), 20, 40).Draw(t, "stream")
		m := p.Prepare()
		f := m.Series(nil, hydro.Creek{FlowM3S: stream}, hydro.AllYear)
		rhoGH := m.Water.DensityKgM3 * 9.80665 * p.Penstock.GrossHeadM
		stored := p.Forebay.VolumeM3
		for h, q := range f.TurbineM3S {
			left := p.Intake.Left(stream[h/24])
			if f.PowerW[h] < 0 || f.PowerW[h] > rhoGH*q*(1+1e-9) || math.IsNaN(f.PowerW[h]) {
				t.Fatalf("hour %d: %g W from %g m³/s, which carry %g W", h, f.PowerW[h], q, rhoGH*q)
			}
			if p.Forebay.VolumeM3 == 0 {
				if q > left*(1+1e-8) {
					t.Fatalf("hour %d: takes %g m³/s of %g", h, q, left)
				}
				if q > 0 && left < p.Turbine.CutoffM3S {
					t.Fatalf("hour %d: runs below the cut-off", h)
				}
			} else {
				in := 3600 * left
				out := 3600*(q+f.OverflowM3S[h]+f.HouseM3S[h]) + f.StoredM3[h] - stored
				stored = f.StoredM3[h]
				if math.Abs(in-out) > 1e-9*(in+3600*q+stored+1) {
					t.Fatalf("hour %d: %g m³ came into the forebay, %g m³ are accounted for", h, in, out)
				}
			}
		}
	})
}

func drawVisits(t *rapid.T) hydro.Visits {
	return hydro.Visits{
		EveryDays:   rapid.SampledFrom([]int{7, 1, 0, 3, 14}).Draw(t, "rounds"),
		AfterStop:   rapid.Bool().Draw(t, "after a stop"),
		AfterRainMM: rapid.SampledFrom([]float64{0, 20}).Draw(t, "after rain"),
	}
}

// A forebay lets a flow below the smallest nozzle's run it a part of the day:
// its share of the water, no more and no less.
func TestForebayRunsPartOfTheDay(t *testing.T) {
	p := plant()
	m := p.Prepare()
	left := days(slices.Repeat([]float64{m.Sets[0].FlowM3S / 2}, 28))
	if f := m.Series(nil, hydro.Creek{FlowM3S: left.stream(p)}, hydro.AllYear); slices.Max(f.PowerW) > 0 {
		t.Error("runs without a forebay on half the smallest nozzle's flow")
	}
	p.Forebay = hydro.Forebay{VolumeM3: 8, RestartFraction: 0.8}
	f := p.Series(nil, left.stream(p))
	took, watts := 0.0, 0.0
	for h := range f.PowerW {
		took += f.TurbineM3S[h] / float64(len(f.PowerW))
		watts += f.PowerW[h] / float64(len(f.PowerW))
	}
	within(t, "mean draw", took, left[0], 0.01) // the first filling and the last
	within(t, "mean power", watts, m.Sets[0].PowerW/2, 0.01)
	if len(f.DryStopHour) != 0 {
		t.Errorf("planned stops are counted: %v", f.DryStopHour)
	}
	within(t, "reckoned mean power", p.Prepare().MeanPower(left[0]), m.Sets[0].PowerW/2, 1e-9)
	if w := m.MeanPower(left[0]); w != 0 {
		t.Errorf("reckoned %g W without a forebay", w)
	}
	p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S, p.Turbine.CutoffM3S = nil, 3e-3, 1e-3
	spear := p.Prepare()
	// Of all openings that 8 m³ carry for an hour, the one that makes the most of the water.
	maximum := 0.0
	for draw := 1e-3; draw <= 4e-4+8.0/3600; draw += 1e-6 {
		maximum = max(maximum, spear.At(draw).PowerW*4e-4/draw)
	}
	within(t, "reckoned mean power of a spear valve", spear.MeanPower(4e-4), maximum, 1e-3)
}

// A forced stop counts once, however often the forebay then fills and empties.
func TestForebayForcedStopCountsOnce(t *testing.T) {
	p := plant()
	m := p.Prepare()
	both := m.Sets[2].FlowM3S
	left := days{both, both, both / 2, both / 2, both / 2, both / 2, both / 2}
	p.Forebay = hydro.Forebay{VolumeM3: 5, RestartFraction: 0.5}
	f := p.Series(nil, left.stream(p))
	// 5 m³ last 5/(both/2) seconds.
	want := []int{48 + int(5/(both/2)/3600)}
	if !slices.Equal(f.DryStopHour, want) {
		t.Errorf("dry-pipe stops in hours %v, want %v", f.DryStopHour, want)
	}
	ran := 0.0
	for _, q := range f.TurbineM3S[72:] {
		ran += q
	}
	within(t, "mean draw after the stop", ran/96, both/2, 0.02)
}

// Pencil sums of what is left: 5 L/s less 1 for the creek and 0.5 for the
// house, at most what the intake passes; the house goes short only where the
// whole creek is less than it needs.
func TestIntake(t *testing.T) {
	in := hydro.Intake{ResidualM3S: 0.001, HouseWaterM3S: 0.0005}
	for _, row := range []struct{ stream, limit, left, short float64 }{
		{0.005, 0, 0.0035, 0}, {0.005, 0.002, 0.002, 0}, {0.0012, 0, 0, 0}, {0.0003, 0, 0, 0.0002}, {0, 0, 0, 0.0005},
	} {
		in.LimitM3S = row.limit
		printed(t, "left for the turbine", in.Left(row.stream), row.left, 1e-12)
		printed(t, "the house lacks", in.HouseShort(row.stream), row.short, 1e-12)
	}
}

// The house has its water before the turbine: of a creek below its need it
// takes all, and the rest from the forebay until that is empty.
func TestHouseDrinksFirstFromTheForebay(t *testing.T) {
	p := plant()
	p.Intake.HouseWaterM3S = 0.0002
	p.Forebay = hydro.Forebay{VolumeM3: 3.6, RestartFraction: 0.5}
	f := p.Series(nil, []float64{0.0001, 0.0001, 0.0001})
	// 3.6 m³ last 36,000 s, ten hours, at 0.1 L/s.
	for h := range f.HouseM3S {
		want := 0.0
		if h < 10 {
			want = 0.0001
		}
		printed(t, "from the forebay", f.HouseM3S[h], want, 1e-12)
		if f.PowerW[h] != 0 {
			t.Errorf("hour %d: the turbine runs while the house is short", h)
		}
	}
}

// With a forebay the cut-off is what the turbine draws, since that is what
// keeps its pipe full; the creek may have less.
func TestCutoffWithForebay(t *testing.T) {
	p := plant()
	p.Turbine.NozzlesM = p.Turbine.NozzlesM[:1]
	m := p.Prepare()
	small := m.Sets[0].FlowM3S
	left := days(slices.Repeat([]float64{small * 0.7}, 14))
	p.Forebay = hydro.Forebay{VolumeM3: 8, RestartFraction: 0.5}
	for _, c := range []struct {
		cutoff float64
		runs   bool
	}{{small * 0.9, true}, {small * 1.1, false}} {
		p.Turbine.CutoffM3S = c.cutoff
		if runs := slices.Max(p.Series(nil, left.stream(p)).PowerW) > 0; runs != c.runs {
			t.Errorf("cut-off %g, draw %g m³/s: runs %v, want %v", c.cutoff, small, runs, c.runs)
		}
	}
	p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S, p.Turbine.CutoffM3S = nil, 0.004, 0.001
	f := p.Series(nil, days(slices.Repeat([]float64{0.0004}, 14)).stream(p))
	mean := 0.0
	for _, q := range f.TurbineM3S {
		mean += q / float64(len(f.TurbineM3S))
	}
	within(t, "a spear valve's mean draw", mean, 0.0004, 0.05) // and the first filling
}

// Without a forebay the cut-off is the water left: a set that the water
// sustains stands below it, at the visit and between visits.
func TestCutoffWithoutForebay(t *testing.T) {
	p := plant()
	small := p.Prepare().Sets[0].FlowM3S
	p.Turbine.NozzlesM = p.Turbine.NozzlesM[:1]
	p.Turbine.CutoffM3S = 1.2 * small
	left := days{1.3 * small, 1.1 * small, 1.3 * small, small, 0, 0, 0, 1.1 * small, 1.3 * small}
	for every, runs := range map[int]string{7: "o.o......", 1: "o.o.....o", 0: "o.o.....o"} {
		p.Visits = hydro.Visits{EveryDays: every}
		for _, volume := range []float64{0, 1e-6} { // no forebay and next to none
			p.Forebay.VolumeM3 = volume
			f := p.Series(nil, left.stream(p))
			for d := range left {
				if ran := f.TurbineM3S[24*d+12] > 0; ran != (runs[d] == 'o') {
					t.Errorf("rounds of %d days, forebay %g m³, day %d: runs %v with %g of %g m³/s", every, volume, d, ran, left[d], p.Turbine.CutoffM3S)
				}
			}
		}
	}
}

// A turbine that was opened with the day and runs dry half an hour into the
// next has run for a day.
func TestForcedStopAfterOneDay(t *testing.T) {
	p := plant()
	both := p.Prepare().Sets[2].FlowM3S
	p.Forebay = hydro.Forebay{VolumeM3: 1800 * both, RestartFraction: 0.5}
	f := p.Series(nil, days{both, 0, 0}.stream(p))
	if !slices.Equal(f.DryStopHour, []int{24}) {
		t.Errorf("dry-pipe stops in hours %v, want 24", f.DryStopHour)
	}
}

// A pond that carries the smallest nozzle for days is run in turns on purpose:
// its stops are none that the water forced.
func TestPlannedTurnsAreNoForcedStops(t *testing.T) {
	p := plant()
	small := p.Prepare().Sets[0].FlowM3S
	p.Forebay = hydro.Forebay{VolumeM3: small * 0.5 * 3600 * 40, RestartFraction: 0.9}
	f := p.Series(nil, days(slices.Repeat([]float64{small / 2}, 28)).stream(p))
	if stands := slices.Min(f.PowerW); stands > 0 {
		t.Fatal("it never stands: this test asks nothing")
	}
	if len(f.DryStopHour) != 0 {
		t.Errorf("dry-pipe stops in hours %v", f.DryStopHour)
	}
}

// More water in the creek gives no less energy where nozzles are fitted daily
// and the pipe is below its peak.
func TestMoreWaterMorePower(t *testing.T) {
	p := plant()
	p.Penstock.BoreM = 0.1
	p.Visits.EveryDays = 1
	m := p.Prepare()
	for i := 1; i < len(m.Sets); i++ {
		if m.Sets[i].PowerW <= m.Sets[i-1].PowerW {
			t.Fatal("the pipe is past its peak: this test asks nothing")
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		stream := rapid.SliceOfN(rapid.Float64Range(0, 0.01), 10, 20).Draw(t, "stream")
		more := slices.Clone(stream)
		for i := range more {
			more[i] += rapid.Float64Range(0, 0.003).Draw(t, "more")
		}
		a, b := m.Series(nil, hydro.Creek{FlowM3S: stream}, hydro.AllYear), m.Series(nil, hydro.Creek{FlowM3S: more}, hydro.AllYear)
		for h := range a.PowerW {
			if b.PowerW[h] < a.PowerW[h] {
				t.Fatalf("hour %d: %g m³/s give %g W, %g m³/s give %g W", h, stream[h/24], a.PowerW[h], more[h/24], b.PowerW[h])
			}
		}
	})
}

func TestSeriesReusesItsSlices(t *testing.T) {
	p := plant()
	m := p.Prepare()
	stream := slices.Repeat([]float64{0.001, 0.002, 0.003}, 122)
	for _, volume := range []float64{0, 5} {
		m.Plant.Forebay.VolumeM3 = volume
		f := m.Series(nil, hydro.Creek{FlowM3S: stream}, hydro.AllYear)
		if n := testing.AllocsPerRun(5, func() { m.Series(f, hydro.Creek{FlowM3S: stream}, hydro.AllYear) }); n > 0 {
			t.Errorf("volume %g m³: %g allocations a year", volume, n)
		}
	}
}

func BenchmarkSeries(b *testing.B) {
	stream := make([]float64, 365)
	for i := range stream {
		stream[i] = 0.002 * (1 + math.Cos(float64(i)/58))
	}
	spear := plant()
	spear.Turbine.NozzlesM, spear.Turbine.DesignFlowM3S = nil, 0.003
	pond := plant()
	pond.Forebay = hydro.Forebay{VolumeM3: 5, RestartFraction: 0.5}
	for _, c := range []struct {
		name string
		p    hydro.Plant
	}{{"nozzles", plant()}, {"spear", spear}, {"forebay", pond}} {
		m := c.p.Prepare()
		f := &hydro.Flow{}
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				m.Series(f, hydro.Creek{FlowM3S: stream}, hydro.AllYear)
			}
		})
	}
	// Against solving the nozzles anew for each day.
	b.Run("days-solved-anew", func(b *testing.B) {
		m, f := plant().Prepare(), &hydro.Flow{}
		w := hydro.WaterAt(10)
		p := plant().Penstock
		var naive, ready time.Duration
		for b.Loop() {
			start := time.Now()
			for range stream {
				for _, area := range []float64{3.8e-5, 6.4e-5, 1.02e-4} {
					p.JetFlow(area, 0.94, w)
				}
			}
			naive += time.Since(start)
			start = time.Now()
			m.Series(f, hydro.Creek{FlowM3S: stream}, hydro.AllYear)
			ready += time.Since(start)
		}
		b.ReportMetric(float64(naive)/float64(ready), "x-faster")
	})
	b.Run("prepare", func(b *testing.B) {
		for b.Loop() {
			plant().Prepare()
		}
	})
	b.Run("prepare-spear", func(b *testing.B) {
		for b.Loop() {
			spear.Prepare()
		}
	})
}

// Whoever opens the valve is there: the turbine runs from that day on if its
// water is enough, whatever the round.
func TestOpeningDayIsAVisit(t *testing.T) {
	p := plant()
	m := p.Prepare()
	for _, every := range []int{7, 1} {
		p.Visits = hydro.Visits{EveryDays: every}
		left := days(slices.Repeat([]float64{m.Sets[1].FlowM3S}, 30))
		stream := left.stream(p)
		for open := range 30 {
			f := p.Prepare().Series(nil, hydro.Creek{FlowM3S: stream}, hydro.Season{Open: open, Close: 30})
			for d := range 30 {
				want := 0.0
				if d >= open {
					want = m.Sets[1].PowerW
				}
				if got := f.PowerW[24*d]; got != want {
					t.Fatalf("rounds of %d days, opened on day %d: %g W on day %d, want %g", every, open, got, d, want)
				}
			}
		}
	}
	if f := p.Prepare().Series(nil, hydro.Creek{FlowM3S: []float64{0.01, 0.01, 0.01, 0.01}}, hydro.Season{Open: 3, Close: 1}); f.PowerW[0] == 0 || f.PowerW[24] != 0 || f.PowerW[48] != 0 || f.PowerW[72] == 0 {
		t.Error("a valve open at both ends of the year does not run there, or runs between")
	}
}

// A pipe that runs dry in the hour in which the valve is shut is no dry-pipe
// stop; an hour before, it is one.
func TestDryStopAtTheClosingHour(t *testing.T) {
	p := plant()
	both := p.Prepare().Sets[2].FlowM3S
	left := days{both, both, both, 0, 0, 0}
	for _, volume := range []float64{0, 0.01} {
		p.Forebay = hydro.Forebay{VolumeM3: volume, RestartFraction: 0.5}
		for _, c := range []struct{ close, stops int }{{3, 0}, {4, 1}, {6, 1}} {
			f := p.Prepare().Series(nil, hydro.Creek{FlowM3S: left.stream(p)}, hydro.Season{Open: 0, Close: c.close})
			if len(f.DryStopHour) != c.stops {
				t.Errorf("forebay %g m³, closed on day %d: dry-pipe stops in hours %v, want %d", volume, c.close, f.DryStopHour, c.stops)
			}
		}
	}
}

// Jets have no governor: a set that gives more than the limit is not fitted,
// and no watts vanish; the smallest above it leaves nothing to fit. A spear
// valve is opened to the limit and no further.
func TestPowerLimit(t *testing.T) {
	p := plant()
	p.Turbine.Overall = 0.5
	free := p.Prepare()
	wet := slices.Repeat([]float64{0.01}, 10)
	p.Turbine.MaxPowerW = (free.Sets[1].PowerW + free.Sets[2].PowerW) / 2
	m := p.Prepare()
	if len(m.Sets) != 2 || len(m.TooStrong) != 1 || m.TooStrong[0].UnlimitedW != free.Sets[2].PowerW {
		t.Fatalf("%d sets are fitted and %d are too strong, want 2 and 1", len(m.Sets), len(m.TooStrong))
	}
	within(t, "the most it might give", m.Might.UnlimitedW, free.Sets[2].PowerW, 1e-12)
	within(t, "the most that is fitted", m.GreatestW, free.Sets[1].PowerW, 1e-12)
	if ws := m.Warnings(metric{}); !slices.ContainsFunc(ws, func(w hydro.Warning) bool { return w.Key == "limit" && !w.Minor }) {
		t.Errorf("nobody warns of the set that is too strong: %v", ws)
	}
	f := m.Series(nil, hydro.Creek{FlowM3S: wet}, hydro.AllYear)
	within(t, "watts of the set that is fitted", f.PowerW[100], free.Sets[1].PowerW, 1e-12)
	within(t, "water of the set that is fitted", f.TurbineM3S[100], free.Sets[1].FlowM3S, 1e-12)

	p.Turbine.MaxPowerW = free.Sets[0].PowerW / 2
	m = p.Prepare()
	if len(m.Sets) != 0 || m.Sets == nil {
		t.Fatalf("%d sets are fitted, want none, and not a spear valve", len(m.Sets))
	}
	if f := m.Series(nil, hydro.Creek{FlowM3S: wet}, hydro.AllYear); slices.Max(f.PowerW) > 0 {
		t.Error("a turbine whose smallest nozzle is too strong runs")
	}

	p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S, p.Turbine.MaxPowerW = nil, 0.002, 0
	full := p.Prepare().At(0.002).PowerW
	p.Turbine.MaxPowerW = 0.6 * full
	m = p.Prepare()
	f = m.Series(nil, hydro.Creek{FlowM3S: wet}, hydro.AllYear)
	within(t, "a throttled spear valve", f.PowerW[100], 0.6*full, 1e-3)
	within(t, "what the machine makes of the water that it takes", m.At(f.TurbineM3S[100]).UnlimitedW, 0.6*full, 1e-6)
	within(t, "the most it might give", m.Might.UnlimitedW, full, 1e-9)
}
