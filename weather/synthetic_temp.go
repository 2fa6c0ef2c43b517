package weather

import (
	"math"
	"math/rand/v2"
)

// Temps is how daily highs and lows follow the season and the rain: means and
// standard deviations for dry and for wet days by month, how both move with the
// amount on wet days, and residuals that carry over from day to day.
type Temps struct {
	Days  [2][2]DailyTemp // by dry, wet; by high, low
	steps [12]tempStep

	byRain   [2][12]float64 // K for each mm^0.3 of a wet day above its month's mean, high and low
	meanRain [12]float64    // of a wet day's mm^0.3
}

// DailyTemp is the daily high or low on dry or on wet days. Between the middles
// of two months the mean runs straight; MeanC are the values there, set so
// that each month's mean is the record's.
type DailyTemp struct {
	MeanC, StdDevC [12]float64 // January first
}

// tempStep carries the residuals of high and low, in standard deviations, from
// the day before to a day of the month,
//
//	x(t) = A x(t−1) + B e(t)
//
// with e standard normal. A and B are those under which the residuals' variances
// are 1 and their correlations, of the day and with the day before, are the
// record's: A = M1 M0⁻¹, B Bᵀ = M0 − A M1ᵀ. So is the range of temperature,
// which the sky goes by. Ref: [Richardson], [WGEN], whose fixed matrices would
// give ranges of their own.
type tempStep struct{ a, b [2][2]float64 }

// residual is one day's x of high and low.
type residual [2]float64

func (s *tempStep) next(x residual, rng *rand.Rand) residual {
	e := residual{rng.NormFloat64(), rng.NormFloat64()}
	return residual{
		s.a[0][0]*x[0] + s.a[0][1]*x[1] + s.b[0][0]*e[0],
		s.a[1][0]*x[0] + s.a[1][1]*x[1] + s.b[1][0]*e[0] + s.b[1][1]*e[1],
	}
}

// stepOf returns the step under which residuals of unit variance have the
// correlation m0 between high and low of a day and m1, [of the day][with the day
// before], from day to day.
func stepOf(m0 float64, m1 [2][2]float64) tempStep {
	m0 = max(-0.98, min(0.98, m0))
	det := 1 - m0*m0
	var s tempStep
	for i := range 2 {
		s.a[i][0] = (m1[i][0] - m0*m1[i][1]) / det
		s.a[i][1] = (m1[i][1] - m0*m1[i][0]) / det
	}
	var left [2][2]float64 // M0 − A M1ᵀ
	for i := range 2 {
		for j := range 2 {
			left[i][j] = m0
			if i == j {
				left[i][j] = 1
			}
			left[i][j] -= s.a[i][0]*m1[j][0] + s.a[i][1]*m1[j][1]
		}
	}
	if !(left[0][0] > 0) || !(left[0][0]*left[1][1] > left[0][1]*left[1][0]) {
		if m1 == ([2][2]float64{}) { // high and low alike to the last digit
			return tempStep{b: [2][2]float64{{1, 0}, {m0, math.Sqrt(det)}}}
		}
		return stepOf(m0, [2][2]float64{}) // too few days to tell: from day to day anew
	}
	s.b[0][0] = math.Sqrt(left[0][0])
	s.b[1][0] = left[0][1] / s.b[0][0]
	s.b[1][1] = math.Sqrt(max(0, left[1][1]-s.b[1][0]*s.b[1][0]))
	return s
}

// fitTemps fits means, spreads and residuals to a record with temperatures.
func fitTemps(r Record) *Temps {
	series := [2][]float64{r.TMaxC, r.TMinC}
	places := make([]yearPlace, r.Days())
	for d, day := range calendarDays(r.Start, r.Days()) {
		places[d] = day.yearPlace()
	}
	var days [2][12]float64
	var sum [2][2][12]float64
	for d, mm := range r.RainMM {
		state := stateOf(mm)
		i := places[d].month
		days[state][i]++
		for v := range series {
			sum[state][v][i] += series[v][d]
		}
	}
	t := &Temps{}
	for v := range series {
		means := [2][12]float64{}
		for state := range 2 {
			for i := range 12 {
				means[state][i] = sum[state][v][i] / days[state][i]
			}
		}
		fillMissing(&means, &days)
		for state := range 2 {
			t.Days[state][v].MeanC = midMonths(means[state])
		}
	}
	t.fitRain(r, series, places, &days)
	// Spread about the daily means, so that the season's own run is no noise.
	var square [2][2][12]float64
	for d, mm := range r.RainMM {
		state := stateOf(mm)
		for v := range series {
			e := series[v][d] - t.mean(v, state, mm, places[d])
			square[state][v][places[d].month] += e * e
		}
	}
	for state := range 2 {
		for v := range series {
			for i := range 12 {
				n, sq := days[state][i], square[state][v][i]
				if n < minTempDays { // borrow the month's other days
					n, sq = days[0][i]+days[1][i], square[0][v][i]+square[1][v][i]
				}
				t.Days[state][v].StdDevC[i] = math.Sqrt(sq / n)
			}
		}
	}
	t.fitSteps(r, series, places)
	return t
}

// mean is what high (0) or low (1) is expected to be on a day of the given rain.
func (t *Temps) mean(v, state int, rainMM float64, p yearPlace) float64 {
	c := t.Days[state][v].at(p)
	if state == 1 {
		c += t.byRain[v][p.month] * (rainTerm(rainMM) - t.meanRain[p.month])
	}
	return c
}

// fitRain fits how highs and lows of wet days move with their rain.
func (t *Temps) fitRain(r Record, series [2][]float64, places []yearPlace, days *[2][12]float64) {
	for d, mm := range r.RainMM {
		if i := places[d].month; isWet(mm) {
			t.meanRain[i] += rainTerm(mm) / days[1][i]
		}
	}
	var xx [12]float64
	var xy [2][12]float64
	for d, mm := range r.RainMM {
		if !isWet(mm) {
			continue
		}
		i := places[d].month
		x := rainTerm(mm) - t.meanRain[i]
		xx[i] += x * x
		for v := range series {
			xy[v][i] += x * (series[v][d] - t.Days[1][v].at(places[d]))
		}
	}
	for i := range xx {
		if days[1][i] < minStepDays || xx[i] < 1e-6 {
			continue
		}
		for v := range xy {
			t.byRain[v][i] = xy[v][i] / xx[i]
		}
	}
}

// stepSums are what a step is fitted to.
type stepSums struct {
	n, m0                float64
	square, squareBefore [2]float64
	m1                   [2][2]float64
}

func (s *stepSums) add(o *stepSums) {
	s.n += o.n
	s.m0 += o.m0
	for v := range 2 {
		s.square[v] += o.square[v]
		s.squareBefore[v] += o.squareBefore[v]
		for w := range 2 {
			s.m1[v][w] += o.m1[v][w]
		}
	}
}

func (s *stepSums) step() tempStep {
	if s.n < minStepDays || s.square[0]*s.square[1]*s.squareBefore[0]*s.squareBefore[1] == 0 {
		return stepOf(0, [2][2]float64{})
	}
	m1 := s.m1
	for v := range 2 {
		for w := range 2 {
			m1[v][w] /= math.Sqrt(s.square[v] * s.squareBefore[w])
		}
	}
	return stepOf(s.m0/math.Sqrt(s.square[0]*s.square[1]), m1)
}

// fitSteps fits the residuals of each month, where it has few days together with
// those of its neighbours.
func (t *Temps) fitSteps(r Record, series [2][]float64, places []yearPlace) {
	var before residual
	var sums [12]stepSums
	for d, mm := range r.RainMM {
		state := stateOf(mm)
		var x residual
		for v := range series {
			if sd := t.Days[state][v].StdDevC[places[d].month]; sd > 0 {
				x[v] = (series[v][d] - t.mean(v, state, mm, places[d])) / sd
			}
		}
		if d > 0 {
			one := stepSums{n: 1, m0: x[0] * x[1]}
			for v := range 2 {
				one.square[v], one.squareBefore[v] = x[v]*x[v], before[v]*before[v]
				for w := range 2 {
					one.m1[v][w] = x[v] * before[w]
				}
			}
			sums[places[d].month].add(&one)
		}
		before = x
	}
	for i := range sums {
		of := sums[i]
		if of.n < minOwnStepDays {
			of.add(&sums[(i+11)%12])
			of.add(&sums[(i+1)%12])
		}
		t.steps[i] = of.step()
	}
}

// minOwnStepDays is the number of days from which a month's correlations are its
// own. A judgement.
const minOwnStepDays = 90

// minStepDays is the number of days below which correlations are not fitted. A
// judgement.
const minStepDays = 20

// minTempDays is the number of wet (or dry) days of a month below which their
// temperatures are reckoned from the month's other days. A judgement.
const minTempDays = 5

func stateOf(mm float64) int {
	if isWet(mm) {
		return 1
	}
	return 0
}

// fillMissing gives months with too few wet or too few dry days the other
// kind's mean, moved by what wet and dry days differ by over the other months.
func fillMissing(means, days *[2][12]float64) {
	var diff, n float64
	for i := range 12 {
		if days[0][i] >= minTempDays && days[1][i] >= minTempDays {
			diff += means[1][i] - means[0][i]
			n++
		}
	}
	if n > 0 {
		diff /= n
	}
	for i := range 12 {
		switch {
		case days[1][i] < minTempDays && days[0][i] > 0:
			means[1][i] = means[0][i] + diff
		case days[0][i] < minTempDays && days[1][i] > 0:
			means[0][i] = means[1][i] - diff
		}
	}
}

// yearPlace is where a day lies between the middles of two months.
type yearPlace struct {
	month         int     // 0 is January
	from, to      int     // months whose middles lie about it
	fractionAfter float64 // 0 in the middle of from, 1 in that of to
}

func (t *DailyTemp) at(p yearPlace) float64 {
	return t.MeanC[p.from] + p.fractionAfter*(t.MeanC[p.to]-t.MeanC[p.from])
}

// yearPlace returns where the day lies.
func (c calendarDay) yearPlace() yearPlace {
	i := c.month
	x := (float64(c.number)-0.5)/float64(c.of) - 0.5
	if x < 0 {
		return yearPlace{i, (i + 11) % 12, i, 1 + x}
	}
	return yearPlace{i, i, (i + 1) % 12, x}
}

// midMonths returns the values in the middles of the months between which
// straight lines have the given monthly means. With months of equal length a
// month's mean is (before + 6·own + after)/8; the twelve equations are solved
// by sweeps that converge because the own term outweighs the others.
func midMonths(means [12]float64) [12]float64 {
	v := means
	for range 60 {
		for i := range v {
			v[i] = (8*means[i] - v[(i+11)%12] - v[(i+1)%12]) / 6
		}
	}
	return v
}

// fill makes up highs and lows behind rain that is made up already.
func (t *Temps) fill(tminC, tmaxC, rainMM []float64, days []calendarDay, rng *rand.Rand) {
	var x residual
	for range 20 { // forget the standing start
		x = t.steps[days[0].month].next(x, rng)
	}
	for d, day := range days {
		p := day.yearPlace()
		x = t.steps[day.month].next(x, rng)
		state := stateOf(rainMM[d])
		high := t.mean(0, state, rainMM[d], p) + t.Days[state][0].StdDevC[p.month]*x[0]
		low := t.mean(1, state, rainMM[d], p) + t.Days[state][1].StdDevC[p.month]*x[1]
		tminC[d], tmaxC[d] = min(low, high), max(low, high)
	}
}
