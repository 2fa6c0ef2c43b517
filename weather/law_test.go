package weather

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/stat"
)

// ranked is a station's days as the law is fitted to them.
type ranked struct {
	*station
	z          []float64 // normal scores of the clearness within its calendar month; NaN where missing
	rain, span []float64 // mm^0.3 and ΔT's standard score, less their months' means
	clearness  [12]float64
	sorted     [12][]float64 // clearness, rising
	lag        [12]float64   // lag-one correlation of z
}

func rank(st *station) *ranked {
	q := &ranked{station: st, z: make([]float64, len(st.sun))}
	var days [12][]int
	k := make([]float64, len(st.sun))
	for i, x := range st.sun {
		q.rain, q.span = append(q.rain, rainTerm(st.record.RainMM[i])), append(q.span, dayRange(st.record, i))
		k[i], q.z[i] = x/st.track.ExtraterrestrialKWh[i], math.NaN()
		if !math.IsNaN(x) {
			days[st.month[i]] = append(days[st.month[i]], i)
		}
	}
	for m, of := range days {
		slices.SortStableFunc(of, func(a, b int) int {
			if k[a] < k[b] {
				return -1
			}
			return 1
		})
		var rain, span []float64
		for r, i := range of {
			q.z[i] = math.Sqrt2 * math.Erfinv(2*(float64(r)+0.5)/float64(len(of))-1)
			q.sorted[m] = append(q.sorted[m], k[i])
			rain, span = append(rain, q.rain[i]), append(span, q.span[i])
		}
		q.clearness[m] = stat.Mean(q.sorted[m], nil)
		wet, _ := stat.MeanStdDev(rain, nil)
		mean, sd := stat.MeanStdDev(span, nil)
		for i, of := range st.month {
			if of == m {
				q.rain[i] -= wet
				q.span[i] = (q.span[i] - mean) / sd
			}
		}
		var before, after []float64
		for i := range q.z {
			if st.month[i] == m && i > 0 && st.month[i-1] == m && !math.IsNaN(q.z[i]+q.z[i-1]) {
				before, after = append(before, q.z[i-1]), append(after, q.z[i])
			}
		}
		q.lag[m] = stat.Correlation(before, after, nil)
	}
	return q
}

// fitLaw fits the constants of the law to stations that each weigh alike.
func fitLaw(of []*ranked) law {
	var l law
	// Rain and range: least squares of the days' scores.
	a, b := mat.NewSymDense(2, nil), mat.NewVecDense(2, nil)
	for _, q := range of {
		w := 1 / float64(len(q.z))
		for i, z := range q.z {
			if math.IsNaN(z) {
				continue
			}
			h := q.outside[q.month[i]]
			x := [2]float64{q.rain[i], q.span[i] * h / (h + halfRangeH0)}
			for r := range x {
				b.SetVec(r, b.AtVec(r)+w*x[r]*z)
				for c := r; c < 2; c++ {
					a.SetSym(r, c, a.At(r, c)+w*x[r]*x[c])
				}
			}
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		panic(err)
	}
	l.rain, l.rangeZ = x.AtVec(0), x.AtVec(1)
	// Memory: least squares of the months' lag-one correlation.
	best, err := optimize.Minimize(optimize.Problem{Func: func(p []float64) float64 {
		c := law{memory: p[0], memoryRise: p[1], memoryMax: p[2]}
		sum := 0.0
		for _, q := range of {
			for m, k := range q.clearness {
				d := c.lagOne(k) - q.lag[m]
				sum += d * d
			}
		}
		return sum
	}}, []float64{0.2, 1, 0.35}, nil, &optimize.NelderMead{})
	if err != nil {
		panic(err)
	}
	l.memory, l.memoryRise, l.memoryMax = best.X[0], best.X[1], best.X[2]
	// The floor: the months' spread and, where the sun was measured as such, also
	// the means of their darkest fifth and twentieth.
	l.floor = dayLaw.floor
	misfit := math.Inf(1)
	for rise := 0.0; rise < 1; rise += 0.01 {
		c := law{floor: l.floor, floorRise: rise}
		sum := 0.0
		for _, q := range of {
			for m := range q.sorted {
				w := 1.0
				if q.isDark(m) {
					w = 3
				}
				sd, fifth, twentieth := q.against(&c, m)
				sum += w * sq(math.Log(sd)/0.1)
				if !q.fromSunshine {
					sum += w * (sq(math.Log(fifth)/0.12) + sq(math.Log(twentieth)/0.2))
				}
			}
		}
		if sum < misfit {
			misfit, l.floorRise = sum, rise
		}
	}
	return l
}

// against returns the law's spread of a month's days, and the mean of their
// darkest fifth, over the measured.
func (q *ranked) against(l *law, m int) (sd, fifth, twentieth float64) {
	const n = 40
	clear := 0.0
	days := 0.0
	for i, x := range q.track.ClearKWh {
		if q.month[i] == m {
			clear += x
			days++
		}
	}
	clear /= days * q.outside[m]
	at := func(c *Clearness) []float64 {
		k := make([]float64, n)
		for i := range k {
			k[i] = math.Min(clear, c.At((float64(i)+0.5)/n))
		}
		return k
	}
	c := l.clearnessOf(q.clearness[m]).meeting(q.clearness[m], func(c *Clearness) float64 { return stat.Mean(at(c), nil) })
	k := at(&c)
	dark := func(n int) float64 {
		part := q.sorted[m][:len(q.sorted[m])/n]
		return stat.Mean(k[:len(k)/n], nil) / stat.Mean(part, nil)
	}
	return stat.PopStdDev(k, nil) / stat.PopStdDev(q.sorted[m], nil), dark(5), dark(20)
}

func (l law) values() [6]float64 {
	return [6]float64{l.rain, l.rangeZ, l.memory, l.memoryRise, l.memoryMax, l.floorRise}
}

// miss is a score that lies outside of what is wanted, and how far it may.
type miss struct {
	station string
	days    int
	low     float64
	high    float64
}

// Wanted of a law that never saw the station, over 20 skies, whatever the record
// tells: the dark months' spread of daily clearness within 15 %, the sums of the
// worst 3, 7 and 14 days of each winter within 15 % in the median and between
// 0.7 and 1.35 as a mean, lag one within 0.1, the months' means kept. These are
// missed, and must not be missed by more:
//   - the worst 3 days of Wageningen's four winters, which are darker than [BCR]'s
//     darkest day;
//   - those of Lushnje, whose sun, worked out from hours of sunshine, has no day
//     below 0.21 of the extraterrestrial radiation;
//   - Pergamino's worst week, whose sun, worked out likewise, has more days at
//     both ends than elsewhere at that clearness.
var misses = []miss{
	{"wageningen", 3, 0.85, 1.36},
	{"lushnje", 3, 0.78, 1.15},
	{"pergamino", 7, 0.85, 1.20},
}

// The constants of the law are those that all four stations give; they are
// scored with the station left out.
func TestLawAgainstStations(t *testing.T) {
	var all []*ranked
	for _, st := range stations(t) {
		all = append(all, rank(st))
	}
	names := [6]string{"rain", "rangeZ", "memory", "memoryRise", "memoryMost", "floorRise"}
	digit := [6]float64{0.01, 0.01, 0.01, 0.01, 0.01, 0.01}
	whole := fitLaw(all).values()
	var square [6]float64 // jackknife over the stations
	for i, q := range all {
		others := append(append([]*ranked(nil), all[:i]...), all[i+1:]...)
		l := fitLaw(others)
		for k, v := range l.values() {
			square[k] += sq(v-whole[k]) * float64(len(all)-1) / float64(len(all))
		}
		for _, what := range []string{"months alone", "rain alone", "rain and temperatures"} {
			q.judge(t, what, q.scored(t, &l, what))
		}
	}
	for k, v := range dayLaw.values() {
		t.Logf("%-10s %+.3f ± %.3f", names[k], whole[k], math.Sqrt(square[k]))
		if math.Abs(v-whole[k]) > digit[k]/2+1e-9 {
			t.Errorf("%s is %g, the stations give %.4f", names[k], v, whole[k])
		}
	}
}

func (st *station) judge(t *testing.T, what string, s stationScore) {
	t.Logf("%-10s %-21s: spread %.2f, lag one %+.2f (measured %.2f), worst 3 days %.2f (mean %.2f), 7 days %.2f (%.2f), 14 days %.2f (%.2f)",
		st.name, what, s.spread, s.lag, s.measuredLag, s.median[0], s.mean[0], s.median[1], s.mean[1], s.median[2], s.mean[2])
	if math.Abs(s.spread-1) > 0.15 {
		t.Errorf("%s, %s: the days spread by %.2f of the measured", st.name, what, s.spread)
	}
	if math.Abs(s.lag) > 0.1 {
		t.Errorf("%s, %s: lag one is %+.2f off", st.name, what, s.lag)
	}
	if s.months > 0.0005 {
		t.Errorf("%s, %s: a month's mean is %.4f off the table", st.name, what, s.months)
	}
	for k, days := range worstDays {
		wanted := miss{low: 0.85, high: 1.15}
		for _, m := range misses {
			if m.station == st.name && m.days == days {
				wanted = m
			}
		}
		if x := s.median[k]; x < wanted.low || x > wanted.high {
			t.Errorf("%s, %s: the worst %d days have %.2f of the measured sun in the median, want %.2f to %.2f", st.name, what, days, x, wanted.low, wanted.high)
		}
		if x := s.mean[k]; x < 0.7 || x > 1.35 {
			t.Errorf("%s, %s: the worst %d days have %.2f of the measured sun in the mean", st.name, what, days, x)
		}
	}
}
