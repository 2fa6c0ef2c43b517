package series

import (
	"math"
	"time"

	"sunrill/sources/solar"
	"sunrill/weather"
)

// SunMonth is the sun of a month as the site sees it.
type SunMonth struct {
	Month      time.Month
	Up         []weather.Span // on the 21st, when the sun clears the hills
	UpFlat     []weather.Span // the same without hills
	Horizontal float64        // sun hours on the level, kWh/m² a day, without hills
	Panels     float64        // on the panels behind their hills
	NoHorizon  float64        // on the panels were there no hills
}

// SunMonths returns the twelve months, January first: sun hours are means over
// the homestead's years, those on panels the mean of the arrays by their power.
// The days are those of the last year.
func (h *Homestead) SunMonths() [12]SunMonth {
	s := h.Site
	open := make([]solar.Array, len(s.Arrays))
	for i, a := range s.Arrays {
		a.Horizon = nil
		open[i] = a
	}
	var ms [12]SunMonth
	var days [12]float64
	sum := func(month *float64, wm2 []float64) {
		for _, w := range wm2 {
			*month += w / 1000
		}
	}
	var m Maker
	var behind, free []float64
	unhidden := map[*geometry][]*solar.View{} // once for each length of year
	for _, y := range h.years {
		g := h.geometry(y)
		if unhidden[g] == nil {
			unhidden[g] = views(open, g.track.Path)
		}
		m.sun(h, g, y, h.record.Index(y.Start))
		behind = onPanels(g.views)(behind, m.sky.GHI, m.sky.DNI, m.sky.DHI)
		free = onPanels(unhidden[g])(free, m.sky.GHI, m.sky.DNI, m.sky.DHI)
		for d := range y.Days {
			i := y.Start.AddDate(0, 0, d).Month() - 1
			days[i]++
			sum(&ms[i].Horizontal, m.sky.GHI[24*d:24*d+24])
			sum(&ms[i].Panels, behind[24*d:24*d+24])
			sum(&ms[i].NoHorizon, free[24*d:24*d+24])
		}
	}
	year := h.years[len(h.years)-1].Start.Year()
	hills := s.Sun.Horizon
	if hills == nil && len(s.Arrays) > 0 {
		hills = s.Arrays[0].Horizon
	}
	for i := range ms {
		ms[i].Month = time.Month(i + 1)
		ms[i].Horizontal /= days[i]
		ms[i].Panels /= days[i]
		ms[i].NoHorizon /= days[i]
		midnight := time.Date(year, ms[i].Month, 21, 0, 0, 0, 0, s.Place.Zone())
		ms[i].UpFlat = weather.SunSpans(s.Place, midnight, nil)
		ms[i].Up = ms[i].UpFlat
		if len(hills) > 0 {
			ms[i].Up = weather.SunSpans(s.Place, midnight, hills.Height)
		}
	}
	return ms
}

// ArrayYield is what an array gives.
type ArrayYield struct {
	Name         string
	KWhPerKW     float64 // a year, mean over the homestead's years
	BestTiltDeg  float64 // fixed, for the whole year
	BestKWhM2    float64 // behind the glass there
	DarkTiltDeg  float64 // fixed, for the darkest two months
	DarkKWhM2    float64
	DarkFrom     time.Month // the first of the darkest two months
	PresentKWhM2 float64    // behind the glass as it stands, whole year
}

// Yields returns what each array gives. Tilts are those of the last year's sky,
// the dark months those of months.
func (h *Homestead) Yields(months [12]SunMonth) []ArrayYield {
	ys := make([]ArrayYield, len(h.Site.Arrays))
	var m Maker
	var watts []float64
	for _, y := range h.years {
		g := h.geometry(y)
		m.sun(h, g, y, h.record.Index(y.Start))
		for i, v := range g.views {
			watts = v.Power(watts, m.sky.GHI, m.sky.DNI, m.sky.DHI, m.air)
			ys[i].KWhPerKW += h.Site.Arrays[i].KWhPerKW(watts) / float64(len(h.years))
		}
	}
	last := h.years[len(h.years)-1]
	g := h.geometry(last)
	var level [12]float64
	for i, m := range months {
		level[i] = m.Horizontal
	}
	from := weather.DarkestPair(level)
	dark := weather.InMonths(last, from, from%12+1)
	path := g.track.Path
	for i, a := range h.Site.Arrays {
		ys[i].Name, ys[i].DarkFrom = a.Name, from
		ys[i].BestTiltDeg, ys[i].BestKWhM2 = solar.BestTilt(a, path, m.sky.GHI, m.sky.DNI, m.sky.DHI, nil)
		ys[i].DarkTiltDeg, ys[i].DarkKWhM2 = solar.BestTilt(a, path, m.sky.GHI, m.sky.DNI, m.sky.DHI, dark)
	}
	return ys
}

// RainClass is how bright the days of a certain rain are.
type RainClass struct {
	FromMM, ToMM float64 // rain of the day; ToMM 0: no upper end
	Days         int
	Fraction     float64 // mean share of a clear sky
	OfDry        float64 // over that of the dry days
	Spread       float64 // standard deviation of the share
}

// RainClasses returns how the daily factors of the record go with the rain; nil
// where the sun was measured.
func (h *Homestead) RainClasses() []RainClass {
	if h.factors == nil {
		return nil
	}
	cs := []RainClass{{FromMM: 0, ToMM: 1}, {FromMM: 1, ToMM: 3}, {FromMM: 3, ToMM: 8}, {FromMM: 8, ToMM: 20}, {FromMM: 20, ToMM: 50}, {FromMM: 50}}
	square := make([]float64, len(cs))
	for d, mm := range h.record.RainMM {
		i := 0
		for i < len(cs)-1 && mm >= cs[i].ToMM {
			i++
		}
		cs[i].Days++
		cs[i].Fraction += h.factors[d]
		square[i] += h.factors[d] * h.factors[d]
	}
	for i := range cs {
		c := &cs[i]
		if c.Days == 0 {
			continue
		}
		c.Fraction /= float64(c.Days)
		c.Spread = math.Sqrt(math.Max(0, square[i]/float64(c.Days)-c.Fraction*c.Fraction))
		c.OfDry = c.Fraction / cs[0].Fraction
	}
	return cs
}
