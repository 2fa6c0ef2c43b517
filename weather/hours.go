package weather

// SkyHours is a year of hourly sunshine, means over the hour in W/m²: on the
// level (GHI), facing the sun from its disc alone (DNI), and on the level from
// the sky alone (DHI).
type SkyHours struct{ GHI, DNI, DHI []float64 }

// Hours spreads each day's factor over its hours, GHI = factor × clear sky,
// and splits it into beam and diffuse by the laws of [Erbs]: a day's diffuse
// share is the daily law's, which knows that clouds come and go within a day;
// the hours share the day's beam by the hourly law. There must be a factor, 0 to
// 1, for each day of the track. dst may be nil; it is reused where it is long
// enough. It does not depend on s.
//
// At seven station years of the wet north-west of America, given the months' sun
// hours alone, panels tilted as the latitude get each month's sun within 4 % by
// it; against a satellite table at 42° N within 6 %. See the tests of package
// solar.
func (s *Sky) Hours(dst *SkyHours, tr *Track, factors []float64) *SkyHours {
	if len(factors) != tr.Year.Days {
		panic("weather: factors and track differ in days")
	}
	dst = cleared(dst, tr.Year.Hours())
	left := tr.Daylight
	for d, f := range factors {
		n := 0
		for n < len(left) && int(left[n]) < 24*(d+1) {
			n++
		}
		if f > 0 {
			tr.spread(dst, d, f, left[:n])
		}
		left = left[n:]
	}
	return dst
}

// spread fills in the daylight hours of day d.
func (tr *Track) spread(dst *SkyHours, d int, factor float64, hours []int32) {
	beam := 0.0 // W/m² summed, as the hourly law splits
	for _, h := range hours {
		ghi := factor * tr.ClearWM2[h]
		b := ghi * (1 - Erbs(ghi/tr.ExtraterrestrialWM2[h]))
		dst.GHI[h], dst.DNI[h] = ghi, b
		beam += b
	}
	if beam == 0 {
		for _, h := range hours {
			dst.DHI[h] = dst.GHI[h]
		}
		return
	}
	sum := factor * tr.ClearKWh[d]
	fraction := 1000 * sum * (1 - ErbsDay(sum/tr.ExtraterrestrialKWh[d], 7.5*tr.DaylightH[d])) / beam
	for _, h := range hours {
		b := fraction * dst.DNI[h]
		if b > dst.GHI[h] {
			b = dst.GHI[h]
		}
		if maximum := clearestBeam * tr.ExtraterrestrialWM2[h]; b > maximum {
			b = maximum
		}
		dst.DHI[h] = dst.GHI[h] - b
		dst.DNI[h] = b / tr.Path.CosZenith[h]
	}
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
