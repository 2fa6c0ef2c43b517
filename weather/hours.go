package weather

// SkyHours is a year of hourly sunshine, means over the hour in W/m²: on the
// level (GHI), facing the sun from its disc alone (DNI), and on the level from
// the sky alone (DHI).
type SkyHours struct{ GHI, DNI, DHI []float64 }

// Hours spreads each day's factor over its hours, GHI = factor × clear sky,
// and splits it into beam and diffuse by [Erbs]. There must be a factor for each
// day of the track. dst may be nil; it is reused where it is long enough.
func Hours(dst *SkyHours, tr *Track, factors []float64) *SkyHours {
	if len(factors) != tr.Year.Days {
		panic("weather: factors and track differ in days")
	}
	dst = cleared(dst, tr.Year.Hours())
	for _, h32 := range tr.Daylight {
		h := int(h32)
		ghi := factors[h/24] * tr.ClearWM2[h]
		dhi := ghi * Erbs(ghi/tr.OutsideWM2[h])
		dst.GHI[h], dst.DHI[h] = ghi, dhi
		dst.DNI[h] = (ghi - dhi) / tr.Path.CosZenith[h]
	}
	return dst
}

// Hours is [Hours]; the calibration lies in the factors alone.
func (s *Sky) Hours(dst *SkyHours, tr *Track, factors []float64) *SkyHours {
	return Hours(dst, tr, factors)
}

// DayKWh sums hourly means in W/m² to each day's kWh/m²: its sun hours.
func DayKWh(dst, hourlyWM2 []float64) []float64 {
	dst = sized(dst, len(hourlyWM2)/24)
	for d := range dst {
		sum := 0.0
		for _, w := range hourlyWM2[24*d : 24*d+24] {
			sum += w
		}
		dst[d] = sum / 1000
	}
	return dst
}

// cleared returns dst with n hours of zeros.
func cleared(dst *SkyHours, n int) *SkyHours {
	if dst == nil {
		dst = &SkyHours{}
	}
	dst.GHI, dst.DNI, dst.DHI = sized(dst.GHI, n), sized(dst.DNI, n), sized(dst.DHI, n)
	clear(dst.GHI)
	clear(dst.DNI)
	clear(dst.DHI)
	return dst
}
