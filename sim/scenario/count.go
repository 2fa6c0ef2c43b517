package scenario

import (
	"math"
	"time"

	"sunrill/sim"
)

// maxHours is the length of the longest year.
const maxHours = 366 * 24

// hourCounts counts years by their unmet hours, so that any share of them can
// be told without keeping the years.
type hourCounts struct {
	years int
	by    [maxHours + 1]int32
}

// atFraction is [sim.Spread.At].
func (c *hourCounts) atFraction(fraction float64) float64 {
	if c.years == 0 {
		return 0
	}
	return sim.Counted(c.by[:], fraction)
}

// deepStepWh is the step in which the deepest deficit of a year is counted.
const deepStepWh = 100

// rangeAt is [sim.CountedRange] for as many years as were counted.
func (c *hourCounts) rangeAt(fraction float64) sim.Range {
	return sim.CountedRange(c.by[:], fraction, c.years, sim.Middle)
}

// deepestYears returns the years' deepest deficits in Wh.
func (c *count) deepestYears() sim.Spread {
	var values []float64
	for step, n := range c.deepest {
		for range n {
			values = append(values, float64(step)*deepStepWh)
		}
	}
	return sim.NewSpread(values)
}

// count gathers the years of a scenario. Sums are whole numbers, so that they
// come to the same whichever goroutine adds which year.
type count struct {
	hours          hourCounts
	unmetHours     int64
	generatorHours int64
	fuelMicroL     int64
	rainMicroMM    int64
	deepestWh      float64
	deepest        map[int64]int32 // years by their deepest deficit, in steps: however deep it is
	lowDays        [367]int32
	fan            *fanCount
}

// add counts a year; minM3S is the stream flow from which the smallest set runs.
func (c *count) add(y *sim.Year, minM3S float64) {
	t := &y.Tally
	c.hours.years++
	c.hours.by[min(t.UnmetHours, maxHours)]++
	c.unmetHours += int64(t.UnmetHours)
	c.generatorHours += int64(t.GeneratorHours)
	c.fuelMicroL += int64(math.Round(1e6 * t.FuelL))
	for _, mm := range y.In.RainMM {
		c.rainMicroMM += int64(math.Round(1e6 * mm))
	}
	deepWh := sim.Deficits(y.In, &y.Bus.Bank, nil)
	c.deepestWh = max(c.deepestWh, deepWh)
	if c.deepest == nil {
		c.deepest = map[int64]int32{}
	}
	c.deepest[int64(math.Round(deepWh/deepStepWh))]++
	low := 0
	for _, q := range y.In.FlowM3S {
		if q < minM3S {
			low++
		}
	}
	c.lowDays[min(low, len(c.lowDays)-1)]++
	if c.fan != nil {
		c.fan.add(y)
	}
}

// merge adds what another goroutine counted.
func (c *count) merge(o *count) {
	c.hours.years += o.hours.years
	for h, n := range o.hours.by {
		c.hours.by[h] += n
	}
	c.unmetHours += o.unmetHours
	c.generatorHours += o.generatorHours
	c.fuelMicroL += o.fuelMicroL
	c.rainMicroMM += o.rainMicroMM
	c.deepestWh = max(c.deepestWh, o.deepestWh)
	if c.deepest == nil {
		c.deepest = map[int64]int32{}
	}
	for step, n := range o.deepest {
		c.deepest[step] += n
	}
	for i, n := range o.lowDays {
		c.lowDays[i] += n
	}
	if c.fan != nil {
		c.fan.merge(o.fan)
	}
}

func (c *count) outcome() Outcome {
	n := float64(max(c.hours.years, 1))
	return Outcome{
		P80Range: c.hours.rangeAt(0.8), WorstRange: c.hours.rangeAt(1),
		UnmetP50: c.hours.atFraction(0.5), UnmetP80: c.hours.atFraction(0.8), UnmetP95: c.hours.atFraction(0.95), UnmetWorst: c.hours.atFraction(1),
		UnmetMean:        float64(c.unmetHours) / n,
		DeepestDeficitWh: c.deepestWh,
		GeneratorHours:   float64(c.generatorHours) / n,
		FuelL:            float64(c.fuelMicroL) / 1e6 / n,
	}
}

// fanSteps is the number of steps that the SoC is told apart by in a fan.
const fanSteps = 250

// fanCount counts, for each week of the year, the years by the week's lowest
// SoC. Days would show the homestead's week: synthetic years share a calendar, so
// the day of washing or of the walk to the nozzles is the same in all.
type fanCount struct {
	by [52][fanSteps + 1]int32
}

const weekHours = 7 * 24

func (f *fanCount) add(y *sim.Year) {
	for w := range f.by {
		low := 1.0
		for _, soc := range y.SoC[weekHours*w : weekHours*(w+1)] {
			if soc < low {
				low = soc
			}
		}
		f.by[w][int(math.Round(low*fanSteps))]++
	}
}

func (f *fanCount) merge(o *fanCount) {
	for w := range f.by {
		for k, n := range o.by[w] {
			f.by[w][k] += n
		}
	}
}

func (f *fanCount) fan(start time.Time, floorSoC float64) *Fan {
	fan := &Fan{Start: start, FloorSoC: floorSoC}
	for w := range f.by {
		// The SoC that the given share of the years stays at or below.
		at := func(fraction float64) float64 { return sim.Counted(f.by[w][:], fraction) / fanSteps }
		fan.Median = append(fan.Median, at(0.5))
		fan.OneIn5 = append(fan.OneIn5, at(0.2))
		fan.OneIn20 = append(fan.OneIn20, at(0.05))
	}
	return fan
}
