package weather

import (
	"math"
	"math/rand/v2"
)

// Temps is how daily highs and lows follow the season and the rain: means and
// standard deviations for dry and for wet days by month, and residuals that
// carry over from day to day.
type Temps struct {
	Days [2][2]DailyTemp // by dry, wet; by high, low
}

// DailyTemp is the daily high or low on dry or on wet days. Between the middles
// of two months the mean runs straight; MeanC are the values there, set so
// that each month's mean is the record's.
type DailyTemp struct {
	MeanC, SpreadC [12]float64 // January first
}

// The residuals of highs, lows and radiation, in standard deviations, step by
//
//	x(t) = A x(t−1) + B e(t)
//
// with e standard normal. Radiation takes part because it moves the other two;
// its own value is not used, since the sky follows the rain and the range of
// temperature. Ref: [WGEN]; the matrices are those that give the correlations
// .633, .186 and −.193 and unit variances, which miscopied ones in circulation
// do not.
var (
	residualA = [3][3]float64{{.567, .086, -.002}, {.253, .504, -.050}, {-.006, -.039, .244}}
	residualB = [3][3]float64{{.781, 0, 0}, {.328, .637, 0}, {.238, -.341, .873}}
)

// residual is one day's x of highs, lows and radiation.
type residual [3]float64

func (x residual) next(rng *rand.Rand) residual {
	e := residual{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
	var y residual
	for i := range y {
		for j := range x {
			y[i] += residualA[i][j]*x[j] + residualB[i][j]*e[j]
		}
	}
	return y
}

// fitTemps fits means and spreads to a record with temperatures.
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
	// Spread about the daily means, so that the season's own run is no noise.
	var square [2][2][12]float64
	for d, mm := range r.RainMM {
		state := stateOf(mm)
		for v := range series {
			e := series[v][d] - t.Days[state][v].at(places[d])
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
				t.Days[state][v].SpreadC[i] = math.Sqrt(sq / n)
			}
		}
	}
	return t
}

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
	month      int     // 0 is January
	from, to   int     // months whose middles lie about it
	shareAfter float64 // 0 in the middle of from, 1 in that of to
}

func (t *DailyTemp) at(p yearPlace) float64 {
	return t.MeanC[p.from] + p.shareAfter*(t.MeanC[p.to]-t.MeanC[p.from])
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
		x = x.next(rng)
	}
	for d, day := range days {
		p := day.yearPlace()
		x = x.next(rng)
		s := &t.Days[stateOf(rainMM[d])]
		high := s[0].at(p) + s[0].SpreadC[p.month]*x[0]
		low := s[1].at(p) + s[1].SpreadC[p.month]*x[1]
		tminC[d], tmaxC[d] = min(low, high), max(low, high)
	}
}
