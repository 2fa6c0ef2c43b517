package sim

import (
	"math"
	"time"
)

// Period is what happened in a day or a month of a year.
type Period struct {
	Start    time.Time // 00:00 of its first day
	Days     int
	RainMM   float64 // sum
	SunHours float64 // daily mean
	FlowM3S  float64 // mean stream flow; 0 without a stream

	Given               Yields // by the sources
	GeneratorWh         float64
	DemandWh, ServedWh  float64
	UnmetWh, FlexibleWh float64
	DumpWh, OverDumpWh  float64
	CurtailedWh         float64
	UnmetHours          int
	MinSoC, MaxSoC      float64 // at the ends of its hours
	NoonSoC             float64 // of its last day, at 12:00
	Visits              int     // walks to the turbine
}

// Days returns every day of the year.
func (y *Year) Days() []Period { return y.periods(func(time.Time) bool { return true }) }

// Months returns the calendar months of the year; where the year does not
// begin on the first of a month, its first and its last are parts of one.
func (y *Year) Months() []Period {
	return y.periods(func(day time.Time) bool { return day.Day() == 1 })
}

// periods cuts the year before each day for which begins is true.
func (y *Year) periods(begins func(day time.Time) bool) []Period {
	var ps []Period
	in := y.In
	visits := in.VisitDay
	for d := range in.Hours() / 24 {
		day := in.Start.AddDate(0, 0, d)
		if d == 0 || begins(day) {
			p := Period{Start: day, MinSoC: math.Inf(1), MaxSoC: math.Inf(-1), Given: make(Yields, len(in.Sources))}
			for i := range p.Given {
				p.Given[i].Kind = in.Sources[i].Kind
			}
			ps = append(ps, p)
		}
		p := &ps[len(ps)-1]
		p.Days++
		if in.RainMM != nil {
			p.RainMM += in.RainMM[d]
		}
		if in.SunHours != nil {
			p.SunHours += in.SunHours[d]
		}
		if in.FlowM3S != nil {
			p.FlowM3S += in.FlowM3S[d]
		}
		p.NoonSoC = y.SoC[24*d+11]
		if len(visits) > 0 && visits[0] == d {
			p.Visits++
			visits = visits[1:]
		}
		for i := range p.Given {
			for _, w := range in.Sources[i].W[24*d : 24*(d+1)] {
				p.Given[i].Wh += w
			}
		}
		for h := 24 * d; h < 24*(d+1); h++ {
			p.GeneratorWh += y.GeneratorW[h]
			p.DemandWh += in.DemandW[h]
			p.ServedWh += y.ServedW[h]
			p.UnmetWh += y.UnmetW[h]
			p.FlexibleWh += y.FlexibleW[h]
			p.DumpWh += y.DumpW[h]
			p.OverDumpWh += y.OverDumpW[h]
			p.CurtailedWh += y.CurtailedW[h]
			if y.UnmetW[h] > UnmetThresholdW {
				p.UnmetHours++
			}
			p.MinSoC = min(p.MinSoC, y.SoC[h])
			p.MaxSoC = max(p.MaxSoC, y.SoC[h])
		}
	}
	for i := range ps {
		ps[i].SunHours /= float64(ps[i].Days)
		ps[i].FlowM3S /= float64(ps[i].Days)
	}
	return ps
}
