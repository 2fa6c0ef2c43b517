package weather

import "math"

// SolarConstantWM2 is the sun's extraterrestrial radiation at the mean
// distance, as satellites measure it today; older books print 1367.
const SolarConstantWM2 = 1361

// The functions of day number follow [FAO56] chapter 3 to its own digits. They
// serve as second opinion and for daily formulas; the hourly year uses
// [Position], which is a hundred times more exact.

// faoSolarConstant is FAO-56's solar constant in MJ/m² a minute (1366.7 W/m²).
const faoSolarConstant = 0.0820

// InverseDistance returns dr, the square of the mean distance of the sun over
// its distance on the given day of the year. Ref: [FAO56] eq. 23.
func InverseDistance(dayOfYear int) float64 {
	return 1 + 0.033*math.Cos(2*math.Pi*float64(dayOfYear)/365)
}

// FAODeclination returns the declination in radians, good to 1°. Ref: [FAO56] eq. 24.
func FAODeclination(dayOfYear int) float64 {
	return 0.409 * math.Sin(2*math.Pi*float64(dayOfYear)/365-1.39)
}

// SunsetHourAngle returns the hour angle of the setting sun's centre in
// radians: 0 in the polar night, π under the midnight sun. Ref: [FAO56] eq. 25.
func SunsetHourAngle(latRad, declinationRad float64) float64 {
	c := -math.Tan(latRad) * math.Tan(declinationRad)
	return math.Acos(math.Max(-1, math.Min(1, c)))
}

// ExtraterrestrialDay returns Ra, the extraterrestrial radiation on a level
// square metre in a day, in MJ/m². Ref: [FAO56] eq. 21.
func ExtraterrestrialDay(latDeg float64, dayOfYear int) float64 {
	f, d := latDeg*degree, FAODeclination(dayOfYear)
	ws := SunsetHourAngle(f, d)
	return 24 * 60 / math.Pi * faoSolarConstant * InverseDistance(dayOfYear) *
		(ws*math.Sin(f)*math.Sin(d) + math.Cos(f)*math.Cos(d)*math.Sin(ws))
}

// ClearSky returns the radiation of a clear sky on the level in W/m².
//
//	G = 1098 cos z exp(−0.057/cos z)
//
// cosZenith is that of the sun's true zenith angle; 0 and below give 0.
// Measured near the sea's level. Ref: [Haurwitz].
func ClearSky(cosZenith float64) float64 {
	if cosZenith <= 0 {
		return 0
	}
	return 1098 * cosZenith * math.Exp(-0.057/cosZenith)
}

// thinAir returns by how much a clear sky at a height above the sea outshines
// one at its level: the ratio of [FAO56] eq. 37 at the two heights.
func thinAir(elevationM float64) float64 {
	return 1 + 2e-5/0.75*math.Max(0, elevationM)
}

// Erbs returns the fraction of an hour's radiation on the level that comes from
// the sky and not from the sun's disc, 0.165 to 1. clearness is kT, the hour's
// radiation over that outside the air. Ref: [Erbs].
func Erbs(clearness float64) float64 {
	switch k := clearness; {
	case k <= 0:
		return 1
	case k <= 0.22:
		return 1 - 0.09*k
	case k <= 0.80:
		return 0.9511 + k*(-0.1604+k*(4.388+k*(-16.638+k*12.336)))
	default:
		return 0.165
	}
}

// ErbsDay returns the same share for a whole day, 0.143 to 1. clearness is the
// day's radiation over that outside the air; sunsetDeg is the setting sun's hour
// angle, half the day's length at 15° an hour: up to 81.4° it is winter. The
// published summer curve passes 1 below a clearness of 0.11 and is held there.
// Ref: [Erbs].
func ErbsDay(clearness, sunsetDeg float64) float64 {
	k := math.Max(0, clearness)
	if sunsetDeg <= 81.4 {
		if k >= 0.715 {
			return 0.143
		}
		return 1 + k*(-0.2727+k*(2.4495+k*(-11.9514+k*9.3879)))
	}
	if k >= 0.722 {
		return 0.175
	}
	return math.Min(1, 1+k*(0.2832+k*(-2.5557+k*0.8448)))
}
