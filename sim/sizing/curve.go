package sizing

import (
	"context"
	"math"

	"sunrill/sim"
	"sunrill/storage"
)

// Point is a bank of one size over all years.
type Point struct {
	CapacityWh float64
	UnmetMean  float64
	UnmetP80   float64 // in four years of five not more
	UnmetWorst float64
	// Where both come out in 8 of 10 sets of as many years, drawn again from the
	// same: few years make neither sure.
	P80Range   sim.Range
	WorstRange sim.Range
	WorstYear  int // the calendar year in which it starts
	// LifeYears is what the cycle curve or the calendar promises; half of it
	// is as likely. 0: no bank, or not reckoned.
	LifeYears float64
	// UseYears is what the cycle curve alone promises; 0: not reckoned, or use
	// does not wear it.
	UseYears float64

	worst       int     // index of the worst year
	wearPerYear float64 // share of the cycle life used in a year
}

// Curve runs every year on banks of the given capacities and returns a point
// for each. Wear is left out, see [Life].
func Curve(ctx context.Context, ys sim.Years, bus sim.Bus, capacitiesWh []float64, p sim.Progress) ([]Point, error) {
	return curve(ctx, ys, bus, capacitiesWh, p.Steps(ys.N))
}

func curve(ctx context.Context, ys sim.Years, bus sim.Bus, capacitiesWh []float64, step func()) ([]Point, error) {
	buses := make([]sim.Bus, len(capacitiesWh))
	for k, wh := range capacitiesWh {
		buses[k] = bus
		buses[k].Bank = bus.Bank.Scaled(wh)
	}
	unmet := make([][]float64, len(buses)) // by size, by year
	for k := range unmet {
		unmet[k] = make([]float64, ys.N)
	}
	numbers := make([]int, ys.N)
	err := ys.Visit(ctx, step, func(c sim.Case) error {
		numbers[c.Year] = c.In.Start.Year()
		hours, _ := sim.UnmetHours(c.In, buses)
		for k, n := range hours {
			unmet[k][c.Year] = float64(n)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	points := make([]Point, len(buses))
	for k := range points {
		hours := sim.NewSpread(unmet[k])
		p := Point{CapacityWh: capacitiesWh[k], UnmetP80: hours.At(0.8),
			P80Range: hours.AtRange(0.8, ys.N, sim.Middle), WorstRange: hours.AtRange(1, ys.N, sim.Middle)}
		for i, hours := range unmet[k] {
			p.UnmetMean += hours / float64(ys.N)
			if hours > unmet[k][p.worst] {
				p.worst = i
			}
		}
		p.UnmetWorst, p.WorstYear = unmet[k][p.worst], numbers[p.worst]
		points[k] = p
	}
	return points, nil
}

// Life sets the points' years of life: the mean wear of all years through the
// cycle curve, or the calendar if that ends first.
func Life(ctx context.Context, ys sim.Years, bus sim.Bus, points []Point, p sim.Progress) error {
	return life(ctx, ys, bus, points, p.Steps(ys.N))
}

func life(ctx context.Context, ys sim.Years, bus sim.Bus, points []Point, step func()) error {
	used := make([][]float64, ys.N) // by year, by size
	err := ys.Visit(ctx, step, func(c sim.Case) error {
		used[c.Year] = make([]float64, len(points))
		for k := range points {
			b := bus
			b.Bank = bus.Bank.Scaled(points[k].CapacityWh)
			y, err := c.Run(c.In, b)
			if err != nil {
				return err
			}
			used[c.Year][k] = b.Bank.Wear(y.SoC, sim.FullSoC).UsedAYear
		}
		return nil
	})
	if err != nil {
		return err
	}
	for k := range points {
		p := &points[k]
		if p.CapacityWh <= 0 {
			continue
		}
		p.wearPerYear = 0
		for i := range used {
			p.wearPerYear += used[i][k] / float64(ys.N)
		}
		p.setLife(&bus.Bank)
	}
	return nil
}

// setLife sets the years of life that the wear leaves, or the calendar if that
// ends first.
func (p *Point) setLife(b *storage.Bank) {
	p.LifeYears = b.LifeYears(p.wearPerYear)
	if math.IsInf(p.LifeYears, 1) {
		p.LifeYears = 0 // not reckoned
	}
	p.UseYears = 0
	if p.wearPerYear > 0 {
		p.UseYears = 1 / p.wearPerYear
	}
}
