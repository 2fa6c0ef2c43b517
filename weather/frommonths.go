package weather

import (
	"math"
	"math/rand/v2"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// RainMonths is the rain of the twelve months as climate tables give it,
// January first: the mean sum in mm and the mean number of wet days.
type RainMonths struct {
	MM, WetDays [12]float64
}

// daysOfMonth are the mean lengths of the months.
var daysOfMonth = [12]float64{31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// RainMonths returns the table of a record: the mean sum of each month and its
// mean number of wet days. A month that the record does not have is 0.
func (r Record) RainMonths() (t RainMonths) {
	var n [12]float64
	for i, d := range calendarDays(r.Start, r.Days()) {
		n[d.month]++
		t.MM[d.month] += r.RainMM[i]
		if isWet(r.RainMM[i]) {
			t.WetDays[d.month]++
		}
	}
	for m := range n {
		if n[m] > 0 {
			t.MM[m] *= daysOfMonth[m] / n[m]
			t.WetDays[m] *= daysOfMonth[m] / n[m]
		}
	}
	return t
}

// Month returns the chain and the amounts of month m, 0 to 11, by the
// regressions of [Geng], which hold from the humid tropics to the Netherlands:
//
//	P01 = 0.75 f,  P11 = 0.25 + P01,  β = −2.16 + 1.83 x̄
//
// where f is the fraction of wet days, x̄ the mean rain of a wet day in mm, and β
// the scale of the gamma amounts. Their shape α = x̄/β is at most 0.998, which
// also stands for wet days of less than 2.6 mm, below the regression's range
// (the authors' own bound, from memory). Against five daily records the wet
// spells come out up to a quarter short, the heavy days within a seventh.
func (t RainMonths) Month(m int) MonthRain {
	if t.WetDays[m] <= 0 || t.MM[m] <= 0 {
		return MonthRain{Shape: 1}
	}
	f := min(t.WetDays[m]/daysOfMonth[m], 1)
	mean := t.MM[m] / t.WetDays[m]
	r := MonthRain{WetAfterDry: 0.75 * f, WetAfterWet: 0.25 + 0.75*f, Shape: 0.998, MeanMM: mean}
	if scale := -2.16 + 1.83*mean; scale > mean/r.Shape {
		r.Shape = mean / scale
	}
	return r
}

// How much years differ beyond what the chain makes of itself: chains of one
// day's memory leave out a part of it. Over six gauged places (Seattle, a US
// station of GHCN-Daily and four of crop-model data) the coefficient of
// variation that was missing was 0.05 to 0.4 over three months (median 0.25), 0
// to 0.33 over half years (0.10), 0 to 0.18 over years (0.10). So the amounts of each
// month carry a lognormal factor of these parameters: 0.22, 0.17 and 0.13.
const (
	monthStdDev = 0.3 // standard deviation of its logarithm
	monthMemory = 0.4 // its correlation with that of the month before
)

// Make returns years of daily rain in mm made up from the months, from the
// start on: a chain of wet and dry days and gamma amounts by [RainMonths.Month],
// with a spread of months and years. Each month is scaled so that its mean over
// all the years is that of the table. The same seed gives the same days.
func (t RainMonths) Make(start time.Time, days int, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 0x6d6f6e746873)) // "months"
	var months [12]MonthRain
	for m := range months {
		months[m] = t.Month(m)
	}
	out := make([]float64, days)
	calendar := calendarDays(start, days)
	wet, logFactor := false, monthStdDev*rng.NormFloat64()
	var sum, n [12]float64
	for i, d := range calendar {
		if i > 0 && d.month != calendar[i-1].month {
			logFactor = monthMemory*logFactor + monthStdDev*math.Sqrt(1-monthMemory*monthMemory)*rng.NormFloat64()
		}
		m := &months[d.month]
		n[d.month]++
		p := m.WetAfterDry
		if wet {
			p = m.WetAfterWet
		}
		if wet = rng.Float64() < p && m.MeanMM > 0; wet {
			g := distuv.Gamma{Alpha: m.Shape, Beta: m.Shape / m.MeanMM, Src: rng}
			out[i] = max(g.Rand()*math.Exp(logFactor), WetDayMM)
			sum[d.month] += out[i]
		}
	}
	for i, d := range calendar {
		if sum[d.month] > 0 {
			out[i] *= t.MM[d.month] / daysOfMonth[d.month] * n[d.month] / sum[d.month]
		}
	}
	return out
}
