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
	// Lasting is what the log odds of P01 change by from the longDry-th dry day on:
	// below 0 where a dry spell, once it lasts, goes on lasting. 0: P01 alone.
	Lasting float64
	Shape   float64 // α of the gamma amounts, dimensionless
	MeanMM  float64 // their mean, α·β

	Wetness

	Days, WetDays int // of the record in this month

	offset float64 // added to the log odds of both chances: keeps the record's wet share
	scale  float64 // times MeanMM: keeps the record's mean rain
}

// longDry is the number of dry days from which a spell is a long one. At
// Rothamsted a dry autumn day is followed by a wet one with a chance of 0.47,
// 0.40 and 0.37 after one, two and three dry days, and of about 0.2 later.
const longDry = 4

// wetAfterLong is the chance that a day is wet after longDry dry days and more.
func (m MonthRain) wetAfterLong() float64 { return shiftOdds(m.WetAfterDry, m.Lasting) }

// WetFraction returns the fraction of wet days that the chain settles to, 0 to 1: the
// mean wet spell over that and the mean dry one. Without Lasting that is
//
//	π = P01 / (1 + P01 − P11)
//
// Ref: [Richardson].
func (m MonthRain) WetFraction() float64 {
	if m.WetAfterDry == 0 {
		return 0
	}
	return m.WetSpell() / (m.WetSpell() + m.DrySpell())
}

// WetSpell returns the mean length of a wet spell in days, 1/(1−P11).
func (m MonthRain) WetSpell() float64 { return 1 / (1 - m.WetAfterWet) }

// DrySpell returns the mean length of a dry spell in days; 1/P01 without Lasting.
func (m MonthRain) DrySpell() float64 {
	days, left := 0.0, 1.0 // left: the fraction of spells that last as long
	for range longDry - 1 {
		days += left
		left *= 1 - m.WetAfterDry
	}
	return days + left/m.wetAfterLong()
}

// spellState is how likely a day is wet, [0], the k-th of a dry spell, [k], or
// the longDry-th and more, the last.
type spellState [longDry + 1]float64

// before is the state of a month's days where a fraction of them is wet.
func (m MonthRain) before(fraction float64) (p spellState) {
	p[0] = fraction
	left, sum := 1.0, 0.0
	for k := 1; k < longDry; k++ {
		p[k] = left
		sum += left
		left *= 1 - m.WetAfterDry
	}
	p[longDry] = 1
	if long := m.wetAfterLong(); long > 0 {
		p[longDry] = left / long
	}
	sum += p[longDry]
	for k := 1; k <= longDry; k++ {
		p[k] *= (1 - fraction) / sum
	}
	return p
}

// step carries what is in a state from one day to the next.
func (m *MonthRain) step(p *spellState, long float64) (next spellState) {
	next[0] = p[0]*m.WetAfterWet + p[longDry]*long
	next[1] = p[0] * (1 - m.WetAfterWet)
	next[longDry] = p[longDry] * (1 - long)
	for k := 1; k < longDry; k++ {
		next[0] += p[k] * m.WetAfterDry
		next[k+1] += p[k] * (1 - m.WetAfterDry)
	}
	return next
}

// RecordFraction returns the fraction of wet days in the record.
func (m MonthRain) RecordFraction() float64 {
	if m.Days == 0 {
		return 0
	}
	return float64(m.WetDays) / float64(m.Days)
}

// fitMonths fits each month of the calendar over all years of the record.
func fitMonths(r Record) [12]MonthRain {
	var months [12]MonthRain
	// By month and by the day before (dry for up to longDry − 1 days, wet, dry for
	// longer): days, wet days.
	var after, wetAfter [12][3]int
	dry := 0 // days up to the day before
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
		if d > 0 {
			before := 0
			switch {
			case dry == 0:
				before = 1
			case dry >= longDry:
				before = 2
			}
			after[month][before]++
			if wet {
				wetAfter[month][before]++
			}
		}
		if dry++; wet {
			dry = 0
		}
	}
	var afterAll, wetAfterAll [3]int
	for i := range months {
		for s := range 3 {
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
		m.Lasting = lasting3(&after, &wetAfter, i)
		m.scale = 1
		m.Shape, m.MeanMM = fitGamma(amounts[i])
		if len(amounts[i]) < minWetDays { // too few for a shape: take the year's
			m.Shape, _ = fitGamma(all)
		}
	}
	return months
}

// lasting3 is what long dry spells change the log odds of a wet day by, of the
// month and its neighbours together: a month alone has few.
func lasting3(after, wetAfter *[12][3]int, month int) float64 {
	odds := func(state int) (log float64, n int) {
		days, wet := 0.0, 0.0
		for _, k := range [3]int{11, 12, 13} {
			days += float64(after[(month+k)%12][state])
			wet += float64(wetAfter[(month+k)%12][state])
		}
		return math.Log((wet + 0.5) / (days - wet + 0.5)), int(days)
	}
	fresh, n := odds(0)
	long, m := odds(2)
	if n < minLongDays || m < minLongDays {
		return 0
	}
	return max(-maxLasting, min(maxLasting, long-fresh))
}

const (
	minLongDays = 40 // days after long dry spells below which they are taken as any. A judgement.
	maxLasting  = 2.0
)

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
	const minimum, maximum = 0.05, 100
	if excess(maximum) >= 0 {
		return maximum, mean
	}
	if excess(minimum) <= 0 {
		return minimum, mean
	}
	return bisect(excess, minimum, maximum), mean
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
func (c *Generator) fillRain(rainMM []float64, n int, rng *rand.Rand) {
	var months [12]MonthRain
	var z [12]float64
	for k := range c.Seasons {
		c.Seasons[k].wetnesses(&z, c.common(k, n), rng)
	}
	for i := range months {
		months[i] = c.Months[i].wetted(z[i])
	}
	// Whether the day before the year was wet, or how long it had been dry.
	dry, u := 0, rng.Float64()
	for u -= c.before[0]; u >= 0 && dry < longDry; u -= c.before[dry] {
		dry++
	}
	var long [12]float64
	for i := range months {
		long[i] = months[i].wetAfterLong()
	}
	for d := range rainMM {
		i := c.days[d].month
		m := &months[i]
		p := m.WetAfterDry
		switch {
		case dry == 0:
			p = m.WetAfterWet
		case dry >= longDry:
			p = long[i]
		}
		rainMM[d] = 0
		if dry++; rng.Float64() < p {
			dry = 0
			g := distuv.Gamma{Alpha: m.Shape, Beta: m.Shape / m.MeanMM, Src: rng}
			rainMM[d] = max(g.Rand(), WetDayMM)
		}
	}
}
