package sizing

import (
	"context"
	"slices"

	"sunrill/sim"
)

// Grid is unmet hours over panels and banks: what [Arrays] found.
type Grid struct {
	PanelFactors []float64 // times the present panels
	PanelW       []float64 // the same as rated power
	CapacitiesWh []float64
	UnmetMean    [][]float64 // by panel factor, by capacity
	UnmetP80     [][]float64
}

// Arrays runs every year with the panels' output times each factor, on banks
// of each capacity; panelW is the present panels' rated power.
func Arrays(ctx context.Context, ys sim.Years, bus sim.Bus, panelW float64, factors, capacitiesWh []float64, p sim.Progress) (*Grid, error) {
	g := &Grid{PanelFactors: factors, CapacitiesWh: slices.Clone(capacitiesWh)}
	for _, f := range factors {
		g.PanelW = append(g.PanelW, f*panelW)
	}
	step := p.Steps(len(factors) * ys.N)
	for _, factor := range factors {
		points, err := curve(ctx, ys.With(sim.Variant{Panels: []float64{factor}}), bus, capacitiesWh, step)
		if err != nil {
			return nil, err
		}
		var mean, p80 []float64
		for _, p := range points {
			mean, p80 = append(mean, p.UnmetMean), append(p80, p.UnmetP80)
		}
		g.UnmetMean, g.UnmetP80 = append(g.UnmetMean, mean), append(g.UnmetP80, p80)
	}
	return g, nil
}

// Around returns the panel factors and the capacities that are worth looking
// at for [Arrays] after a study: from no panels to three times the present,
// from no bank to where nothing is gained or four times the present, whichever
// is less.
func Around(r *Result) (factors, capacitiesWh []float64) {
	for f := 0.0; f <= 3; f += 0.125 {
		factors = append(factors, f)
	}
	top := r.NothingGainedWh
	if r.PresentWh > 0 {
		top = min(max(top, 1.5*r.PresentWh), 4*r.PresentWh)
	}
	const steps = 24
	for k := range steps + 1 {
		capacitiesWh = append(capacitiesWh, top*float64(k)/steps)
	}
	return factors, capacitiesWh
}
