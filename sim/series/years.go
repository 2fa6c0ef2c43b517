package series

import (
	"sunrill/sim"
	"sunrill/weather"
)

// Over returns the given water years of one homestead after another, each
// gated by its valve's dates: homesteads are the draws of the years. The years
// must be some of [Homestead.Years].
func Over(years []weather.Year, homesteads ...*Homestead) sim.Years {
	return over(years, homesteads, (*Maker).Input)
}

// OverOpen is [Over] with the valve always open, and what becomes of one that is
// opened on any day.
func OverOpen(years []weather.Year, homesteads ...*Homestead) sim.Years {
	return over(years, homesteads, (*Maker).Openings)
}

func over(years []weather.Year, homesteads []*Homestead, input func(*Maker, *Homestead, weather.Year) *sim.Input) sim.Years {
	return sim.Years{N: len(years), Draws: len(homesteads), Maker: func() func(int, int) *sim.Input {
		m := new(Maker)
		return func(draw, i int) *sim.Input { return input(m, homesteads[draw], years[i]) }
	}}
}

// Held makes all of the years at once, each in memory of its own.
func Held(years []weather.Year, h *Homestead) []*sim.Input {
	var all []*sim.Input
	for _, y := range years {
		all = append(all, h.Input(y))
	}
	return all
}

// OverCreek is [Over] of the creek alone, with the valve always open: what the
// turbine gives, and nothing of sun and house.
func OverCreek(years []weather.Year, homesteads ...*Homestead) sim.Years {
	return over(years, homesteads, (*Maker).CreekAlone)
}
