package hydro

import "math"

// Reynolds numbers between which pipe flow is neither surely laminar nor surely
// turbulent ([White] sec. 6.1).
const (
	laminarRe   = 2300
	turbulentRe = 4000
)

// MaxRoughness is the greatest roughness over bore that Colebrook's equation
// was made for.
const MaxRoughness = 0.05

// Reynolds returns the Reynolds number of the flow in a full round pipe,
// Re = v D / ν.
func Reynolds(velocityMS, boreM, viscosityM2S float64) float64 {
	return velocityMS * boreM / viscosityM2S
}

// Colebrook returns the Darcy friction factor of turbulent flow in a pipe of
// commercial roughness, solved from
//
//	1/√f = −2 log10( ε/(3.7 D) + 2.51/(Re √f) )
//
// to better than 1e-10 of its value. relRoughness is ε/D, 0 for a smooth pipe,
// at most [MaxRoughness]; Re at least 4000. Ref: [Colebrook], [White] eq. 6.48.
func Colebrook(reynolds, relRoughness float64) float64 {
	// Newton's method for x = 1/√f, which is nearly a straight line, from
	// Haaland's explicit approximation [Haaland].
	a, b := relRoughness/3.7, 2.51/reynolds
	x := -1.8 * math.Log10(math.Pow(a, 1.11)+6.9/reynolds)
	for range 20 {
		s := a + b*x
		dx := (x + 2/math.Ln10*math.Log(s)) / (1 + 2/math.Ln10*b/s)
		x -= dx
		if math.Abs(dx) < 1e-12*x {
			break
		}
	}
	return 1 / (x * x)
}

// FrictionFactor returns the Darcy friction factor of a full round pipe:
// 64/Re in laminar flow, [Colebrook] in turbulent flow, and between Reynolds
// 2300 and 4000, where nature does not decide, a smooth passage from one to the
// other, along which more flow always means more loss. It is +Inf without flow.
func FrictionFactor(reynolds, relRoughness float64) float64 {
	switch {
	case reynolds <= laminarRe:
		return 64 / reynolds
	case reynolds >= turbulentRe:
		return Colebrook(reynolds, relRoughness)
	}
	s := (reynolds - laminarRe) / (turbulentRe - laminarRe)
	w := s * s * (3 - 2*s)
	return (1-w)*64/reynolds + w*Colebrook(reynolds, relRoughness)
}

// HeadLoss returns the head in m that friction takes in a full round pipe, by
// the Darcy–Weisbach equation,
//
//	h = f (L/D) v²/2g
//
// where v is the mean velocity. Ref: [White] eq. 6.10.
func HeadLoss(flowM3S, lengthM, boreM, frictionFactor float64) float64 {
	v := flowM3S / circle(boreM)
	return frictionFactor * lengthM / boreM * v * v / (2 * gravityMS2)
}

// MinorHeadLoss returns the head in m that entrance, bends and valves take,
// h = ΣK v²/2g. Ref: [White] eq. 6.78.
func MinorHeadLoss(velocityMS, sumK float64) float64 {
	return sumK * velocityMS * velocityMS / (2 * gravityMS2)
}

// circle returns the area in m² of a circle.
func circle(diameterM float64) float64 { return math.Pi / 4 * diameterM * diameterM }

// Loss is what a flow meets in the penstock.
type Loss struct {
	VelocityMS     float64
	Reynolds       float64
	FrictionFactor float64 // 0 without flow
	FrictionM      float64
	MinorM         float64
}

// TotalM returns the head lost.
func (l Loss) TotalM() float64 { return l.FrictionM + l.MinorM }

// Loss returns the head that the pipe takes from a flow.
func (p Penstock) Loss(flowM3S float64, w Water) Loss {
	if flowM3S <= 0 {
		return Loss{}
	}
	if p.Reaches != nil {
		return p.reachLoss(flowM3S, w)
	}
	v := flowM3S / circle(p.BoreM)
	re := Reynolds(v, p.BoreM, w.ViscosityM2S)
	f := FrictionFactor(re, p.RoughnessM/p.BoreM)
	return Loss{
		VelocityMS:     v,
		Reynolds:       re,
		FrictionFactor: f,
		FrictionM:      HeadLoss(flowM3S, p.LengthM, p.BoreM, f),
		MinorM:         MinorHeadLoss(v, p.MinorLoss),
	}
}

// NetHead returns the head in m that is left at the nozzle. It is negative for
// a flow that the pipe cannot carry.
func (p Penstock) NetHead(flowM3S float64, w Water) float64 {
	return p.GrossHeadM - p.Loss(flowM3S, w).TotalM()
}

// JetFlow returns the flow in m³/s through open nozzles of the given area in
// all, solved together with the pipe from
//
//	Q = C A √(2 g H(Q))
//
// where H(Q) is the net head. coefficient is C on the area of the orifice,
// 0.94 to 0.97 for a round converging nozzle.
func (p Penstock) JetFlow(areaM2, coefficient float64, w Water) float64 {
	free := coefficient * areaM2 * math.Sqrt(2*gravityMS2*p.GrossHeadM)
	if !(free > 0) {
		return 0
	}
	// The head left over once pipe and jet have theirs falls with Q: one root.
	return fallingRoot(func(q float64) float64 {
		jet := q / (coefficient * areaM2)
		return p.NetHead(q, w) - jet*jet/(2*gravityMS2)
	}, 0, free)
}

// FullFlow returns the flow in m³/s of the open pipe, all head lost in it:
// more than that it cannot carry. It is +Inf for a pipe without losses.
func (p Penstock) FullFlow(w Water) float64 {
	if p.GrossHeadM <= 0 {
		return 0
	}
	high := circle(p.BoreM) * math.Sqrt(2*gravityMS2*p.GrossHeadM)
	for p.NetHead(high, w) > 0 {
		if high *= 2; high > 1e6*circle(p.BoreM) {
			return math.Inf(1)
		}
	}
	return fallingRoot(func(q float64) float64 { return p.NetHead(q, w) }, 0, high)
}

// BestFlow returns the flow in m³/s at which the water's power behind the pipe,
// ρ g Q H(Q), is greatest; more flow gives less. With a constant friction
// factor a third of the gross head is lost there. It is +Inf for a pipe
// without losses.
func (p Penstock) BestFlow(w Water) float64 {
	full := p.FullFlow(w)
	if full == 0 || math.IsInf(full, 1) {
		return full
	}
	// Golden-section search; Q·H(Q) has one peak.
	const g = 0.6180339887498949
	lo, hi := 0.0, full
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	pa, pb := a*p.NetHead(a, w), b*p.NetHead(b, w)
	for hi-lo > 1e-7*full {
		if pa < pb {
			lo, a, pa = a, b, pb
			b = lo + g*(hi-lo)
			pb = b * p.NetHead(b, w)
		} else {
			hi, b, pb = b, a, pa
			a = hi - g*(hi-lo)
			pa = a * p.NetHead(a, w)
		}
	}
	return (lo + hi) / 2
}

// fallingRoot returns where f, falling from positive at lo to negative or zero
// at hi, crosses zero: regula falsi with the Anderson–Björck weight, halving
// where that is slow.
func fallingRoot(f func(float64) float64, lo, hi float64) float64 {
	flo, fhi := f(lo), f(hi)
	if flo <= 0 {
		return lo
	}
	if fhi >= 0 {
		return hi
	}
	side := 0
	for i := range 200 {
		x := (lo*fhi - hi*flo) / (fhi - flo)
		if i%8 == 7 {
			x = (lo + hi) / 2
		}
		fx := f(x)
		switch {
		case fx == 0:
			return x
		case fx > 0:
			if side == 1 {
				fhi *= weight(fx, flo)
			}
			side, lo, flo = 1, x, fx
		default:
			if side == -1 {
				flo *= weight(fx, fhi)
			}
			side, hi, fhi = -1, x, fx
		}
		if hi-lo <= 1e-14*hi {
			break
		}
	}
	if math.Abs(flo) < math.Abs(fhi) {
		return lo
	}
	return hi
}

// weight is the factor of Anderson and Björck (BIT 13 (1973), 253–264) for the
// end that stayed, from the new and the old value at the end that moved.
func weight(now, before float64) float64 {
	if m := 1 - now/before; m > 0 {
		return m
	}
	return 0.5
}
