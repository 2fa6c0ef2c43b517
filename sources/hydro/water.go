package hydro

import "math"

// gravityMS2 is standard gravity, exact by definition (CGPM 1901).
const gravityMS2 = 9.80665

// Water is what the pipe's hydraulics need to know of the water.
type Water struct {
	DensityKgM3  float64
	ViscosityM2S float64 // kinematic
}

// WaterAt returns fresh water at the given temperature, 0 to 40 °C.
func WaterAt(waterC float64) Water {
	rho := Density(waterC)
	return Water{DensityKgM3: rho, ViscosityM2S: Viscosity(waterC) / rho}
}

// Density returns the density in kg/m³ of air-free fresh water at atmospheric
// pressure, by the rational polynomial of [Kell], good to 0.01 kg/m³ between 0
// and 100 °C. (Coefficients from memory, held to a published table in tests.)
func Density(waterC float64) float64 {
	t := waterC
	num := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-280.54253e-12*t))))
	return num / (1 + 16.879850e-3*t)
}

// Viscosity returns the dynamic viscosity in Pa·s of fresh water at
// atmospheric pressure,
//
//	log10(µ/µ20) = (20−t)/(t+96) · (1.2364 − 1.37e-3 (20−t) + 5.7e-6 (20−t)²)
//
// with µ20 = 1.002 mPa·s and t in °C, between −8 and 150 °C. Ref: [KSW], its
// coefficients from memory, held to a published table in tests.
func Viscosity(waterC float64) float64 {
	d := 20 - waterC
	return 1.002e-3 * math.Pow(10, d/(waterC+96)*(1.2364+d*(-1.37e-3+d*5.7e-6)))
}

// WaterPower returns the power in W of water that falls through a net head,
//
//	P = ρ g Q H
func (w Water) WaterPower(flowM3S, netHeadM float64) float64 {
	return w.DensityKgM3 * gravityMS2 * flowM3S * netHeadM
}

// Pressure returns the pressure in Pa of a column of water.
func (w Water) Pressure(headM float64) float64 {
	return w.DensityKgM3 * gravityMS2 * headM
}
