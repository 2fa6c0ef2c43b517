package weather

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat"
)

// minYearsForSpread is the number of water years below which the record's
// spread between years is not used.
const minYearsForSpread = 3

// Season is a part of the water year whose wetness is drawn once a year: the
// six months running that are wettest, or the other six.
//
// A chain whose chances never change makes seasonal totals that vary less than
// real ones do ([Katz]). So each year draws z, standard normal, for each
// season; z moves the log odds of a wet day by Odds·z and the amounts by the
// factor e^(Amount·z). Odds is set so that the number of wet days varies from
// year to year as in the record, then Amount so that the total does; both are
// 0 where the bare chain varies enough. The month's mean rain and its share of
// wet days stay those of the record.
type Season struct {
	Months       [12]bool // January first
	Odds, Amount float64

	// Of the season's total in mm and of its wet days: the record, the chain
	// before the correction and the chain as it is used, by reckoning.
	Record, Bare, Used Moments
}

// Moments are the mean and the standard deviation between years of a season's
// rain in mm and of its number of wet days.
type Moments struct{ MeanMM, SpreadMM, MeanWetDays, SpreadWetDays float64 }

// splitSeasons finds the wet half-year, whole within the water year, and takes
// the record's totals for both halves.
func (c *Chain) splitSeasons() [2]Season {
	first := int(c.start.Month()) - 1
	rain := func(i int) float64 {
		m := c.Months[i%12]
		return m.RecordShare() * m.MeanMM
	}
	wettest, most := 0, -1.0
	for k := range 7 {
		sum := 0.0
		for i := range 6 {
			sum += rain(first + k + i)
		}
		if sum > most {
			wettest, most = k, sum
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
func (s Season) totals(c *Chain) (mm, wetDays []float64) {
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
	m.MeanMM, m.SpreadMM = stat.MeanStdDev(totals, nil)
	m.MeanWetDays, m.SpreadWetDays = stat.MeanStdDev(wetDays, nil)
	return m
}

// settle fixes what keeps each month's wet share and rain at the record's, and
// the seasons' spread unless plain.
func (c *Chain) settle(plain bool) {
	for i := range c.Seasons {
		s := &c.Seasons[i]
		c.keepMeans(*s)
		s.Bare = c.reckon(*s)
		if !plain && len(c.years) >= minYearsForSpread {
			s.Odds = widen(func(odds float64) float64 {
				t := *s
				t.Odds = odds
				c.keepMeans(t)
				return c.reckon(t).SpreadWetDays - s.Record.SpreadWetDays
			}, 2)
			over := func(t Season) float64 {
				c.keepMeans(t)
				return c.reckon(t).SpreadMM - s.Record.SpreadMM
			}
			if over(*s) > 0 { // the wet days alone spread the totals too far
				s.Odds = widen(func(odds float64) float64 {
					t := *s
					t.Odds = odds
					return over(t)
				}, s.Odds)
			} else {
				s.Amount = widen(func(amount float64) float64 {
					t := *s
					t.Amount = amount
					return over(t)
				}, 1)
			}
		}
		c.keepMeans(*s)
		s.Used = c.reckon(*s)
	}
}

// widen returns the smallest value from 0 to most at which excess, which
// rises, is no longer negative.
func widen(excess func(float64) float64, most float64) float64 {
	if most == 0 || excess(0) >= 0 {
		return 0
	}
	if excess(most) <= 0 {
		return most
	}
	low, high := 0.0, most
	for range 20 {
		if mid := (low + high) / 2; excess(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// wetted returns the month in a year of wetness z.
func (m MonthRain) wetted(s Season, z float64) MonthRain {
	shift := m.offset + s.Odds*z
	m.WetAfterDry = shiftOdds(m.WetAfterDry, shift)
	m.WetAfterWet = shiftOdds(m.WetAfterWet, shift)
	m.MeanMM *= m.scale * math.Exp(s.Amount*z)
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

// keepMeans sets the months' offsets and scales so that, over all wetnesses of
// the season, the made-up share of wet days and the mean rain are the record's.
func (c *Chain) keepMeans(s Season) {
	const rounds, close = 60, 1e-5
	before := math.Inf(1)
	for range rounds {
		shares, _ := c.expected(s)
		worst := 0.0
		for i := range c.Months {
			m := &c.Months[i]
			want := m.RecordShare()
			if !s.Months[i] || want <= 0 || want >= 1 || shares[i] <= 0 || shares[i] >= 1 {
				continue
			}
			worst = max(worst, math.Abs(shares[i]-want))
			persistence := m.WetAfterWet - m.WetAfterDry
			step := math.Log(want/(1-want)) - math.Log(shares[i]/(1-shares[i]))
			m.offset += step * max(1-persistence, 0.1)
		}
		if worst < close || worst > 0.95*before { // there, or as near as it gets
			break
		}
		before = worst
	}
	_, lift := c.expected(s)
	for i := range c.Months {
		if s.Months[i] && lift[i] > 0 {
			c.Months[i].scale = c.Months[i].RecordShare() / lift[i]
		}
	}
}

// expected returns, for each month of the season, the share of wet days over
// all wetnesses and the mean of that share times e^(Amount·z).
func (c *Chain) expected(s Season) (shares, lifted [12]float64) {
	var days [12]float64
	for k, z := range nodeZ {
		months := c.monthsAt(s, z)
		lift := math.Exp(s.Amount * z)
		inside := false
		wet := 0.0
		for d, day := range c.days {
			i := day.month
			if !s.Months[i] {
				inside = false
				continue
			}
			if !inside {
				wet, inside = c.shareBefore(d), true
			}
			wet = wet*months[i].WetAfterWet + (1-wet)*months[i].WetAfterDry
			shares[i] += nodeWeight[k] * wet
			lifted[i] += nodeWeight[k] * wet * lift
			if k == 0 {
				days[i]++
			}
		}
	}
	for i := range days {
		if days[i] > 0 {
			shares[i] /= days[i]
			lifted[i] /= days[i]
		}
	}
	return shares, lifted
}

func (c *Chain) monthsAt(s Season, z float64) (months [12]MonthRain) {
	for i := range months {
		if s.Months[i] {
			months[i] = c.Months[i].wetted(s, z)
		}
	}
	return months
}

// shareBefore is the chance that the day before day d of the year is wet.
func (c *Chain) shareBefore(d int) float64 {
	if d == 0 {
		return c.firstWet
	}
	return c.Months[c.days[d-1].month].RecordShare()
}

// reckon returns mean and spread of the season without making up a year: for
// each wetness z the first two moments of the sum are carried through the
// chain day by day, then put together over z,
//
//	Var(S) = E[Var(S|z)] + Var(E[S|z])
func (c *Chain) reckon(s Season) Moments {
	var mean, within, square [2]float64 // rain, wet days
	for k, z := range nodeZ {
		months := c.monthsAt(s, z)
		var m, v [2]float64
		for from := 0; from < len(c.days); {
			to := from
			for to < len(c.days) && s.Months[c.days[to].month] == s.Months[c.days[from].month] {
				to++
			}
			if s.Months[c.days[from].month] {
				for q := range 2 {
					sm, sv := c.sumMoments(months, from, to, q == 1)
					m[q] += sm
					v[q] += sv
				}
			}
			from = to
		}
		for q := range 2 {
			mean[q] += nodeWeight[k] * m[q]
			square[q] += nodeWeight[k] * m[q] * m[q]
			within[q] += nodeWeight[k] * v[q]
		}
	}
	spread := func(q int) float64 {
		return math.Sqrt(max(within[q]+square[q]-mean[q]*mean[q], 0))
	}
	return Moments{MeanMM: mean[0], SpreadMM: spread(0), MeanWetDays: mean[1], SpreadWetDays: spread(1)}
}

// sumMoments returns mean and variance of the rain, or of the number of wet
// days, of days from (included) to to (excluded).
func (c *Chain) sumMoments(months [12]MonthRain, from, to int, count bool) (mean, variance float64) {
	// By state, dry and wet: its chance, and the first and second moment of the
	// sum so far within it.
	p := [2]float64{1 - c.shareBefore(from), c.shareBefore(from)}
	var m1, m2 [2]float64
	for d := from; d < to; d++ {
		m := &months[c.days[d].month]
		step := func(x [2]float64) [2]float64 {
			return [2]float64{
				x[0]*(1-m.WetAfterDry) + x[1]*(1-m.WetAfterWet),
				x[0]*m.WetAfterDry + x[1]*m.WetAfterWet,
			}
		}
		a1, a2 := 1.0, 1.0
		if !count {
			a1 = m.MeanMM
			a2 = a1 * a1 * (1 + 1/m.Shape)
		}
		p, m1, m2 = step(p), step(m1), step(m2)
		m2[1] += 2*a1*m1[1] + a2*p[1]
		m1[1] += a1 * p[1]
	}
	mean = m1[0] + m1[1]
	return mean, m2[0] + m2[1] - mean*mean
}
