package weather

import "math"

// SkyHours is a year of hourly sunshine, means over the hour in W/m²: on the
// level (GHI), facing the sun from its disc alone (DNI), and on the level from
// the sky alone (DHI).
type SkyHours struct{ GHI, DNI, DHI []float64 }

// Hours spreads each day's factor over its hours, GHI = factor × clear sky,
// and splits it into beam and diffuse by the laws of [Erbs]: a day's diffuse
// share is the daily law's, which knows that clouds come and go within a day,
// moved towards the monthly law's over the record that s was calibrated on; the
// hours share the day's beam by the hourly law. The zero Sky leaves out the
// months. There must be a factor, 0 to 1, for each day of the track. dst may be
// nil; it is reused where it is long enough.
func (s *Sky) Hours(dst *SkyHours, tr *Track, factors []float64) *SkyHours {
	if len(factors) != tr.Year.Days {
		panic("weather: factors and track differ in days")
	}
	dst = cleared(dst, tr.Year.Hours())
	left := tr.Daylight
	day := newCalendar(tr.Year.Start)
	for d, f := range factors {
		n := 0
		for n < len(left) && int(left[n]) < 24*(d+1) {
			n++
		}
		if f > 0 {
			tr.spread(dst, d, f, s.beamOdds[day.month-1], left[:n])
		}
		left = left[n:]
		day.next()
	}
	return dst
}

// spread fills in the daylight hours of day d.
func (tr *Track) spread(dst *SkyHours, d int, factor, odds float64, hours []int32) {
	beam := 0.0 // W/m² summed, as the hourly law splits
	for _, h := range hours {
		ghi := factor * tr.ClearWM2[h]
		b := ghi * (1 - Erbs(ghi/tr.OutsideWM2[h]))
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
	share := 1000 * sum * beamShare(sum/tr.OutsideKWh[d], tr.DaylightH[d], odds) / beam
	for _, h := range hours {
		b := share * dst.DNI[h]
		if b > dst.GHI[h] {
			b = dst.GHI[h]
		}
		if most := clearestBeam * tr.OutsideWM2[h]; b > most {
			b = most
		}
		dst.DHI[h] = dst.GHI[h] - b
		dst.DNI[h] = b / tr.Path.CosZenith[h]
	}
}

// beamShare returns the share of a day's radiation that comes from the sun's
// disc: the daily law's, its odds multiplied by the month's (0: left alone).
func beamShare(clearness, daylightH, odds float64) float64 {
	b := 1 - ErbsDay(clearness, 7.5*daylightH)
	if odds == 0 {
		return b
	}
	return blend(b, odds)
}

// fitBeamOdds finds, for each month, the factor on the days' odds of beam that
// brings the month's diffuse share over the record half of the way from the
// daily law's to the monthly law's.
//
// The two laws disagree by a tenth of the radiation in cloudy winters. At seven
// station years of the wet north-west of America and from a satellite table at
// 42° N, panels tilted as the latitude got 12 % too little sun in December by the
// daily law and, at the stations, 12 % too much by the monthly one; half way (the
// root of the odds) meets the stations together within 1 % and the table within
// 5 %. It is a choice of ours; see the tests of package solar.
func fitBeamOdds(tr *Track, months [12][]dayRef, factors []float64) [12]float64 {
	var out [12]float64
	var kWh, beam []float64 // of the month's days: radiation, and the daily law's share of beam
	for m, refs := range months {
		kWh, beam = kWh[:0], beam[:0]
		var sum, outside, long float64
		for _, d := range refs {
			k := factors[d.index] * tr.ClearKWh[d.leapDay]
			if k <= 0 {
				continue
			}
			kWh = append(kWh, k)
			beam = append(beam, beamShare(k/tr.OutsideKWh[d.leapDay], tr.DaylightH[d.leapDay], 0))
			sum += k
			outside += tr.OutsideKWh[d.leapDay]
			long += tr.DaylightH[d.leapDay]
		}
		if sum == 0 {
			continue
		}
		want := sum * (1 - ErbsMonth(sum/outside, 7.5*long/float64(len(kWh))))
		lo, hi := 1.0/mostBeamOdds, mostBeamOdds
		for range 30 {
			odds, got := (lo+hi)/2, 0.0
			for i, k := range kWh {
				got += k * blend(beam[i], odds)
			}
			if got < want {
				lo = odds
			} else {
				hi = odds
			}
		}
		out[m] = math.Sqrt(hi)
	}
	return out
}

// mostBeamOdds keeps a strange record (every day alike) from strange splits.
const mostBeamOdds = 4.0

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
