package weather

import (
	"math"
	"time"
)

// Sun is where the centre of the sun's disc stands, seen from the ground and
// without refraction.
type Sun struct {
	ZenithDeg      float64 // from straight up; above 90 below the level horizon
	AzimuthDeg     float64 // compass bearing: 0 north, 90 east
	DeclinationDeg float64 // geocentric
	DistanceAU     float64
}

// ElevationDeg is the sun's height above the level horizon, without refraction.
func (s Sun) ElevationDeg() float64 { return 90 - s.ZenithDeg }

const (
	degree = math.Pi / 180

	// j2000Unix is 2000-01-01 12:00 UTC, the epoch that centuries are counted from.
	j2000Unix = 946728000

	// solarParallaxDeg is the sun's equatorial horizontal parallax at 1 au, 8.794″.
	solarParallaxDeg = 8.794 / 3600

	// aberrationDeg is by how much the sun's light lags behind it, 20.5″.
	aberrationDeg = 0.00569
)

// Position returns where the sun stands at time t, within 0.01° of the
// astronomical almanac between 1990 and 2050. UTC is taken for UT1 (they
// differ by less than 0.9 s, 0.004° of turning).
// Ref: [Meeus] ch. 12 (sidereal time), 13 (coordinates), 25 (low accuracy),
// 40 (parallax).
func Position(t time.Time, p Place) Sun {
	d := float64(t.Unix()-j2000Unix)/86400 + float64(t.Nanosecond())/86400e9
	q := equator(d)
	z, az := horizontal(p.LatDeg, q.declinationDeg, siderealDeg(d)+p.LonDeg-q.rightAscensionDeg)
	z += solarParallaxDeg / q.distanceAU * math.Sin(z*degree)
	return Sun{ZenithDeg: z, AzimuthDeg: az, DeclinationDeg: q.declinationDeg, DistanceAU: q.distanceAU}
}

// equatorial is the sun's apparent place among the stars; the right ascension
// counts from the mean equinox. equationDeg is the equation of time, apparent
// less mean time as an angle.
type equatorial struct {
	rightAscensionDeg, declinationDeg, distanceAU, equationDeg float64
}

// equator returns the sun's apparent place d days (UTC) after the epoch
// J2000. Ref: [Meeus] ch. 25, low accuracy; eq. 28.1 for the equation of time.
func equator(d float64) equatorial {
	const deltaTDays = 69.0 / 86400 // terrestrial time less UTC, s: 57 in 1990, 69 in 2021
	t := (d + deltaTDays) / 36525
	l0 := 280.46646 + t*(36000.76983+t*0.0003032)
	m := math.Mod(357.52911+t*(35999.05029-t*0.0001537), 360) * degree
	e := 0.016708634 - t*0.000042037
	sin1, cos1 := math.Sincos(m)
	sin2 := 2 * sin1 * cos1
	sin3 := sin1 * (3 - 4*sin1*sin1)
	c := (1.914602-0.004817*t)*sin1 + (0.019993-0.000101*t)*sin2 + 0.000289*sin3
	r := 1.000001018 * (1 - e*e) / (1 + e*math.Cos(m+c*degree))
	sinNode, cosNode := math.Sincos((125.04 - 1934.136*t) * degree)
	sinL, cosL := math.Sincos(math.Mod(l0+c-aberrationDeg-0.00478*sinNode, 360) * degree)
	sinE, cosE := math.Sincos((23.439291 - 0.0130042*t + 0.00256*cosNode) * degree)
	// The longitude holds the nutation, −0.00478° sin Ω; sidereal time here is
	// the mean one, so the nutation is taken out of the right ascension again.
	ra := math.Atan2(cosE*sinL, cosL)/degree + 0.00478*sinNode*cosE
	return equatorial{
		rightAscensionDeg: ra,
		equationDeg:       math.Remainder(l0-aberrationDeg-ra, 360),
		declinationDeg:    math.Asin(sinE*sinL) / degree,
		distanceAU:        r,
	}
}

// siderealDeg returns the mean sidereal time at Greenwich, in degrees, d days
// (UT) after J2000. Ref: [Meeus] eq. 12.4 without its terms in T².
func siderealDeg(d float64) float64 {
	return math.Mod(280.46061837+360.98564736629*d, 360)
}

// horizontal returns zenith angle and compass bearing, in degrees, of a body
// with the given declination and hour angle (positive after noon).
func horizontal(latDeg, declinationDeg, hourAngleDeg float64) (zenithDeg, azimuthDeg float64) {
	east, north, up := direction(latDeg, declinationDeg, hourAngleDeg)
	return math.Atan2(math.Hypot(east, north), up) / degree, bearingDeg(east, north)
}

// direction returns the unit vector towards a body, in the frame east, north, up.
func direction(latDeg, declinationDeg, hourAngleDeg float64) (east, north, up float64) {
	sinF, cosF := math.Sincos(latDeg * degree)
	sinD, cosD := math.Sincos(declinationDeg * degree)
	sinH, cosH := math.Sincos(hourAngleDeg * degree)
	return -cosD * sinH, cosF*sinD - sinF*cosD*cosH, sinF*sinD + cosF*cosD*cosH
}

// bearingDeg returns the compass bearing, 0 to 360, of a direction.
func bearingDeg(east, north float64) float64 {
	b := math.Atan2(east, north) / degree
	if b < 0 {
		b += 360
	}
	return b
}

// Refraction returns by how many degrees the air lifts a body whose true
// height above the level horizon is given. Below -1° the formula ends and the
// lift is held at its value there.
//
//	R = 1.02′ / tan(h + 10.3/(h + 5.11)) · p/1010 · 283/(273 + T)
//
// pressureHPa is the air's pressure at the place and airC its temperature.
// Ref: [Meeus] eq. 16.4 (after Sæmundsson).
func Refraction(trueElevationDeg, pressureHPa, airC float64) float64 {
	h := math.Max(trueElevationDeg, -1)
	r := 1.02 / 60 / math.Tan((h+10.3/(h+5.11))*degree)
	return math.Max(r, 0) * pressureHPa / 1010 * 283 / (273 + airC)
}
