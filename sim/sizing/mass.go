package sizing

import "sunrill/sim"

// Losses are the efficiencies of a store: Wh stored per Wh from the bus, and
// Wh at the bus per Wh taken from store, 0 to 1. The zero value is an ideal
// store.
type Losses struct{ Charge, Discharge float64 }

// Drawdown is a stretch in which the mass curve lies below its last peak: the
// bank falls and is not yet full again.
type Drawdown struct {
	Start   int     // first hour
	Hours   int     // until the curve is back at its peak, or to the end of the year
	DepthWh float64 // the greatest fall, at the store
	LeftWh  float64 // not made good by the end of the year
}

// MassCurve reckons how far a store that is never too small falls, and returns
// the greatest fall in Wh: the smallest store that serves every hour of the
// year if it is full at the start. Each hour, the fall is
//
//	D = max(0, D + short/ηout)   if the sources fall short of the demand
//	D = max(0, D − over·ηin)     if they give more
//
// This is Rippl's mass curve, the greatest distance that the sum of inflow
// less draft falls below its earlier peak, taken one step at a time. It calls
// take, unless nil, for each stretch in order. What the inverter cannot carry
// is not counted: no store could serve it. Flexible loads and the generator
// stand still, self-discharge and limits of power are left out. Ref: [Rippl].
func MassCurve(in *sim.Input, l Losses, take func(Drawdown)) (greatestWh float64) {
	out, into := 1.0, 1.0
	if l.Discharge > 0 {
		out = 1 / l.Discharge
	}
	if l.Charge > 0 {
		into = l.Charge
	}
	var now Drawdown
	fallWh := 0.0
	for h, demandW := range in.DemandW {
		net := in.PVW[h] + in.HydroW[h] - demandW
		if in.OverW != nil {
			net += in.OverW[h]
		}
		if net < 0 {
			if fallWh == 0 {
				now = Drawdown{Start: h}
			}
			fallWh -= net * out
			now.DepthWh = max(now.DepthWh, fallWh)
		} else if fallWh > 0 {
			fallWh = max(0, fallWh-net*into)
		} else {
			continue
		}
		now.Hours++
		if fallWh == 0 {
			greatestWh = max(greatestWh, now.DepthWh)
			if take != nil {
				take(now)
			}
		}
	}
	if fallWh > 0 {
		greatestWh = max(greatestWh, now.DepthWh)
		now.LeftWh = fallWh
		if take != nil {
			take(now)
		}
	}
	return greatestWh
}
