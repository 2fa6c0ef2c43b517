package storage

import "math"

// Kinetic is the two-well model of [MM] made ready for steps of one hour. Of
// the charge q in the bank, q1 stands in the available well, of width c, and
// q2 in the bound well, of width 1-c; k is the rate in 1/h at which the two
// even out. With a constant draw I (Wh in the hour, negative when charging)
// and r = exp(-k) the available well moves in one hour to
//
//	q1' = q1 r + (q k c - I)(1-r)/k - I c (k-1+r)/k
//
// and the whole to q' = q - I: an exact solution, not a step of an integrator.
// It is linear, q1' = r q1 + a q - b I, and those are the numbers kept here.
type Kinetic struct {
	Stay     float64 // r, the fraction of q1 that stays
	Fraction float64 // a = c(1-r), the fraction of q that comes
	Pull     float64 // b, what a draw of 1 Wh takes from q1
	PerPull  float64 // 1/b
	Width    float64 // c
}

// NewKinetic returns the model for a well of width c, 0 < c <= 1, and a rate
// of ratePerH > 0. With c = 1 all charge is available and the model is a
// bucket.
func NewKinetic(c, ratePerH float64) Kinetic {
	r := math.Exp(-ratePerH)
	part := -math.Expm1(-ratePerH) // 1-r
	pull := (part + c*(ratePerH-part)) / ratePerH
	return Kinetic{Stay: r, Fraction: c * part, Pull: pull, PerPull: 1 / pull, Width: c}
}

// Idle returns the available charge in Wh at the end of an hour that begins
// with availableWh of storedWh and draws nothing. The other three follow from
// it.
func (k *Kinetic) Idle(availableWh, storedWh float64) float64 {
	return k.Stay*availableWh + k.Fraction*storedWh
}

// Next returns the available charge in Wh at the end of an hour that draws
// drawWh and would otherwise end with idleWh.
func (k *Kinetic) Next(idleWh, drawWh float64) float64 {
	return idleWh - k.Pull*drawWh
}

// MaxDraw returns the greatest constant draw in Wh that an hour allows: the
// available well is empty at its end. [MM] eq. for Idmax.
func (k *Kinetic) MaxDraw(idleWh float64) float64 {
	return idleWh * k.PerPull
}

// MaxFill returns the greatest constant charge in Wh that an hour allows: the
// available well, which holds wellWh = c times the capacity, is full at its
// end. [MM] eq. for Icmax, with the sign turned.
func (k *Kinetic) MaxFill(idleWh, wellWh float64) float64 {
	return (wellWh - idleWh) * k.PerPull
}

// CapacityAt returns the charge, as a fraction of the greatest, that a full bank
// gives when it is drawn at a constant current so that it is empty after
// hours h:
//
//	k c T / (1 - exp(-kT) + c (kT - 1 + exp(-kT)))
//
// Ref: [MM].
func CapacityAt(h, c, ratePerH float64) float64 {
	kt := ratePerH * h
	part := -math.Expm1(-kt)
	return kt * c / (part + c*(kt-part))
}
