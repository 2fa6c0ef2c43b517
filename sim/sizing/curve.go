package sizing

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"sunrill/sim"
)

// Point is a bank of one size over all years.
type Point struct {
	CapacityKWh float64 `json:"capacity_kwh"`
	UnmetMean   float64 `json:"unmet_hours_mean"`
	UnmetP80    float64 `json:"unmet_hours_p80"` // in four years of five not more
	UnmetWorst  float64 `json:"unmet_hours_worst"`
	WorstYear   int     `json:"worst_year"` // the calendar year in which it starts
	// LifeYears is what the cycle curve or the calendar promises; half of it
	// is as likely. 0: no bank, or not reckoned.
	LifeYears float64 `json:"life_years"`

	worst       int     // index of the worst year
	wearPerYear float64 // share of the cycle life used in a year
}

// InFourOfFive returns the value that at least 80 % of the values stay at or
// below.
func InFourOfFive(values []float64) float64 {
	return atShare(slices.Sorted(slices.Values(values)), 0.8)
}

// atShare returns the smallest of the rising values that at least the given
// share of them stays at or below.
func atShare(rising []float64, share float64) float64 {
	if len(rising) == 0 {
		return math.NaN()
	}
	i := int(math.Ceil(share*float64(len(rising))-1e-9)) - 1
	return rising[max(i, 0)]
}

// Curve runs every year on banks of the given capacities and returns a point
// for each. Wear is left out, see [Life].
func Curve(ctx context.Context, ys Years, bus sim.Bus, capacitiesWh []float64, p Progress) ([]Point, error) {
	return curve(ctx, ys, bus, capacitiesWh, p.steps(ys.N))
}

func curve(ctx context.Context, ys Years, bus sim.Bus, capacitiesWh []float64, step func()) ([]Point, error) {
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
	err := ys.each(ctx, step, func(i int, in *sim.Input) {
		numbers[i] = in.Start.Year()
		for k, t := range sim.Tallies(in, buses) {
			unmet[k][i] = float64(t.UnmetHours)
		}
	})
	if err != nil {
		return nil, err
	}
	points := make([]Point, len(buses))
	for k := range points {
		p := Point{CapacityKWh: capacitiesWh[k] / 1000, UnmetP80: InFourOfFive(unmet[k])}
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
func Life(ctx context.Context, ys Years, bus sim.Bus, points []Point, p Progress) error {
	return life(ctx, ys, bus, points, p.steps(ys.N))
}

func life(ctx context.Context, ys Years, bus sim.Bus, points []Point, step func()) error {
	used := make([][]float64, ys.N) // by year, by size
	failed := make([]error, ys.N)
	err := ys.each(ctx, step, func(i int, in *sim.Input) {
		used[i] = make([]float64, len(points))
		var y sim.Year
		for k := range points {
			b := bus
			b.Bank = bus.Bank.Scaled(points[k].CapacityKWh * 1000)
			if _, err := sim.Rerun(&y, in, b); err != nil {
				failed[i] = err
				return
			}
			used[i][k] = b.Bank.Wear(y.SoC, sim.FullSoC).LifeUsed / (float64(in.Hours()) / (365.25 * 24))
		}
	})
	if err := cmp.Or(err, errors.Join(failed...)); err != nil {
		return err
	}
	for k := range points {
		p := &points[k]
		if p.CapacityKWh <= 0 {
			continue
		}
		p.wearPerYear = 0
		for i := range used {
			p.wearPerYear += used[i][k] / float64(ys.N)
		}
		p.setLife(bus.Bank.CalendarYears)
	}
	return nil
}

// setLife sets the years of life that the wear leaves, or the calendar if that
// ends first.
func (p *Point) setLife(calendarYears float64) {
	p.LifeYears = calendarYears
	if p.wearPerYear > 0 && (calendarYears <= 0 || 1/p.wearPerYear < calendarYears) {
		p.LifeYears = 1 / p.wearPerYear
	}
}
