package weather

import (
	"math"
	"time"
)

// MeasuredSun is a measured record of hourly sunshine, gapless, each hour
// stamped at its beginning in standard time. Means of the hour in W/m².
type MeasuredSun struct {
	Start         time.Time
	GHI, DNI, DHI []float64 // DNI and DHI nil where not measured
	TempC         []float64 // nil where not measured
	Repeat        bool      // one typical year, used for all
}

// Hours returns the length of the record.
func (m MeasuredSun) Hours() int { return len(m.GHI) }

// Covers tells whether the record has all of year y: its own hours, or, where
// it is repeated, every calendar day but 29 February.
func (m MeasuredSun) Covers(y Year) bool {
	if m.Repeat {
		return m.Hours() >= 365*24
	}
	_, ok := y.within(m.Start, m.Hours())
	return ok
}

// Year returns the hours of year y. A repeated record gives each calendar day
// its own; 29 February takes 28 February's where the record has none. Where the
// record begins within a day, the hours before are taken from its end. The
// slices of an unrepeated record share its memory. Covers(y) must hold.
func (m MeasuredSun) Year(y Year) MeasuredSun {
	var index []int
	from, _ := y.within(m.Start, m.Hours())
	if m.Repeat {
		index = y.onCalendar(m.Start, m.Hours())
	}
	year := func(v []float64) []float64 {
		if m.Repeat {
			return pick(v, index)
		}
		return v[from : from+y.Hours()]
	}
	out := MeasuredSun{Start: y.Start, GHI: year(m.GHI)}
	if m.DNI != nil {
		out.DNI = year(m.DNI)
	}
	if m.DHI != nil {
		out.DHI = year(m.DHI)
	}
	if m.TempC != nil {
		out.TempC = year(m.TempC)
	}
	return out
}

// MonthlyC returns the months' mean air temperature in °C, January first. The
// record must have temperatures and a whole year.
func (m MeasuredSun) MonthlyC() [12]float64 {
	var mean, n [12]float64
	day, hour := newCalendar(m.Start), m.Start.Hour()
	for _, c := range m.TempC {
		mean[day.month-1] += c
		n[day.month-1]++
		if hour++; hour == 24 {
			hour = 0
			day.next()
		}
	}
	for i := range mean {
		mean[i] /= n[i]
	}
	return mean
}

// Measured turns a year of measured sunshine into what the panels need. m must
// have the track's hours ([MeasuredSun.Year]). With GHI alone it is split by
// [Erbs]; with one of DNI and DHI the other closes GHI = DHI + DNI cos z.
// Light with the sun below the horizon is the sky's; a meter's small negative
// readings count as none.
func Measured(dst *SkyHours, tr *Track, m MeasuredSun) *SkyHours {
	if m.Hours() != tr.Year.Hours() {
		panic("weather: measured sun and track differ in hours")
	}
	dst = cleared(dst, m.Hours())
	for h, ghi := range m.GHI {
		ghi = math.Max(0, ghi)
		cosZ, outside := tr.Path.CosZenith[h], tr.ExtraterrestrialWM2[h]
		dni, dhi := 0.0, ghi
		switch {
		case cosZ <= 0:
		case m.DNI != nil && m.DHI != nil:
			dni, dhi = math.Max(0, m.DNI[h]), math.Max(0, m.DHI[h])
		case m.DNI != nil:
			dni = math.Max(0, math.Min(m.DNI[h], ghi/cosZ))
			dhi = ghi - dni*cosZ
		default:
			if m.DHI != nil {
				dhi = math.Max(0, math.Min(m.DHI[h], ghi))
			} else {
				dhi = ghi * Erbs(ghi/outside)
			}
			// A meter that is a little off in the first and last minutes of
			// sun must not make a beam stronger than outside the air.
			if maximum := clearestBeam * outside; ghi-dhi > maximum {
				dhi = ghi - maximum
			}
			dni = (ghi - dhi) / cosZ
		}
		dst.GHI[h], dst.DNI[h], dst.DHI[h] = ghi, dni, dhi
	}
	return dst
}

// clearestBeam is the greatest share of the extraterrestrial radiation that the
// split lets through as beam: Erbs' 0.835 of a clearness of 0.8 and more.
const clearestBeam = 0.835
