package plots_test

import (
	"math"
	"math/rand/v2"
	"time"

	"sunrill/plots"
)

// A made-up year for the tests: wet winter, dry summer, 2016–17.
var yearStart = time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)

const yearDays = 365

type synthetic struct {
	rainMM, flowM3S                       []float64
	turbineM3S, pvW, hydroW, demandW, soc []float64
	unmetW, surplusW                      []float64
	unmetHours                            []int
	months                                []time.Time
	pvWh, hydroWh, demandWh, unmetWh      []float64
}

func syntheticYear() *synthetic {
	r := rand.New(rand.NewPCG(1, 2))
	m := &synthetic{}
	wet, store := 0.0, 600.0
	soil := 0.0
	const capacityWh = 9600
	stored := float64(capacityWh)
	for d := range yearDays {
		season := math.Cos(2 * math.Pi * float64(d-90) / 365) // 1 at the end of December
		rain := 0.0
		if r.Float64() < 0.38+0.25*season {
			rain = r.ExpFloat64() * (6 + 5*season)
		}
		soil = math.Min(soil+rain, 120)
		passed := 0.0
		if soil >= 119 {
			passed = rain
		}
		soil = math.Max(0, soil-(2.2-1.8*season))
		wet = wet*0.9 + passed*0.1
		store = store*0.4 + passed*0.6
		flow := 0.0002 + 0.0009*wet + 0.0006*store
		m.rainMM, m.flowM3S = append(m.rainMM, rain), append(m.flowM3S, flow)
		clear := math.Max(0.25, 1-rain/12) * (0.7 + 0.3*r.Float64())
		take := 0.0
		if d > 35 && d < 210 && flow > 0.0012 {
			take = math.Min(flow-0.0004, 0.0035)
		}
		for h := range 24 {
			sun := math.Max(0, math.Cos(math.Pi*(float64(h)+0.5-12)/(10-3.5*season)))
			if math.Abs(float64(h)+0.5-12) > (10-3.5*season)/2 {
				sun = 0
			}
			pv := 1500 * clear * sun * (0.85 - 0.4*season)
			hydro := take * 9.81 * 45 * 500
			demand := 260 + 120*math.Exp(-math.Pow(float64(h)-19, 2)/6) + 60*math.Exp(-math.Pow(float64(h)-7, 2)/2)
			net := pv + hydro - demand
			unmet, surplus := 0.0, 0.0
			stored += net
			if stored > capacityWh {
				surplus, stored = stored-capacityWh, capacityWh
			}
			if stored < 0.2*capacityWh {
				unmet, stored = 0.2*capacityWh-stored, 0.2*capacityWh
			}
			m.turbineM3S = append(m.turbineM3S, take)
			m.pvW, m.hydroW, m.demandW = append(m.pvW, pv), append(m.hydroW, hydro), append(m.demandW, demand)
			m.soc = append(m.soc, stored/capacityWh)
			m.unmetW, m.surplusW = append(m.unmetW, unmet), append(m.surplusW, surplus)
		}
	}
	for i := range 12 {
		from := yearStart.AddDate(0, i, 0)
		a, b := int(from.Sub(yearStart).Hours()), int(yearStart.AddDate(0, i+1, 0).Sub(yearStart).Hours())
		m.months = append(m.months, from)
		add := func(vs []float64) float64 {
			t := 0.0
			for _, v := range vs[a:b] {
				t += v
			}
			return t
		}
		m.pvWh, m.hydroWh = append(m.pvWh, add(m.pvW)), append(m.hydroWh, add(m.hydroW))
		m.demandWh, m.unmetWh = append(m.demandWh, add(m.demandW)), append(m.unmetWh, add(m.unmetW))
		n := 0
		for _, w := range m.unmetW[a:b] {
			if w > 0.05 {
				n++
			}
		}
		m.unmetHours = append(m.unmetHours, n)
	}
	return m
}

// sunPath is the sun's way at 43° N for a declination, by the plain formulas.
func sunPath(name string, declDeg float64) plots.SunPath {
	const lat = 43 * math.Pi / 180
	decl := declDeg * math.Pi / 180
	p := plots.SunPath{Name: name, Solstice: math.Abs(declDeg) > 23}
	for q := range 24 * 4 {
		hour := float64(q) / 4
		w := (hour - 12) * math.Pi / 12
		up := math.Asin(math.Sin(lat)*math.Sin(decl) + math.Cos(lat)*math.Cos(decl)*math.Cos(w))
		if up < 0 {
			continue
		}
		az := math.Atan2(math.Sin(w), math.Cos(w)*math.Sin(lat)-math.Tan(decl)*math.Cos(lat))
		p.BearingDeg = append(p.BearingDeg, az*180/math.Pi+180)
		p.HeightDeg = append(p.HeightDeg, up*180/math.Pi)
		p.Hour = append(p.Hour, hour)
	}
	return p
}

// allCharts draws every chart of a year from the made-up numbers.
func allCharts() []plots.Chart {
	m := syntheticYear()
	var spells []plots.Spell
	for h, s := range m.soc {
		depth := (1 - s) * 9600
		if depth < 1 {
			continue
		}
		if n := len(spells); n > 0 && spells[n-1].StartHour+spells[n-1].Hours == h {
			spells[n-1].Hours++
			spells[n-1].UnmetWh += m.unmetW[h]
			spells[n-1].DepthWh = math.Max(spells[n-1].DepthWh, depth+spells[n-1].UnmetWh)
		} else {
			spells = append(spells, plots.Spell{StartHour: h, Hours: 1, DepthWh: depth})
		}
	}
	uses := []string{"fridge", "lights", "laptop and router", "well pump", "washing machine", "radio"}
	house := plots.Household{Uses: uses, Seasons: []string{"Dec–Feb", "Mar–May", "Jun–Aug", "Sep–Nov"}}
	for s := range 4 {
		var w [][24]float64
		for u := range uses {
			var day [24]float64
			for h := range 24 {
				day[h] = (60 + 20*float64(u%3)*math.Exp(-math.Pow(float64(h-8-2*u), 2)/8)) * (1 + 0.1*float64(s)) / float64(1+u)
			}
			w = append(w, day)
		}
		house.MeanW = append(house.MeanW, w)
	}
	measured := make([]float64, len(m.soc))
	for h := range measured {
		measured[h] = math.NaN()
		if h > 1000 && h < 3000 {
			measured[h] = math.Min(1, m.soc[h]*0.96+0.03*math.Sin(float64(h)/50))
		}
	}
	return []plots.Chart{
		plots.EnergyByMonth(plots.MonthlyEnergy{Months: m.months, From: "sun and creek", Supplies: []plots.Supply{{Name: "creek", What: plots.Hydro, Wh: m.hydroWh}, {Name: "panels", What: plots.Panels, Wh: m.pvWh}}, DemandWh: m.demandWh, UnmetWh: m.unmetWh, UnmetHours: m.unmetHours}),
		plots.ChargeThroughYear(plots.Charge{Start: yearStart, SoC: m.soc, UnmetW: m.unmetW, UnmetThresholdW: 0.05, FloorSoC: 0.2, ComfortSoC: 0.5}),
		plots.RainAndCreek(plots.Water{Start: yearStart, RainMM: m.rainMM, FlowM3S: m.flowM3S, TurbineM3S: m.turbineM3S, CutoffM3S: 0.0008,
			OpenHour: 36 * 24, CloseHour: 210 * 24, DryStopHour: []int{1300, 2100}}),
		plots.HourMap(plots.Hours{Start: yearStart, UnmetW: m.unmetW, SurplusW: m.surplusW, UnmetThresholdW: 0.05}),
		plots.DeficitSpells(plots.Spells{Start: yearStart, From: "sun and creek", Days: yearDays, Spells: spells, UsableWh: 0.8 * 9600}),
		plots.HorizonAndSun(plots.HorizonLine{BearingDeg: []float64{0, 90, 120, 150, 180, 200, 220, 270}, HeightDeg: []float64{3, 5, 14, 19, 22, 20, 11, 8},
			Paths: []plots.SunPath{sunPath("Jun", 23.44), sunPath("May, Jul", 20.1), sunPath("Apr, Aug", 11.8), sunPath("Mar, Sep", 0), sunPath("Feb, Oct", -11), sunPath("Jan, Nov", -20.1), sunPath("Dec", -23.44)}}),
		plots.DayBySeason(house),
		plots.WhoUsesWhat([]plots.Use{{"fridge", 320e3, false}, {"lights", 110e3, false}, {"hot water", 700e3, true}, {"laptop and router", 190e3, false}, {"well pump", 88.4e3, false}, {"washing machine", 60e3, false}, {"radio", 8e3, false}}),
		plots.UnmetByYear(plots.Years{Names: []string{"2004–05", "2005–06", "2006–07", "2007–08", "2008–09", "2009–10", "2010–11", "2011–12", "2012–13", "2013–14", "2014–15", "2015–16"},
			UnmetHours: []int{12, 0, 140, 33, 80, 5, 0, 22, 61, 19, 212, 40}, RainMM: []float64{1100, 1400, 870, 1010, 930, 1250, 1390, 1100, 990, 1180, 760, 1040}}),
		plots.MeterBeside(plots.Metered{Start: yearStart, What: plots.Bank, Simulated: m.soc, Measured: measured}),
	}
}
