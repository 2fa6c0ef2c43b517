package sizing

import (
	"context"
	"math"
	"slices"

	"sunrill/sim"
)

// Sure is how sure the size of a bank is, over draws.
type Sure struct {
	// SizeWh is the smallest bank that keeps to the target; +Inf in a draw in
	// which none up to MaxWh does.
	SizeWh  sim.Doubt
	MaxWh   float64
	Present sim.Doubt // unmet hours in four years of five, with the present bank
	AtSize  sim.Doubt // the same with the bank of the middle values; empty where there is none
	// LikelyWh keeps to the target in at least 15 of 20 draws; nil: none does.
	LikelyWh *float64
}

// likely is the share of the draws that makes something likely.
const likely = 0.75

// sure finds the bank for the target of r under every draw of the years. r and
// known are what [Study] found with the middle values; the search takes the same
// steps, so that draws that change nothing find the same bank.
func (r *Result) sure(ctx context.Context, ys sim.Years, bus sim.Bus, known []Point, step func()) (*Sure, error) {
	s := &Sure{}
	var named []float64 // run besides, in Wh
	named = append(named, r.PresentWh)
	s.Present.Middle, s.SizeWh.Middle = r.Present.UnmetP80, math.Inf(1)
	if r.SizeWh != nil {
		named = append(named, *r.SizeWh)
		s.SizeWh.Middle, s.AtSize.Middle = *r.SizeWh, r.Size.UnmetP80
	}
	grid := thinned(known, r.keepsFrom(known))
	for range 3 { // a draw may ask for more than the middle values
		grid = append(grid, 1.6*grid[len(grid)-1])
	}
	s.MaxWh = grid[len(grid)-1]

	keeps := func(hours []float64) bool { return sim.NewSpread(hours).At(0.8) <= r.TargetHours }
	grids := make([][]float64, ys.Draws)
	for d := range grids {
		grids[d] = slices.Concat(named, grid)
	}
	hours, err := unmetBySize(ctx, ys, bus, grids, step)
	if err != nil {
		return nil, err
	}
	for d := range grids {
		s.Present.Draws = append(s.Present.Draws, sim.NewSpread(hours[d][0]).At(0.8))
		if r.SizeWh != nil {
			s.AtSize.Draws = append(s.AtSize.Draws, sim.NewSpread(hours[d][1]).At(0.8))
		}
		grids[d], hours[d] = grid, hours[d][len(named):]
	}
	s.SizeWh.Draws = make([]float64, ys.Draws)
	for range refinements {
		for d, sizes := range grids {
			k := len(sizes)
			for k > 0 && keeps(hours[d][k-1]) {
				k--
			}
			switch {
			case len(sizes) == 0: // found
			case k == len(sizes):
				s.SizeWh.Draws[d], grids[d] = math.Inf(1), nil
			case k == 0:
				s.SizeWh.Draws[d], grids[d] = sizes[0], nil
			default:
				s.SizeWh.Draws[d], grids[d] = sizes[k], between(sizes[k-1], sizes[k])
			}
		}
		if hours, err = unmetBySize(ctx, ys, bus, grids, step); err != nil {
			return nil, err
		}
	}
	for d, sizes := range grids {
		for k := len(sizes) - 1; k >= 0 && keeps(hours[d][k]); k-- {
			s.SizeWh.Draws[d] = sizes[k]
		}
	}
	if wh := sim.NewSpread(s.SizeWh.Draws).At(likely); !math.IsInf(wh, 1) {
		s.LikelyWh = &wh
	}
	return s, nil
}

// surePasses is the number of times that it goes over the years.
const surePasses = 1 + refinements

// thinned returns every third capacity of the points, in Wh, with the first, the
// last, and the two between which the target begins to be kept.
func thinned(points []Point, keepsFrom int) []float64 {
	var wh []float64
	for k, p := range points {
		if k%3 == 0 || k == len(points)-1 || k == keepsFrom || k == keepsFrom-1 {
			wh = append(wh, p.CapacityWh)
		}
	}
	return slices.Compact(wh)
}

// unmetBySize runs the years of each draw on banks of that draw's capacities and
// returns the unmet hours: by draw, by size, by year.
func unmetBySize(ctx context.Context, ys sim.Years, bus sim.Bus, capacitiesWh [][]float64, step func()) ([][][]float64, error) {
	hours := make([][][]float64, ys.Draws)
	buses := make([][]sim.Bus, ys.Draws)
	for d := range hours {
		for _, wh := range capacitiesWh[d] {
			b := bus
			b.Bank = bus.Bank.Scaled(wh)
			buses[d] = append(buses[d], b)
			hours[d] = append(hours[d], make([]float64, ys.N))
		}
	}
	err := ys.Visit(ctx, step, func(c sim.Case) error {
		unmet, _ := sim.UnmetHours(c.In, buses[c.Draw])
		for k, n := range unmet {
			hours[c.Draw][k][c.Year] = float64(n)
		}
		return nil
	})
	return hours, err
}
