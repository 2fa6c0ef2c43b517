package series

import (
	"sunrill/sim"
	"sunrill/sources/hydro"
	"sunrill/weather"
)

// WithPlant returns the same homestead with another plant at the same creek.
func (h *Homestead) WithPlant(p hydro.Plant) *Homestead {
	o := h.changed()
	o.Machine = p.Prepare()
	return o
}

// WithHead returns the same homestead with its gross head times a factor above
// 0; without hydro, itself.
func (h *Homestead) WithHead(times float64) *Homestead {
	if h.Machine == nil || times == 1 {
		return h
	}
	return h.WithPlant(machine(h.Machine.Plant, times, 1))
}

// Watered returns years that [Held] made of a homestead as it would make them of
// h, which differs from that one in its creek, its plant and its valve alone:
// everything else is shared.
func Watered(held []*sim.Input, years []weather.Year, h *Homestead) []*sim.Input {
	all := make([]*sim.Input, len(held))
	for i, y := range years {
		in := *held[i]
		all[i] = &in
		if h.Machine == nil || h.flowM3S == nil {
			continue
		}
		season := hydro.AllYear
		in.OpenHour, in.CloseHour = 0, y.Hours()
		if h.Valve != (Valve{}) {
			season.Open, season.Close = h.Valve.days(y)
			in.OpenHour, in.CloseHour = 24*season.Open, 24*season.Close
		}
		creek := h.creek(y)
		in.FlowM3S = creek.FlowM3S
		flow := h.Machine.Series(nil, creek, season)
		in.Set(sim.Creek, flow.PowerW)
		beside(&in, h, flow)
		if h.Valve.Shut {
			all[i] = sim.Variant{Hydro: sim.HydroOff}.Of(&in)
		}
	}
	return all
}
