package solar

import "sunrill/weather"

// BestTilt returns the fixed tilt in whole degrees, 0 to 90, at which panels
// with a's azimuth and horizon gather most over the hours for which wanted is
// true (nil: all), and what they gather there behind the glass, in kWh/m². The
// sky (W/m²) is that of a typical year on the path p.
func BestTilt(a Array, p weather.Path, ghi, dni, dhi []float64, wanted []bool) (tiltDeg, kWhM2 float64) {
	kWhM2 = -1
	try := func(tilt float64) {
		if tilt < 0 || tilt > 90 {
			return
		}
		a.TiltDeg = tilt
		if kWh := NewView(a, p).gathered(ghi, dni, dhi, wanted); kWh > kWhM2 {
			tiltDeg, kWhM2 = tilt, kWh
		}
	}
	for tilt := 0.0; tilt <= 90; tilt += 15 {
		try(tilt)
	}
	for _, step := range []float64{5, 1} {
		for from, k := tiltDeg, -2.0; k <= 2; k++ {
			if k != 0 {
				try(from + k*step)
			}
		}
	}
	return tiltDeg, kWhM2
}

// gathered sums the light behind the glass over the wanted hours in kWh/m².
func (v *View) gathered(ghi, dni, dhi []float64, wanted []bool) float64 {
	sum := 0.0
	for i := range v.hours {
		q := &v.hours[i]
		if h := q.hour; wanted == nil || wanted[h] {
			sum += v.light(q, ghi[h], dni[h], dhi[h])
		}
	}
	return sum / 1000
}
