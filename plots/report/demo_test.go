package report_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"sunrill/plots"
	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/sim/measure"
	"sunrill/sources/hydro"
	"sunrill/storage"
)

// synthetic runs a made-up year: wet winter, dry summer, from 1 October 2016.
func synthetic(t testing.TB) report.Year {
	t.Helper()
	const days = 365
	r := rand.New(rand.NewPCG(1, 2))
	in := &sim.Input{
		Start:   time.Date(2016, 10, 1, 0, 0, 0, 0, time.FixedZone("standard time", 3600)),
		Sources: sim.PanelsAndCreek(make([]float64, 24*days), make([]float64, 24*days)), DemandW: make([]float64, 24*days),
		RainMM: make([]float64, days), SunHours: make([]float64, days), FlowM3S: make([]float64, days),
		TurbineM3S: make([]float64, 24*days), CutoffM3S: 0.0008, OpenHour: 24 * 36, CloseHour: 24 * 210,
		DryStopHour: []int{24 * 70, 24*150 + 3},
	}
	ground, wet := 0.0, 0.0
	for d := range days {
		season := math.Cos(2 * math.Pi * float64(d-90) / 365) // 1 at the end of December
		if r.Float64() < 0.38+0.25*season {
			in.RainMM[d] = r.ExpFloat64() * (6 + 5*season)
		}
		passed := 0.0
		if ground = ground + in.RainMM[d]; ground > 90 {
			passed, ground = ground-90, 90
		}
		ground = math.Max(0, ground-2.2+1.8*season)
		wet = wet*0.9 + passed*0.1
		in.FlowM3S[d] = 0.0003 + 0.0007*wet
		take := 0.0
		if d >= 36 && d < 210 && in.FlowM3S[d] > 0.0012 {
			take = math.Min(in.FlowM3S[d]-0.0004, 0.0022)
		}
		clear := math.Max(0.2, 1-in.RainMM[d]/12) * (0.7 + 0.3*r.Float64())
		half := (10 - 3.5*season) / 2
		for h := range 24 {
			i, x := 24*d+h, float64(h)+0.5-12
			if math.Abs(x) < half {
				in.W(sim.Panels)[i] = 1800 * clear * math.Cos(math.Pi*x/2/half) * (0.8 - 0.45*season)
			}
			in.SunHours[d] += in.W(sim.Panels)[i] / 1500
			in.TurbineM3S[i] = take
			in.W(sim.Creek)[i] = take * 1000 * 9.81 * 40 * 0.5
			in.DemandW[i] = 190 + 260*math.Exp(-(float64(h)-19)*(float64(h)-19)/5) + 120*math.Exp(-(float64(h)-8)*(float64(h)-8)/3)
		}
	}
	bank, ok := storage.Preset("flooded", 14400, 24)
	if !ok {
		t.Fatal("no preset for a flooded bank")
	}
	y, err := sim.Run(in, sim.Bus{Bank: bank, DumpW: 1000})
	if err != nil {
		t.Fatal(err)
	}
	return report.Year{Year: y, Summary: sim.Summarize(y)}
}

// full adds what a site may have more.
func full(t testing.TB) report.Year {
	v := synthetic(t)
	v.Uses = []plots.Use{{Name: "fridge", Wh: 320e3}, {Name: "well pump and pressure tank", Wh: 190e3}, {Name: "lights", Wh: 110e3}, {Name: "hot water", Wh: 900e3, Flexible: true}}
	v.Household = &plots.Household{Uses: []string{"fridge", "well pump", "lights"}, Seasons: []string{"Dec–Feb", "Mar–May", "Jun–Aug", "Sep–Nov"}}
	for range 4 {
		day := make([][24]float64, 3)
		for h := range 24 {
			day[0][h], day[1][h], day[2][h] = 37, float64(h%5)*10, math.Max(0, 80-20*math.Abs(float64(h)-20))
		}
		v.Household.MeanW = append(v.Household.MeanW, day)
	}
	var path plots.SunPath
	path.Name, path.Solstice = "Dec", true
	for b := 120.0; b <= 240; b += 5 {
		path.BearingDeg = append(path.BearingDeg, b)
		path.HeightDeg = append(path.HeightDeg, 23*math.Cos((b-180)/60*math.Pi/2))
	}
	v.HorizonLines = []report.HorizonLine{{HorizonLine: plots.HorizonLine{BearingDeg: []float64{90, 150, 180, 220}, HeightDeg: []float64{4, 16, 19, 9}, Paths: []plots.SunPath{path}}}}
	metered := make([]float64, len(v.Year.SoC))
	for h := range metered {
		metered[h] = math.NaN()
		if h > 2000 && h < 4000 {
			metered[h] = 0.95 * v.Year.SoC[h]
		}
	}
	log := sim.Reading{Values: metered}
	for h := range metered {
		log.Time = append(log.Time, v.Year.In.Start.Add(time.Duration(h)*time.Hour))
	}
	v.Meters = []report.Meter{{
		Metered:    plots.Metered{Start: v.Year.In.Start, What: plots.Bank, Simulated: v.Year.SoC, Measured: metered},
		Comparison: sim.CompareMeter(v.Year.In.Start, v.Year.SoC, log),
	}}
	v.System = measure.US
	v.Machine = hydro.Plant{
		Penstock: hydro.Penstock{GrossHeadM: 44, LengthM: 260, BoreM: 0.05, WaterC: 10},
		Turbine:  hydro.Turbine{Kind: "pelton", NozzlesM: []float64{0.007, 0.009}, CutoffM3S: 0.0008, Overall: 0.5},
	}.Prepare()
	return v
}

func page(v report.Year) report.Page {
	verdict, bad := both(v.Verdict())
	return report.Page{
		Title: "A made-up homestead", Subtitle: v.Name(), Verdict: report.Verdict{Sentences: verdict, Bad: bad},
		Warnings:    []string{"rain.csv: no rain on 61 days running in 2014; a blocked gauge reads so too"},
		Sections:    append([]report.Section{years(v)}, v.Sections()...),
		Cautions:    report.Cautions(report.Dangers{Hydro: true, Bank: []report.Caution{{Title: "Hydrogen and acid.", Text: "Ventilate the room."}}}),
		Assumptions: []report.Assumption{{"panel losses", "14 %", "dirt, wiring and mismatch: the usual sum"}, {"bank floor", "50 %", "lead-acid lasts longer when half full at least"}},
		NotModelled: report.NotModelled(true),
		Made:        "Made by a test.",
	}
}

// years is the made-up year, and three that are invented beside it.
func years(v report.Year) report.Section {
	line := report.YearLine{Start: v.Year.In.Start, RainMM: 810, Summary: v.Summary}
	lines := []report.YearLine{line, line, line, line}
	for i := range lines[1:] {
		l := &lines[i+1]
		l.Start = line.Start.AddDate(i+1, 0, 0)
		l.RainMM *= 1 + 0.1*float64(i)
		l.Summary.UnmetHours = []int{0, 340, 12}[i]
	}
	return report.Years(lines, v.System, "years.csv")
}
