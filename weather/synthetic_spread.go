package weather

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
)

// minYearsForStdDev is the number of water years below which the record's
// spread between years is not used.
const minYearsForStdDev = 3

// Wetness is how much a calendar month differs from year to year.
//
// A chain whose chances never change makes totals that vary less than real ones
// do ([Katz]). So each month of each year draws z, standard normal; z moves the
// log odds of a wet day by Odds·z and the amounts by the factor e^(Amount·z).
// Odds is set so that the number of wet days varies from year to year as in the
// record, then Amount so that the total does; both are 0 where the bare chain
// varies enough. The month's mean rain and its share of wet days stay those of
// the record.
type Wetness struct {
	Odds, Amount float64

	// Of the month's total in mm and of its wet days: the record, the chain before
	// the correction and the chain as it is used, by reckoning.
	Record, Bare, Used Moments

	leans [2]float64 // mean of z times the month's rain and its wet days: what they move with z
}

// Season is a part of the water year: the six months running that are wettest,
// or the other six. Its months' z have the correlation Shared, set so that the
// season's total varies from year to year as in the record, as far as its months
// let it: below 0 wet months are made up for by dry ones.
type Season struct {
	Months [12]bool // January first
	Shared float64  // −0.2 to 1

	// As for the month; what is used is reckoned.
	Record, Bare, Used Moments
}

// Moments are the mean and the standard deviation between years of the rain of a
// month or a season in mm and of its number of wet days.
type Moments struct{ MeanMM, StdDevMM, MeanWetDays, StdDevWetDays float64 }

// splitSeasons finds the wet half-year, whole within the water year, and takes
// the record's totals for both halves.
func (c *Generator) splitSeasons() [2]Season {
	first := int(c.start.Month()) - 1
	rain := func(i int) float64 {
		m := c.Months[i%12]
		return m.RecordFraction() * m.MeanMM
	}
	wettest, maximum := 0, -1.0
	for k := range 7 {
		sum := 0.0
		for i := range 6 {
			sum += rain(first + k + i)
		}
		if sum > maximum {
			wettest, maximum = k, sum
		}
	}
	var s [2]Season
	for i := range 12 {
		half := 1
		if i >= wettest && i < wettest+6 {
			half = 0
		}
		s[half].Months[(first+i)%12] = true
	}
	for i := range s {
		s[i].Record = momentsOf(s[i].totals(c))
	}
	return s
}

// sum returns rain in mm and wet days of the season in days of the calendar.
func (s Season) sum(rainMM []float64, days []calendarDay) (mm, wetDays float64) {
	for d, day := range days {
		if !s.Months[day.month] {
			continue
		}
		mm += rainMM[d]
		if isWet(rainMM[d]) {
			wetDays++
		}
	}
	return mm, wetDays
}

// totals returns both for each water year of the record.
func (s Season) totals(c *Generator) (mm, wetDays []float64) {
	for _, y := range c.years {
		from := c.record.Index(y.Start)
		total, n := s.sum(c.record.RainMM[from:from+y.Days], calendarDays(y.Start, y.Days))
		mm, wetDays = append(mm, total), append(wetDays, n)
	}
	return mm, wetDays
}

// momentsOf returns zeros for what it cannot tell: a spread needs two years.
func momentsOf(totals, wetDays []float64) Moments {
	switch len(totals) {
	case 0:
		return Moments{}
	case 1:
		return Moments{MeanMM: totals[0], MeanWetDays: wetDays[0]}
	}
	var m Moments
	m.MeanMM, m.StdDevMM = stat.MeanStdDev(totals, nil)
	m.MeanWetDays, m.StdDevWetDays = stat.MeanStdDev(wetDays, nil)
	return m
}

// monthTotals returns rain and wet days of each whole calendar month of the
// record.
func (c *Generator) monthTotals() (mm, wetDays [12][]float64) {
	total, wet, whole := 0.0, 0.0, false
	for d, day := range calendarDays(c.record.Start, c.record.Days()) {
		if day.number == 1 {
			total, wet, whole = 0, 0, true
		}
		total += c.record.RainMM[d]
		if isWet(c.record.RainMM[d]) {
			wet++
		}
		if day.number == day.of && whole {
			mm[day.month], wetDays[day.month] = append(mm[day.month], total), append(wetDays[day.month], wet)
		}
	}
	return mm, wetDays
}

// settle fixes what keeps each month's wet share and rain at the record's, and
// the spread of months and seasons unless plain.
func (c *Generator) settle(plain bool) {
	mm, wetDays := c.monthTotals()
	var bare [12]MonthRain
	for i := range c.Months {
		m := &c.Months[i]
		w := &m.Wetness
		w.Record = momentsOf(mm[i], wetDays[i])
		c.keepMeans(i)
		w.Bare, _ = c.reckon(i)
		bare[i] = m.wetted(0)
		if !plain && len(c.years) >= minYearsForStdDev && len(mm[i]) >= minYearsForStdDev {
			w.Odds = widen(func(odds float64) float64 {
				w.Odds = odds
				c.keepMeans(i)
				now, _ := c.reckon(i)
				return now.StdDevWetDays - w.Record.StdDevWetDays
			}, 2)
			c.stdDevTo(i, w.Record.StdDevMM)
		}
		c.keepMeans(i)
		w.Used, w.leans = c.reckon(i)
	}
	for k := range c.Seasons {
		s := &c.Seasons[k]
		c.apportion(s, &bare, plain)
		// Months that share all they have and do not spread the season's total as
		// far as the record's are themselves spread further, by a tenth at most.
		for more := 1.02; more <= 1.1 && s.Shared >= 1 && s.Used.StdDevMM < s.Record.StdDevMM; more += 0.02 {
			for i := range c.Months {
				if w := &c.Months[i].Wetness; s.Months[i] && w.Amount > 0 {
					c.stdDevTo(i, more*w.Record.StdDevMM)
					c.keepMeans(i)
					w.Used, w.leans = c.reckon(i)
				}
			}
			c.apportion(s, &bare, plain)
		}
	}
}

// stdDevTo sets how much the month's amounts vary so that its total varies by mm
// from year to year; if its wet days alone spread it further, how much those do.
func (c *Generator) stdDevTo(i int, mm float64) {
	w := &c.Months[i].Wetness
	over := func() float64 {
		c.keepMeans(i)
		now, _ := c.reckon(i)
		return now.StdDevMM - mm
	}
	w.Amount = 0
	if over() > 0 {
		w.Odds = widen(func(odds float64) float64 { w.Odds = odds; return over() }, w.Odds)
	} else {
		w.Amount = widen(func(amount float64) float64 { w.Amount = amount; return over() }, 1)
	}
}

// apportion sets what the months of a season have in common, and reckons it. bare are
// the months of the chain alone.
func (c *Generator) apportion(s *Season, bare *[12]MonthRain, plain bool) {
	var variance [2]float64
	s.Bare, variance = c.bareSeason(*s, bare)
	s.Used = s.Bare
	// The chain carries over from month to month; the rest is the months'.
	var sum, own [2]float64
	n := 0.0
	for i, m := range c.Months {
		if !s.Months[i] {
			continue
		}
		n++
		w := m.Wetness
		variance[0] += sq(w.Used.StdDevMM) - sq(w.Bare.StdDevMM)
		variance[1] += sq(w.Used.StdDevWetDays) - sq(w.Bare.StdDevWetDays)
		for q, x := range w.leans {
			sum[q] += x
			own[q] += x * x
		}
	}
	if together := sq(sum[0]) - own[0]; !plain && together > 0 {
		s.Shared = math.Min(1, math.Max(-1/(n-1), (sq(s.Record.StdDevMM)-variance[0])/together))
	}
	for q := range variance {
		variance[q] += s.Shared * (sq(sum[q]) - own[q])
	}
	s.Used.StdDevMM, s.Used.StdDevWetDays = math.Sqrt(math.Max(0, variance[0])), math.Sqrt(math.Max(0, variance[1]))
}

// wetnesses draws the z of the season's months. common is the season's own.
func (s *Season) wetnesses(z *[12]float64, common float64, rng *rand.Rand) {
	mean, n := 0.0, 0.0
	for i, in := range s.Months {
		if in {
			z[i] = rng.NormFloat64()
			mean += z[i]
			n++
		}
	}
	mean /= n
	shared, own, less := math.Sqrt(math.Max(0, s.Shared)), math.Sqrt(1-math.Max(0, s.Shared)), 0.0
	if s.Shared < 0 { // take a part of their mean from each
		k := -s.Shared / (1 - s.Shared)
		own, less = 1/math.Sqrt(1-k), 1-math.Sqrt(math.Max(0, 1-n*k))
	}
	for i, in := range s.Months {
		if in {
			z[i] = shared*common + own*(z[i]-less*mean)
		}
	}
}

func sq(x float64) float64 { return x * x }

// widen returns the smallest value from 0 to most at which excess, which
// rises, is no longer negative.
func widen(excess func(float64) float64, maximum float64) float64 {
	if maximum == 0 || excess(0) >= 0 {
		return 0
	}
	if excess(maximum) <= 0 {
		return maximum
	}
	low, high := 0.0, maximum
	for range 20 {
		if mid := (low + high) / 2; excess(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// wetted returns the month in a year in which it has wetness z.
func (m MonthRain) wetted(z float64) MonthRain {
	shift := m.offset + m.Odds*z
	m.WetAfterDry = shiftOdds(m.WetAfterDry, shift)
	m.WetAfterWet = shiftOdds(m.WetAfterWet, shift)
	m.MeanMM *= m.scale * math.Exp(m.Amount*z)
	return m
}

// shiftOdds adds shift to the logarithm of p/(1−p).
func shiftOdds(p, shift float64) float64 {
	if p <= 0 || p >= 1 {
		return p
	}
	return 1 / (1 + (1-p)/p*math.Exp(-shift))
}

// nodes are wetnesses z and their weights for means over a standard normal, by
// Gauss–Hermite quadrature.
var nodeZ, nodeWeight = func() (z, weight [11]float64) {
	quad.Hermite{}.FixedLocations(z[:], weight[:], math.Inf(-1), math.Inf(1))
	for i, x := range z {
		z[i] = math.Sqrt2 * x
		weight[i] /= math.Sqrt(math.Pi)
	}
	return z, weight
}()

// keepMeans sets the month's offset and scale so that, over all its wetnesses,
// the made-up share of wet days and the mean rain are the record's.
func (c *Generator) keepMeans(i int) {
	m := &c.Months[i]
	want := m.RecordFraction()
	const rounds, close = 60, 1e-5
	before := math.Inf(1)
	for range rounds {
		fraction, _ := c.expected(i)
		off := math.Abs(fraction - want)
		if want <= 0 || want >= 1 || fraction <= 0 || fraction >= 1 || off < close || off > 0.95*before { // there, or as near as it gets
			break
		}
		before = off
		persistence := m.WetAfterWet - m.WetAfterDry
		step := math.Log(want/(1-want)) - math.Log(fraction/(1-fraction))
		m.offset += step * max(1-persistence, 0.1)
	}
	if _, lift := c.expected(i); lift > 0 {
		m.scale = want / lift
	}
}

// parts calls visit for each run of days of the month in the year: two where the
// water year begins within it.
func (c *Generator) parts(month int, visit func(from, to int)) {
	for from := 0; from < len(c.days); {
		to := from
		for to < len(c.days) && c.days[to].month == c.days[from].month {
			to++
		}
		if c.days[from].month == month {
			visit(from, to)
		}
		from = to
	}
}

// expected returns the month's share of wet days over all its wetnesses and the
// mean of that share times e^(Amount·z).
func (c *Generator) expected(i int) (fraction, lifted float64) {
	days := 0.0
	for k, z := range nodeZ {
		m := c.Months[i].wetted(z)
		lift := math.Exp(m.Amount * z)
		c.parts(i, func(from, to int) {
			p, long := c.stateBefore(from), m.wetAfterLong()
			for range to - from {
				p = m.step(&p, long)
				fraction += nodeWeight[k] * p[0]
				lifted += nodeWeight[k] * p[0] * lift
			}
			if k == 0 {
				days += float64(to - from)
			}
		})
	}
	return fraction / days, lifted / days
}

// stateBefore is the state of the day before day d of the year.
func (c *Generator) stateBefore(d int) spellState {
	if d == 0 {
		return c.before
	}
	m := &c.Months[c.days[d-1].month]
	return m.before(m.RecordFraction())
}

// reckon returns mean and spread of the month without making up a year: for each
// wetness z the first two moments of the sum are carried through the chain day by
// day, then put together over z,
//
//	Var(S) = E[Var(S|z)] + Var(E[S|z])
//
// and leans, E[z S].
func (c *Generator) reckon(i int) (of Moments, leans [2]float64) {
	var mean, within, square [2]float64 // rain, wet days
	for k, z := range nodeZ {
		var months [12]MonthRain
		months[i] = c.Months[i].wetted(z)
		var m, v [2]float64
		c.parts(i, func(from, to int) {
			for q := range 2 {
				sm, sv := c.sumMoments(&months, from, to, q == 1)
				m[q] += sm
				v[q] += sv
			}
		})
		for q := range 2 {
			mean[q] += nodeWeight[k] * m[q]
			square[q] += nodeWeight[k] * m[q] * m[q]
			within[q] += nodeWeight[k] * v[q]
			leans[q] += nodeWeight[k] * z * m[q]
		}
	}
	spread := func(q int) float64 {
		return math.Sqrt(max(within[q]+square[q]-mean[q]*mean[q], 0))
	}
	return Moments{MeanMM: mean[0], StdDevMM: spread(0), MeanWetDays: mean[1], StdDevWetDays: spread(1)}, leans
}

// bareSeason returns mean and spread of the season by the chain alone, and the
// variances of its rain and of its wet days.
func (c *Generator) bareSeason(s Season, months *[12]MonthRain) (Moments, [2]float64) {
	var mean, variance [2]float64
	for from := 0; from < len(c.days); {
		to := from
		for to < len(c.days) && s.Months[c.days[to].month] == s.Months[c.days[from].month] {
			to++
		}
		if s.Months[c.days[from].month] {
			for q := range 2 {
				m, v := c.sumMoments(months, from, to, q == 1)
				mean[q] += m
				variance[q] += v
			}
		}
		from = to
	}
	return Moments{MeanMM: mean[0], StdDevMM: math.Sqrt(variance[0]), MeanWetDays: mean[1], StdDevWetDays: math.Sqrt(variance[1])}, variance
}

// sumMoments returns mean and variance of the rain, or of the number of wet
// days, of days from (included) to to (excluded).
func (c *Generator) sumMoments(months *[12]MonthRain, from, to int, count bool) (mean, variance float64) {
	// By state: its chance, and the first and second moment of the sum so far
	// within it.
	p := c.stateBefore(from)
	var m1, m2 spellState
	for d := from; d < to; d++ {
		m := &months[c.days[d].month]
		long := m.wetAfterLong()
		a1, a2 := 1.0, 1.0
		if !count {
			a1 = m.MeanMM
			a2 = a1 * a1 * (1 + 1/m.Shape)
		}
		p, m1, m2 = m.step(&p, long), m.step(&m1, long), m.step(&m2, long)
		m2[0] += 2*a1*m1[0] + a2*p[0]
		m1[0] += a1 * p[0]
	}
	second := 0.0
	for k := range m1 {
		mean += m1[k]
		second += m2[k]
	}
	return mean, second - mean*mean
}
