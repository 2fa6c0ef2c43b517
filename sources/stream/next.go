package stream

import (
	"math"
	"time"
)

// NextReading is the reading that would narrow most what is known of the water
// that the turbine can use.
type NextReading struct {
	Month      time.Month
	SecondHalf bool // from the 16th on
	Rising     bool // in the days after rain; else while the creek falls
	FirstRain  bool // of the season
	LowM3S     float64
	HighM3S    float64 // the creek between these
	Years, Of  int     // years of the record that have such days
	Narrows    float64 // fraction of the present range that one reading takes away
}

const (
	risingTimes  = 1.05 // over three days
	minDays      = 5    // of the record, that a state must have
	firstRainFor = 30   // days from the first that is enough
	readingError = 0.06 // error of a reading with a bucket, as [UsualRelativeError]
)

// Next looks, over the last years of a record, for the half-month and the
// state of the creek in which a reading would tell most of the mean flow that
// a turbine can use, which is none below minM3S and no more than maxM3S. The
// gain is that of linear regression over the draws: the fraction of the answer's
// variance that goes is
//
//	cov(answer, reading)² / (var(answer)·(var(reading) + var(error)))
//
// with the reading on its logarithm and its error that of the day and of the
// bucket. False without enough draws, or where they all agree.
func (f *Fitted) Next(start time.Time, rainMM, petMM []float64, minM3S, maxM3S float64) (NextReading, bool) {
	const maxYears = 10
	n := len(f.draws)
	if n < 20 || maxM3S <= 0 {
		return NextReading{}, false
	}
	days := len(rainMM)
	from := max(0, days-maxYears*yearDays)
	flows := make([][]float64, n)
	answer := make([]float64, n)
	parallel(n, func(_, j int) {
		flows[j] = f.draws[j].Model.Flow(nil, rainMM, petMM)
		for _, q := range flows[j][from:] {
			if q >= minM3S {
				answer[j] += math.Min(q, maxM3S) / float64(days-from)
			}
		}
	})
	mean := meanOf(answer)
	varAnswer := 0.0
	for _, a := range answer {
		varAnswer += (a - mean) * (a - mean) / float64(n)
	}
	if mean <= 0 || math.Sqrt(varAnswer) < 0.01*mean {
		return NextReading{}, false
	}

	type state struct {
		half, size int
		rising     bool
	}
	type tally struct {
		gain        float64
		days, first int
		years       map[int]bool
	}
	all := map[state]*tally{}
	model := f.Model.Flow(nil, rainMM, petMM)
	enough := -firstRainFor - 1 // the day on which the creek was last enough after a month of not
	dry := 0
	logs := make([]float64, n)
	for d := from; d < days; d++ {
		if model[d] < minM3S {
			dry++
		} else {
			if dry >= firstRainFor {
				enough = d
			}
			dry = 0
		}
		if model[d] <= 0 || d < 3 {
			continue
		}
		sum := 0.0
		for j := range flows {
			logs[j] = math.Log(flows[j][d] + f.t.addM3S)
			sum += logs[j]
		}
		middle := sum / float64(n)
		cov, spread := 0.0, 0.0
		for j, y := range logs {
			cov += (y - middle) * (answer[j] - mean) / float64(n)
			spread += (y - middle) * (y - middle) / float64(n)
		}
		sd := f.Error.sdAt(model[d])
		gain := cov * cov / (varAnswer * (spread + sd*sd + readingError*readingError))
		date := start.AddDate(0, 0, d)
		half := 2 * int(date.Month()-1)
		if date.Day() > 15 {
			half++
		}
		s := state{half, int(math.Floor(math.Log2(model[d] / maxM3S))), model[d] > risingTimes*model[d-3]}
		t := all[s]
		if t == nil {
			t = &tally{years: map[int]bool{}}
			all[s] = t
		}
		t.gain += gain
		t.days++
		if d-enough <= firstRainFor {
			t.first++
		}
		t.years[(d-from)/yearDays] = true
	}
	years := (days - from + yearDays - 1) / yearDays
	var best NextReading
	maximum := 0.0
	for half := range 24 {
		for size := -12; size <= 6; size++ {
			for _, rising := range []bool{false, true} {
				t := all[state{half, size, rising}]
				if t == nil || t.days < minDays || 3*len(t.years) < years {
					continue
				}
				if gain := t.gain / float64(t.days); gain > maximum {
					maximum = gain
					best = NextReading{
						Month: time.Month(half/2 + 1), SecondHalf: half%2 == 1, Rising: rising, FirstRain: 2*t.first > t.days,
						LowM3S: maxM3S * math.Exp2(float64(size)), HighM3S: maxM3S * math.Exp2(float64(size+1)),
						Years: len(t.years), Of: years, Narrows: 1 - math.Sqrt(1-math.Min(1, gain)),
					}
				}
			}
		}
	}
	return best, maximum > 0
}
