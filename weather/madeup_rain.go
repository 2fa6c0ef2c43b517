package weather

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// MonthRain is the rain of one calendar month: a two-state chain that steps
// from day to day, and the amount that falls on a wet day.
type MonthRain struct {
	WetAfterDry float64 // chance that a day is wet if the day before was dry, P01
	WetAfterWet float64 // the same if it was wet, P11
	Shape       float64 // α of the gamma amounts, dimensionless
	MeanMM      float64 // their mean, α·β

	Wetness

	Days, WetDays int // of the record in this month

	offset float64 // added to the log odds of both chances: keeps the record's wet share
	scale  float64 // times MeanMM: keeps the record's mean rain
}

// WetShare returns the share of wet days that the chain settles to, 0 to 1,
//
//	π = P01 / (1 + P01 − P11)
//
// Ref: [Richardson].
func (m MonthRain) WetShare() float64 {
	if m.WetAfterDry == 0 {
		return 0
	}
	return m.WetAfterDry / (1 + m.WetAfterDry - m.WetAfterWet)
}

// WetSpell returns the mean length of a wet spell in days, 1/(1−P11).
func (m MonthRain) WetSpell() float64 { return 1 / (1 - m.WetAfterWet) }

// DrySpell returns the mean length of a dry spell in days, 1/P01.
func (m MonthRain) DrySpell() float64 { return 1 / m.WetAfterDry }

// RecordShare returns the share of wet days in the record.
func (m MonthRain) RecordShare() float64 {
	if m.Days == 0 {
		return 0
	}
	return float64(m.WetDays) / float64(m.Days)
}

// fitMonths fits each month of the calendar over all years of the record.
func fitMonths(r Record) [12]MonthRain {
	var months [12]MonthRain
	var after, wetAfter [12][2]int // by month and by the day before: days, wet days
	var amounts [12][]float64
	var all []float64
	days := calendarDays(r.Start, r.Days())
	for d, mm := range r.RainMM {
		month := days[d].month
		m := &months[month]
		m.Days++
		wet := isWet(mm)
		if wet {
			m.WetDays++
			amounts[month] = append(amounts[month], mm)
			all = append(all, mm)
		}
		if d == 0 {
			continue
		}
		before := 0
		if isWet(r.RainMM[d-1]) {
			before = 1
		}
		after[month][before]++
		if wet {
			wetAfter[month][before]++
		}
	}
	var afterAll, wetAfterAll [2]int
	for i := range months {
		for s := range 2 {
			afterAll[s] += after[i][s]
			wetAfterAll[s] += wetAfter[i][s]
		}
	}
	chance := func(month, state int) float64 {
		if after[month][state] > 0 {
			return float64(wetAfter[month][state]) / float64(after[month][state])
		}
		if afterAll[state] > 0 { // the month never saw the state: take the year's
			return float64(wetAfterAll[state]) / float64(afterAll[state])
		}
		return 0
	}
	for i := range months {
		m := &months[i]
		m.WetAfterDry, m.WetAfterWet = chance(i, 0), chance(i, 1)
		m.scale = 1
		m.Shape, m.MeanMM = fitGamma(amounts[i])
		if len(amounts[i]) < minWetDays { // too few for a shape: take the year's
			m.Shape, _ = fitGamma(all)
		}
	}
	return months
}

// minWetDays is the number of wet days below which a month borrows the shape
// of its amounts from the whole year. A judgement.
const minWetDays = 10

func isWet(mm float64) bool { return mm >= WetDayMM-1e-9 }

// fitGamma returns shape and mean of the gamma distribution that makes the
// amounts likeliest. The mean is the sample's; the shape α solves
//
//	ln α − ψ(α) = ln(mean) − mean(ln x)
//
// with ψ the digamma function. Without amounts it returns 1 and 0. Amounts all
// alike, which no finite shape fits, give the largest shape used, 100.
func fitGamma(amounts []float64) (shape, mean float64) {
	if len(amounts) == 0 {
		return 1, 0
	}
	var sum, sumLog float64
	for _, x := range amounts {
		sum += x
		sumLog += math.Log(x)
	}
	n := float64(len(amounts))
	mean = sum / n
	s := math.Log(mean) - sumLog/n
	excess := func(a float64) float64 { return math.Log(a) - mathext.Digamma(a) - s } // falls with a
	const least, most = 0.05, 100
	if excess(most) >= 0 {
		return most, mean
	}
	if excess(least) <= 0 {
		return least, mean
	}
	return bisect(excess, least, most), mean
}

// bisect returns where f crosses zero between low and high, to rounding.
func bisect(f func(float64) float64, low, high float64) float64 {
	above := f(low) > 0
	for range 100 {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if (f(mid) > 0) == above {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// fillRain walks the chain through year n.
func (c *Chain) fillRain(rainMM []float64, n int, rng *rand.Rand) {
	var months [12]MonthRain
	var z [12]float64
	for k := range c.Seasons {
		c.Seasons[k].wetnesses(&z, c.common(k, n), rng)
	}
	for i := range months {
		months[i] = c.Months[i].wetted(z[i])
	}
	wet := rng.Float64() < c.firstWet
	for d := range rainMM {
		m := &months[c.days[d].month]
		p := m.WetAfterDry
		if wet {
			p = m.WetAfterWet
		}
		wet = rng.Float64() < p
		rainMM[d] = 0
		if wet {
			g := distuv.Gamma{Alpha: m.Shape, Beta: m.Shape / m.MeanMM, Src: rng}
			rainMM[d] = max(g.Rand(), WetDayMM)
		}
	}
}
