package hydro_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sources/hydro"
)

// drawPlant draws a household set whose alternator is given by its limit,
// which no set reaches.
func drawPlant(t *rapid.T) hydro.Plant {
	p := plant()
	p.Penstock.GrossHeadM = rapid.Float64Range(5, 100).Draw(t, "head")
	p.Penstock.BoreM = rapid.Float64Range(0.025, 0.1).Draw(t, "bore")
	p.Penstock.LengthM = p.Penstock.GrossHeadM * rapid.Float64Range(1.2, 15).Draw(t, "length over head")
	p.Turbine.NozzlesM = rapid.SliceOfN(rapid.Float64Range(0.004, 0.014), 1, 4).Draw(t, "nozzles")
	// All the water of these jets, and one more of 14 mm, under the whole head.
	area := math.Pi / 4 * 0.014 * 0.014
	for _, d := range p.Turbine.NozzlesM {
		area += math.Pi / 4 * d * d
	}
	p.Turbine.MaxPowerW = 9810 * p.Penstock.GrossHeadM * area * math.Sqrt(2*9.81*p.Penstock.GrossHeadM)
	p.Turbine.CutoffM3S = rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 0.001)).Draw(t, "cutoff")
	if rapid.Bool().Draw(t, "spear") {
		p.Turbine.NozzlesM, p.Turbine.DesignFlowM3S = nil, rapid.Float64Range(5e-4, 0.006).Draw(t, "design")
	}
	if rapid.Bool().Draw(t, "forebay") {
		p.Forebay = hydro.Forebay{VolumeM3: rapid.Float64Range(0.1, 20).Draw(t, "volume"), RestartFraction: rapid.Float64Range(0.1, 1).Draw(t, "restart")}
	}
	p.Visits = hydro.Visits{EveryDays: rapid.SampledFrom([]int{7, 3, 14}).Draw(t, "rounds"), AfterStop: true, AfterRainMM: 20}
	return p
}

// The ways in which a plant can only be better.
var better = map[string]func(t *rapid.T, p *hydro.Plant) bool{
	"a wider pipe": func(t *rapid.T, p *hydro.Plant) bool {
		p.Penstock.BoreM *= rapid.Float64Range(1.01, 1.5).Draw(t, "wider")
		return true
	},
	"one more nozzle": func(t *rapid.T, p *hydro.Plant) bool {
		p.Turbine.NozzlesM = append(slices.Clone(p.Turbine.NozzlesM), rapid.Float64Range(0.003, 0.014).Draw(t, "one more"))
		return p.Turbine.DesignFlowM3S == 0
	},
	"more frequent visits": func(t *rapid.T, p *hydro.Plant) bool {
		p.Visits.EveryDays = 1
		return true
	},
	"a bigger forebay": func(t *rapid.T, p *hydro.Plant) bool {
		if p.Forebay.VolumeM3 == 0 {
			p.Forebay.RestartFraction = 0.5
		}
		p.Forebay.VolumeM3 = p.Forebay.VolumeM3*1.5 + 0.2
		return true
	},
}

func yearWh(p hydro.Plant, c hydro.Creek) (sum float64) {
	for _, w := range p.Prepare().Series(nil, c, hydro.AllYear).PowerW {
		sum += w
	}
	return sum
}

// On a steady creek a wider pipe, one more nozzle, more frequent visits and a
// bigger forebay never give less. (A forebay that is a part of a turn behind
// when the year ends may lack what it then holds.)
func TestBetterPlantNeverGivesLess(t *testing.T) {
	for name, improve := range better {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				p := drawPlant(t)
				q := p.Intake.ResidualM3S + p.Intake.HouseWaterM3S + rapid.Float64Range(0, 0.006).Draw(t, "left")
				c := hydro.Creek{FlowM3S: slices.Repeat([]float64{q}, 365)}
				was := yearWh(p, c)
				if !improve(t, &p) {
					t.Skip("of no use here")
				}
				is := yearWh(p, c)
				held := 1000 * 9.81 * p.Forebay.VolumeM3 * p.Penstock.GrossHeadM / 3600
				if is < was*(1-1e-6)-held {
					t.Fatalf("%.4g L/s gave %.2f kWh, and with %s %.2f kWh", 1000*q, was/1000, name, is/1000)
				}
			})
		})
	}
}

// realCreek makes up years of a creek as real ones are: storms that come in
// wet spells and weigh by an exponential distribution, a quick rise, and a
// recession −dQ/dt = a Q^b between them.
func realCreek(seed uint64, years int) (flow, rain []float64) {
	r := rand.New(rand.NewPCG(seed, 7))
	q := 0.002 * math.Exp(r.NormFloat64())
	wet := false
	b := 1 + r.Float64()
	for d := range 365 * years {
		season := 0.5 + 0.4*math.Cos(2*math.Pi*float64(d-90)/365)
		if chance := 0.25 * season; wet {
			wet = r.Float64() < 0.55+chance
		} else {
			wet = r.Float64() < chance
		}
		mm := 0.0
		if wet {
			mm = 9 * r.ExpFloat64()
		}
		day := q * (0.03 + 0.05*math.Pow(q/0.002, b-1))
		q = max(q-min(day, 0.5*q), 1e-5) + 1.2e-4*max(mm-2, 0)*season
		flow, rain = append(flow, q), append(rain, mm)
	}
	return flow, rain
}

// On creeks as real ones are, a better plant of a household's size, visited as
// usual, is never worse by more than 1 % in its mean over years.
func TestBetterPlantOnRealCreeks(t *testing.T) {
	const years, plants = 8, 60
	for name, improve := range better {
		t.Run(name, func(t *testing.T) {
			worst := 1.0
			for n := range plants {
				flow, rain := realCreek(uint64(n), years)
				rec := hydro.FitRecession(flow, rain)
				mean := func(p hydro.Plant) (sum float64) {
					m, f := p.Prepare(), &hydro.Flow{}
					for y := range years {
						f = m.Series(f, hydro.Creek{FlowM3S: flow[365*y : 365*y+365], RainMM: rain[365*y : 365*y+365], Recession: rec}, hydro.AllYear)
						for _, w := range f.PowerW {
							sum += w / years
						}
					}
					return sum
				}
				draw := rapid.Custom(func(t *rapid.T) [2]float64 {
					p := drawPlant(t)
					p.Turbine.CutoffM3S *= 0.3
					p.Forebay.VolumeM3 /= 4
					p.Visits = hydro.Visits{EveryDays: 7, AfterStop: true, AfterRainMM: 20}
					was := mean(p)
					if !improve(t, &p) {
						return [2]float64{1, 1}
					}
					return [2]float64{was, mean(p)}
				}).Example(n)
				if draw[0] > 50e3 {
					worst = min(worst, draw[1]/draw[0])
				}
			}
			if worst < 0.99 {
				t.Errorf("a plant gives %.2f %% less with %s", 100*(1-worst), name)
			}
		})
	}
}

// The recession of a creek that falls by a law of its own is found, and how
// much is left after days agrees with small steps of the law.
func TestRecession(t *testing.T) {
	for _, b := range []float64{1, 1.4, 2.2} {
		const a = 12.0
		scale := a
		if b == 1 {
			scale = 0.05
		}
		var flow []float64
		q := 0.004
		for range 90 {
			flow = append(flow, q)
			for range 1000 {
				q -= scale * math.Pow(q, b) / 1000
			}
		}
		r := hydro.FitRecession(flow, make([]float64, len(flow)))
		within(t, "exponent", r.B, b, 0.02)
		for _, days := range []int{1, 7, 30} {
			within(t, "flow after days", r.After(flow[10], float64(days)), flow[10+days], 0.01)
		}
		double := r.Times(2)
		within(t, "twice the creek", double.After(2*flow[10], 7), 2*r.After(flow[10], 7), 1e-9)
	}
	if r := hydro.FitRecession([]float64{1, 1, 1, 1, 1}, nil); r != (hydro.Recession{}) {
		t.Errorf("a steady creek falls: %+v", r)
	}
	// Four days of five fall no faster than what the visitor reckons with.
	flow, rain := realCreek(5, 10)
	r := hydro.FitRecession(flow, rain)
	days, slower := 0, 0
	for d := 1; d < len(flow); d++ {
		if rain[d-1] < 0.1 && rain[d] < 0.1 && flow[d] < flow[d-1] {
			days++
			if flow[d] >= r.After(flow[d-1], 1) {
				slower++
			}
		}
	}
	if fraction := float64(slower) / float64(days); fraction < 0.7 || fraction > 0.97 {
		t.Errorf("%.0f %% of %d falling days fall no faster than reckoned, want about 80 %%", 100*fraction, days)
	}
}

// A visitor who looks a week ahead fits for the end of it: no stop on a creek
// that falls as it used to, and a walk before the pipe runs dry.
func TestVisitorLooksAhead(t *testing.T) {
	p := plant()
	m := p.Prepare()
	left := m.Sets[2].FlowM3S * 1.05
	rec := hydro.Recession{A: 0.05, B: 1}
	var c hydro.Creek
	c.Recession = rec
	first := p.Intake.ResidualM3S + p.Intake.HouseWaterM3S
	for range 60 {
		c.FlowM3S = append(c.FlowM3S, left+first)
		left = left*math.Exp(-0.05) - first*(1-math.Exp(-0.05))
	}
	p.Visits = hydro.Visits{EveryDays: 7}
	f := p.Prepare().Series(nil, c, hydro.AllYear)
	if len(f.DryStopHour) > 0 {
		t.Errorf("dry-pipe stops in hours %v on a creek that falls as expected", f.DryStopHour)
	}
	ran := 0
	for d := range c.FlowM3S {
		if f.PowerW[24*d] > 0 {
			ran++
		}
		if could := m.MeanPower(p.Intake.Left(c.FlowM3S[d])); f.PowerW[24*d] > could*(1+1e-9) {
			t.Errorf("day %d: %g W, the water can give %g W", d, f.PowerW[24*d], could)
		}
	}
	last := 0
	for d := range c.FlowM3S {
		if m.MeanPower(p.Intake.Left(c.FlowM3S[d])) > 0 {
			last = d
		}
	}
	if ran < last-1 {
		t.Errorf("ran on %d days, the water carries it on %d", ran, last+1)
	}
}

// Joined, the openings give what a season that begins on that day gives.
func TestOpeningsAgreeWithSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPlant(t)
		p.Visits = drawVisits(t)
		flow, rain := realCreek(rapid.Uint64Range(1, 1000).Draw(t, "creek"), 1)
		days := rapid.IntRange(20, 120).Draw(t, "days")
		from := rapid.IntRange(0, 365-days).Draw(t, "from")
		flow, rain = flow[from:from+days], rain[from:from+days]
		c := hydro.Creek{FlowM3S: flow, RainMM: rain, Recession: hydro.FitRecession(flow, rain)}
		m := p.Prepare()
		all := m.Openings(c)
		for o := range all {
			want := m.Series(nil, c, hydro.Season{Open: o, Close: days})
			var got hydro.Flow
			got.PowerW = make([]float64, 24*o)
			at, end := &all[o], days
			for day := o; day < end; day = at.Until {
				if day > o {
					at = &all[at.As]
					for at.Until <= day {
						at = &all[at.As]
					}
				}
				got.PowerW = append(got.PowerW, at.PowerW[24*(day-at.Day):]...)
				for _, h := range at.DryStopHour {
					if h >= 24*day {
						got.DryStopHour = append(got.DryStopHour, h)
					}
				}
				for _, v := range at.VisitDay {
					if v >= day {
						got.VisitDay = append(got.VisitDay, v)
					}
				}
				if at.As < 0 {
					break
				}
			}
			if !slices.Equal(got.PowerW, want.PowerW) || !slices.Equal(got.DryStopHour, want.DryStopHour) || !slices.Equal(got.VisitDay, want.VisitDay) {
				t.Fatalf("opened on day %d: joined and whole differ", o)
			}
			if all[o].Runs != (want.PowerW[24*o] > 0 || slices.Max(want.PowerW[24*o:24*o+24]) > 0) {
				t.Fatalf("opened on day %d: runs %v", o, all[o].Runs)
			}
		}
	})
}
