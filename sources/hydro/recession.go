package hydro

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// Recession is how a creek falls while it does not rain,
//
//	−dQ/dt = a Q^b
//
// with Q in m³/s and t in days. Ref: [Brutsaert]. The zero value is a creek
// that keeps its flow.
type Recession struct{ A, B float64 }

const (
	minRecessionB = 1   // a single store that empties in proportion
	maxRecessionB = 3   // the early, steep part of the theory in [Brutsaert]
	fallingDays   = 20  // of which a recession can be fitted
	rainlessMM    = 0.1 // a gauge's first drop
	// careful raises the rate to one that 4 days of 5 stay below: 0.84
	// standard deviations of the normal distribution.
	careful = 0.84
)

// FitRecession returns how a creek falls, from its flows and rain, a value a
// day: the line through the logarithms of fall and flow on falling days
// without rain, raised so that four such days of five fall no faster. Days of
// which a value is not known (NaN) are left out. With fewer than twenty
// falling days the creek is taken to keep its flow.
func FitRecession(flowM3S, rainMM []float64) Recession {
	var lnFlow, lnFall []float64
	each(flowM3S, rainMM, func(x, y float64) { lnFlow, lnFall = append(lnFlow, x), append(lnFall, y) })
	n := float64(len(lnFlow))
	if n < fallingDays {
		return Recession{}
	}
	// Sums about the means, and the scatter day by day: of a creek that falls as a
	// law has it, the difference of large sums would be rounding alone.
	mx, my := stat.Mean(lnFlow, nil), stat.Mean(lnFall, nil)
	sxx, sxy := 0.0, 0.0
	for i, x := range lnFlow {
		sxx, sxy = sxx+(x-mx)*(x-mx), sxy+(x-mx)*(lnFall[i]-my)
	}
	b := 1.0
	if sxx > 1e-12*n*mx*mx {
		b = sxy / sxx
	}
	b = min(max(b, minRecessionB), maxRecessionB)
	level, rest := my-b*mx, 0.0
	for i, x := range lnFlow {
		rest += (lnFall[i] - level - b*x) * (lnFall[i] - level - b*x)
	}
	sd := math.Sqrt(rest / n)
	return Recession{A: math.Exp(level + careful*sd), B: b}
}

// each calls f with the logarithms of the mean flow and of the fall, from one
// day to the next, of all falling days without rain.
func each(flowM3S, rainMM []float64, f func(lnFlow, lnFall float64)) {
	for d := 0; d+1 < len(flowM3S); d++ {
		if d < len(rainMM) && rainMM[d] >= rainlessMM || d+1 < len(rainMM) && rainMM[d+1] >= rainlessMM {
			continue
		}
		q, next := flowM3S[d], flowM3S[d+1]
		if fall := q - next; fall > 1e-9*q && next > 0 {
			f(math.Log((q+next)/2), math.Log(fall))
		}
	}
}

// After returns the flow in m³/s that is left of a flow after some days,
//
//	Q(t) = (Q₀^(1−b) + (b−1) a t)^(1/(1−b))    Q₀ e^(−a t) for b = 1
func (r Recession) After(flowM3S, days float64) float64 {
	switch {
	case r.A <= 0 || days <= 0 || !(flowM3S > 0):
		return flowM3S
	case r.B-1 < 1e-6:
		return flowM3S * math.Exp(-r.A*days)
	}
	k := 1 - r.B
	return math.Pow(math.Pow(flowM3S, k)-k*r.A*days, 1/k)
}

// Times returns the recession of the same creek with every flow times a factor
// above 0.
func (r Recession) Times(factor float64) Recession {
	if r.A > 0 {
		r.A *= math.Pow(factor, 1-r.B)
	}
	return r
}
