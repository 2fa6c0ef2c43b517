package solar

import "math"

const degree = math.Pi / 180

// CosIncidence returns the cosine of the angle between the sun and a plane's
// normal, by the sun's unit vector (east, north, up). Negative: behind it.
func CosIncidence(tiltDeg, azimuthDeg, east, north, up float64) float64 {
	e, n, u := normal(tiltDeg, azimuthDeg)
	return e*east + n*north + u*up
}

// normal returns the unit vector that a plane faces.
func normal(tiltDeg, azimuthDeg float64) (east, north, up float64) {
	sinB, cosB := math.Sincos(tiltDeg * degree)
	sinG, cosG := math.Sincos(azimuthDeg * degree)
	return sinB * sinG, sinB * cosG, cosB
}

// glassLoss is b0 of the incidence law for plain glass. Ref: [Souka].
const glassLoss = 0.05

// IAM returns the fraction of slanting light that the glass lets through, over
// that of light falling straight on it, 0 to 1.
//
//	IAM = 1 − 0.05 (1/cos θ − 1)
//
// The law is meant for angles up to 80°; beyond, it is held at 0 or above.
// Ref: [Souka].
func IAM(cosIncidence float64) float64 {
	if cosIncidence <= glassLoss/(1+glassLoss) {
		return 0
	}
	return 1 - glassLoss*(1/cosIncidence-1)
}

// diffuseIAM returns the mean of [IAM] over the light that a plane gets from a
// uniform sky above its horizon, and from a uniform ground. They are sums over
// a grid of directions.
func diffuseIAM(tiltDeg, azimuthDeg float64, h Horizon) (sky, ground float64) {
	const bearings, heights = 72, 45 // 5° by 2°
	ne, nn, nu := normal(tiltDeg, azimuthDeg)
	var skyGlass, skyBare, groundGlass, groundBare float64
	for i := range bearings {
		bearing := (float64(i) + 0.5) * 360 / bearings
		sinA, cosA := math.Sincos(bearing * degree)
		hill := h.Height(bearing)
		for j := range heights {
			height := (float64(j) + 0.5) * 90 / heights
			sinE, cosE := math.Sincos(height * degree)
			across := cosE * (ne*sinA + nn*cosA)
			if cos := across + nu*sinE; cos > 0 && height > hill {
				skyGlass += cos * cosE * IAM(cos)
				skyBare += cos * cosE
			}
			if cos := across - nu*sinE; cos > 0 {
				groundGlass += cos * cosE * IAM(cos)
				groundBare += cos * cosE
			}
		}
	}
	return ratio(skyGlass, skyBare), ratio(groundGlass, groundBare)
}

func ratio(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}
