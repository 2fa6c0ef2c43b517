package stream

import (
	"math/rand/v2"
	"slices"
)

const usableWindow = 7 // days whose mean flow must do

// UsableSeason tells when in a water year the creek can run a turbine: from the
// first to the last day of weeks whose mean flow is enough. Days count from the
// record's start, the day after the last included; -1 is no such day.
type UsableSeason struct {
	From, To    int // the year
	First, Last DayRange
	Never       float64 // fraction of the draws in which the creek is never enough
	Measured    Measured
}

// DayRange is a day with the range that holds it in 8 of 10 draws; Low and High
// are -1 without draws.
type DayRange struct{ Day, Low, High int }

// Measured is what the readings themselves tell of a season: the creek became
// enough after the day FirstAfter and by FirstBy, was last seen enough on
// LastSeen and was not any more on LastBefore. -1 where no reading tells.
type Measured struct{ FirstAfter, FirstBy, LastSeen, LastBefore int }

// UsableSeasons returns the season of each year, [from, to) in days of the
// record, in which the flow is at least needM3S. Each draw has a course of its
// daily error, as the real creek has.
func (f *Fitted) UsableSeasons(rainMM, petMM []float64, years [][2]int, needM3S float64) []UsableSeason {
	seasons := make([]UsableSeason, len(years))
	flow := f.Model.Flow(nil, rainMM, petMM)
	for i, y := range years {
		first, last := usable(flow[y[0]:y[1]], needM3S)
		s := UsableSeason{From: y[0], To: y[1], First: DayRange{-1, -1, -1}, Last: DayRange{-1, -1, -1}, Measured: f.measured(y, needM3S)}
		if first >= 0 {
			s.First.Day, s.Last.Day = y[0]+first, y[0]+last
		}
		seasons[i] = s
	}
	n := len(f.draws)
	if n == 0 {
		return seasons
	}
	firsts, lasts := make([][]int, len(years)), make([][]int, len(years))
	for i := range years {
		firsts[i], lasts[i] = make([]int, n), make([]int, n)
	}
	parallel(n, func(_, j int) {
		q := f.draws[j].Flow(nil, rainMM, petMM, drawSeed(f.seed, j))
		for i, y := range years {
			firsts[i][j], lasts[i][j] = usable(q[y[0]:y[1]], needM3S)
		}
	})
	for i, y := range years {
		a := slices.DeleteFunc(firsts[i], func(d int) bool { return d < 0 })
		b := slices.DeleteFunc(lasts[i], func(d int) bool { return d < 0 })
		seasons[i].Never = float64(n-len(a)) / float64(n)
		if 2*len(a) < n {
			seasons[i].First, seasons[i].Last = DayRange{-1, -1, -1}, DayRange{-1, -1, -1}
			continue
		}
		seasons[i].First, seasons[i].Last = dayRange(a, y[0]), dayRange(b, y[0])
	}
	return seasons
}

func drawSeed(seed uint64, draw int) uint64 {
	return rand.New(rand.NewPCG(seed, 1<<34+uint64(draw))).Uint64()
}

func dayRange(days []int, from int) DayRange {
	slices.Sort(days)
	at := func(fraction float64) int { return from + days[int(fraction*float64(len(days)-1)+0.5)] }
	return DayRange{at(0.5), at(rangeLow), at(rangeHigh)}
}

// usable returns the first day of the first week whose mean is enough and the
// day after the last such week; -1 where there is none.
func usable(flow []float64, needM3S float64) (first, last int) {
	first, last = -1, -1
	sum := 0.0
	for i, q := range flow {
		sum += q
		if i >= usableWindow {
			sum -= flow[i-usableWindow]
		}
		if i >= usableWindow-1 && sum >= needM3S*usableWindow {
			if first < 0 {
				first = i - usableWindow + 1
			}
			last = i + 1
		}
	}
	return first, last
}

// measured brackets the season by the readings. The reading before the first
// that is enough may be of the year before, and the one after the last of the
// year after, if it is near.
func (f *Fitted) measured(year [2]int, needM3S float64) Measured {
	const near = 120 // days
	m := Measured{-1, -1, -1, -1}
	first := f.t.firstDay
	for i, g := range f.Used {
		day := dayNumber(g.Date) - first
		if day < year[0] || day >= year[1] || g.FlowM3S < needM3S {
			continue
		}
		if m.FirstBy < 0 {
			m.FirstBy = day
			if i > 0 {
				if before := dayNumber(f.Used[i-1].Date) - first; f.Used[i-1].FlowM3S < needM3S && day-before <= near {
					m.FirstAfter = before
				}
			}
		}
		m.LastSeen, m.LastBefore = day, -1
		if i+1 < len(f.Used) {
			if after := dayNumber(f.Used[i+1].Date) - first; f.Used[i+1].FlowM3S < needM3S && after-day <= near {
				m.LastBefore = after
			}
		}
	}
	return m
}
