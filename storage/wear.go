package storage

import "math"

// Cycle is what rainflow counting found: a swing of a certain range, and how
// often, in whole or half cycles.
type Cycle struct {
	Range, Mean, Count float64
}

// Rainflow counts the cycles of a series after [ASTM] section 5.4.4 and
// returns them in the order in which they are found. With X the range of the
// latest two of three reversals and Y the range before it: while X < Y read
// on; else, if Y contains the starting point, count half a cycle and drop the
// first point; else count one cycle and drop both points of Y. What is left at
// the end counts as half cycles.
func Rainflow(series []float64) []Cycle {
	var (
		cycles []Cycle
		stack  []float64
	)
	count := func(a, b, n float64) {
		cycles = append(cycles, Cycle{Range: math.Abs(a - b), Mean: (a + b) / 2, Count: n})
	}
	reversals(series, func(v float64) {
		stack = append(stack, v)
		for len(stack) >= 3 {
			n := len(stack)
			x := math.Abs(stack[n-1] - stack[n-2])
			y := math.Abs(stack[n-2] - stack[n-3])
			if x < y {
				return
			}
			if n == 3 {
				count(stack[0], stack[1], 0.5)
				stack = append(stack[:0], stack[1:]...)
			} else {
				count(stack[n-3], stack[n-2], 1)
				stack[n-3] = stack[n-1]
				stack = stack[:n-2]
			}
		}
	})
	for i := 1; i < len(stack); i++ {
		count(stack[i-1], stack[i], 0.5)
	}
	return cycles
}

// reversals calls take for the first and last value of a series and for each
// at which it turns.
func reversals(series []float64, take func(float64)) {
	if len(series) == 0 {
		return
	}
	take(series[0])
	last, rising, known := series[0], false, false
	for _, v := range series[1:] {
		if v == last {
			continue
		}
		if known && (v > last) != rising {
			take(last)
		}
		rising, known, last = v > last, true, v
	}
	if known {
		take(last)
	}
}

// CyclesAt returns how many cycles the bank lasts at a depth of discharge, by
// the power law through the two nearest points of CycleLife, carried on beyond
// the outermost. It is +Inf without points and for a depth of 0; a single
// point is taken as a fixed throughput.
func (b *Bank) CyclesAt(depth float64) float64 {
	p := b.CycleLife
	if len(p) == 0 || depth <= 0 {
		return math.Inf(1)
	}
	if len(p) == 1 {
		return p[0].Cycles * p[0].Depth / depth
	}
	i := 1
	for i < len(p)-1 && depth > p[i].Depth {
		i++
	}
	slope := math.Log(p[i].Cycles/p[i-1].Cycles) / math.Log(p[i].Depth/p[i-1].Depth)
	return p[i].Cycles * math.Pow(depth/p[i].Depth, slope)
}

// Wear is what a run costs a bank.
type Wear struct {
	FullCycles   float64 // energy out of the store as a multiple of the capacity
	MeanDepth    float64 // of the counted cycles, weighted by range
	LifeUsed     float64 // fraction of the cycle life, by Miner's sum
	WeeksNotFull int     // whole weeks in which the bank never got full
	// Years of life as a range: the upper end is the smaller of the cycle
	// curve and the calendar; the lower is half of it, because a measured bank
	// lived half of what its curve promised ([Murphy]).
	LifeYearsLow, LifeYearsHigh float64
	UsedAYear                   float64 // LifeUsed, over a year of mean length
}

// LifeYears returns how long a bank lasts that uses a fraction of its cycle life a
// year: until the cycles are used up or the calendar ends, whichever comes
// first; +Inf if neither does. See [Wear] for the range.
func (b *Bank) LifeYears(usedAYear float64) float64 {
	years := math.Inf(1)
	if b.CalendarYears > 0 {
		years = b.CalendarYears
	}
	if usedAYear > 0 {
		years = math.Min(years, 1/usedAYear)
	}
	return years
}

// Wear returns what a year with the given SoC, a value an hour, costs the
// bank. fullSoC is the charge that counts as full.
//
// Miner's rule: each cycle of depth D uses 1/N(D) of the life, N by
// [Bank.CyclesAt]. Full cycles are half of the charge's up and down, leaks
// included.
func (b *Bank) Wear(soc []float64, fullSoC float64) Wear {
	var w Wear
	if b.CapacityWh <= 0 || len(soc) == 0 {
		return w
	}
	var swing, squares float64
	for _, c := range Rainflow(soc) {
		w.FullCycles += c.Count * c.Range
		w.LifeUsed += c.Count / b.CyclesAt(c.Range)
		swing += c.Count * c.Range
		squares += c.Count * c.Range * c.Range
	}
	if swing > 0 {
		w.MeanDepth = squares / swing
	}
	const week = 7 * 24
	for from := 0; from+week <= len(soc); from += week {
		full := false
		for _, s := range soc[from : from+week] {
			full = full || s >= fullSoC
		}
		if !full {
			w.WeeksNotFull++
		}
	}
	w.UsedAYear = w.LifeUsed / (float64(len(soc)) / (365.25 * 24))
	w.LifeYearsHigh = b.LifeYears(w.UsedAYear)
	w.LifeYearsLow = w.LifeYearsHigh / 2
	return w
}
