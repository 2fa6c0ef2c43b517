package hydro

import "math"

// Copper's resistance: the International Annealed Copper Standard at 20 °C, and
// its rise with temperature (from memory, both standard; the resistances of
// [NEC] ch. 9 table 8 come out of them).
const (
	copperOhmM20C = 1.7241e-8
	copperPerK    = 0.00393
	cableC        = 20.0 // a cable in or on cool ground, lightly loaded
	dropBranch    = 0.03 // [NEC] guidance for one circuit
	dropWhole     = 0.05 // and for the whole way
	awgZeroMM     = 0.127
	awgRatio      = 92
	awgSteps      = 39
	awgThinnest   = 36
)

// AWGSection returns the copper section in m² of a solid conductor of the
// American wire gauge: d = 0.127 mm · 92^((36−n)/39). Gauge 1/0 is 0, 2/0 is
// −1, 4/0 is −3. (ASTM B258, from memory.)
func AWGSection(gauge int) float64 {
	return circle(awgZeroMM * 1e-3 * math.Pow(awgRatio, float64(awgThinnest-gauge)/awgSteps))
}

// CopperResistance returns the resistance in Ω/m of one copper conductor at the
// given conductor temperature, R' = ρ20 (1 + α (t − 20))/A. A stranded
// conductor of the same gauge has 2 to 3 % more.
func CopperResistance(sectionM2, conductorC float64) float64 {
	return copperOhmM20C * (1 + copperPerK*(conductorC-20)) / sectionM2
}

// Resistance returns the resistance in Ω of the cable out and back, at 20 °C.
// It is 0 for a cable without length.
func (c Cable) Resistance() float64 {
	if c.LengthM <= 0 {
		return 0
	}
	return 2 * c.LengthM * CopperResistance(c.SectionM2, cableC)
}

// Deliver returns the power in W that reaches the bus of what is fed into the
// cable, and the voltage lost on the way as a fraction of the bus voltage. The bus
// holds its voltage V, so that the current I follows from
//
//	P = V I + R I²
func (c Cable) Deliver(sentW float64) (busW, dropFraction float64) {
	r := c.Resistance()
	if sentW <= 0 || r == 0 {
		return sentW, 0
	}
	v := c.VoltageV
	// The root in the form that does not cancel for a small resistance.
	amps := 2 * sentW / (v + math.Sqrt(v*v+4*r*sentW))
	return min(v*amps, sentW), amps * r / v
}
