package stream

import "math"

// Catchment holds the parameters of GR4J and the catchment's area. The
// published 80 % ranges over many catchments are 100–1200 mm for X1, −5 to 3
// mm a day for X2, 20–300 mm for X3 and 1.1–2.9 days for X4; X4 shrinks with
// the area and is near its least value, half a day, for a small creek.
type Catchment struct {
	AreaM2 float64
	X1MM   float64 // production store
	X2MMD  float64 // exchange, mm a day; positive into the creek
	X3MM   float64 // routing store
	X4D    float64 // time base of the unit hydrograph, 0.5 to 20 days
}

// maxX4 is the longest time base, in days, that a State has room for.
const maxX4 = 20

// CatchmentDay tells what one day did, in mm over the catchment, by the
// paper's names.
type CatchmentDay struct {
	Pn, Ps, Es float64 // rain left after evaporation, its part into the store, evaporation out of the store
	AE         float64 // all that evaporated
	Perc, Pr   float64 // percolation, and what reaches the unit hydrographs
	Q9, Q1     float64 // out of them
	F          float64 // exchange, once for each of the two paths
	Qr, Qd, Q  float64 // flow of the routing store, direct flow, and their sum
	FlowM3S    float64
}

// Step moves one day forward by the equations of [GR4J]:
//
//	rain ≥ pet: Pn = P − E, Ps = X1(1 − (S/X1)²)·tanh(Pn/X1) / (1 + S/X1·tanh(Pn/X1))
//	else:       En = E − P, Es = S(2 − S/X1)·tanh(En/X1) / (1 + (1 − S/X1)·tanh(En/X1))
//	Perc = S·(1 − (1 + (4/9·S/X1)⁴)^(−1/4))       Pr = Perc + Pn − Ps
//	F    = X2·(R/X3)^3.5, with R before the day's water is added
//	R    = max(0, R + Q9 + F)                     Qr = R·(1 − (1 + (R/X3)⁴)^(−1/4))
//	Qd   = max(0, Q1 + F)                         Q = Qr + Qd
//
// where nine tenths of Pr pass the first unit hydrograph (Q9) and one tenth
// the second (Q1).
func (c Catchment) Step(s State, rainMM, petMM float64) (State, CatchmentDay) {
	r := c.routes()
	var day CatchmentDay
	r.step(&s, &day, rainMM, petMM)
	return s, day
}

// StoredMM returns the water in the stores and under way in s.
func (c Catchment) StoredMM(s State) float64 {
	sum := s.ProductionMM + s.RoutingMM
	for _, v := range s.UH1MM[1:] {
		sum += v
	}
	for _, v := range s.UH2MM[1:] {
		sum += v
	}
	return sum
}

// Empty returns the usual start of the authors' own runs: stores at 60 % and
// 70 %, nothing under way.
func (c Catchment) Empty() State {
	return State{ProductionMM: 0.6 * c.X1MM, RoutingMM: 0.7 * c.X3MM}
}

// Run implements [Model].
func (c Catchment) Run(dst []float64, s State, rainMM, petMM []float64) State {
	checkLengths(dst, rainMM, petMM)
	r := c.routes()
	var day CatchmentDay
	for i, rain := range rainMM {
		r.step(&s, &day, rain, petMM[i])
		if dst != nil {
			dst[i] = day.FlowM3S
		}
	}
	return s
}

// Flow implements [Model].
func (c Catchment) Flow(dst, rainMM, petMM []float64) []float64 { return flow(c, dst, rainMM, petMM) }

// catchmentRoutes is a Catchment with its unit hydrographs worked out.
type catchmentRoutes struct {
	Catchment
	n1, n2    int
	uh1       [maxX4]float64
	uh2       [2 * maxX4]float64
	m3sPerMMD float64
}

func (c Catchment) routes() catchmentRoutes {
	r := catchmentRoutes{Catchment: c, m3sPerMMD: m3sPerMMD(c.AreaM2)}
	r.n1 = max(1, min(maxX4, int(math.Ceil(c.X4D))))
	r.n2 = max(1, min(2*maxX4, int(math.Ceil(2*c.X4D))))
	for j := range r.n1 {
		r.uh1[j] = sh1(float64(j+1)/c.X4D) - sh1(float64(j)/c.X4D)
	}
	for j := range r.n2 {
		r.uh2[j] = sh2(float64(j+1)/c.X4D) - sh2(float64(j)/c.X4D)
	}
	return r
}

// sh1 and sh2 are the S-curves of the unit hydrographs; t is in time bases.
func sh1(t float64) float64 {
	if t >= 1 {
		return 1
	}
	return math.Pow(t, 2.5)
}

func sh2(t float64) float64 {
	switch {
	case t <= 1:
		return 0.5 * math.Pow(t, 2.5)
	case t < 2:
		return 1 - 0.5*math.Pow(2-t, 2.5)
	}
	return 1
}

// step does one day in place. Powers are written as roots and products, which
// are several times faster than math.Pow.
func (r *catchmentRoutes) step(s *State, day *CatchmentDay, rainMM, petMM float64) {
	x1 := r.X1MM
	fill := s.ProductionMM / x1
	day.Ps, day.Es, day.Pn = 0, 0, 0
	if rainMM >= petMM {
		day.Pn = rainMM - petMM
		th := tanh(day.Pn / x1)
		day.Ps = x1 * (1 - fill*fill) * th / (1 + fill*th)
		day.AE = petMM
	} else {
		th := tanh((petMM - rainMM) / x1)
		day.Es = s.ProductionMM * (2 - fill) * th / (1 + (1-fill)*th)
		day.AE = rainMM + day.Es
	}
	s.ProductionMM += day.Ps - day.Es
	day.Perc = drained(s.ProductionMM, 4*s.ProductionMM/(9*x1))
	s.ProductionMM -= day.Perc
	day.Pr = day.Perc + day.Pn - day.Ps

	day.Q9 = convolve(s.UH1MM[:r.n1], r.uh1[:r.n1], 0.9*day.Pr)
	day.Q1 = convolve(s.UH2MM[:r.n2], r.uh2[:r.n2], 0.1*day.Pr)

	rel := s.RoutingMM / r.X3MM
	day.F = r.X2MMD * rel * rel * rel * math.Sqrt(rel)
	s.RoutingMM += day.Q9 + day.F
	if s.RoutingMM < 0 {
		s.RoutingMM = 0
	}
	day.Qr = drained(s.RoutingMM, s.RoutingMM/r.X3MM)
	s.RoutingMM -= day.Qr
	day.Qd = day.Q1 + day.F
	if day.Qd < 0 {
		day.Qd = 0
	}
	day.Q = day.Qr + day.Qd
	day.FlowM3S = day.Q * r.m3sPerMMD
}

// tanh is capped where it has long been 1.
func tanh(x float64) float64 {
	if x > 13 {
		x = 13
	}
	return math.Tanh(x)
}

// drained returns what leaves a store of storeMM: store·(1 − (1 + u⁴)^(−1/4)).
func drained(storeMM, u float64) float64 {
	u *= u
	return storeMM * (1 - 1/math.Sqrt(math.Sqrt(1+u*u)))
}

// convolve moves the water under way one day on, adds the day's input by the
// ordinates and returns what arrives today, which stays at index 0.
func convolve(underWay, ordinates []float64, input float64) float64 {
	last := len(underWay) - 1
	for j := range last {
		underWay[j] = underWay[j+1] + ordinates[j]*input
	}
	underWay[last] = ordinates[last] * input
	return underWay[0]
}
