package site

import (
	"fmt"
	"math"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/weather"
)

// Slips words what [weather.FindSlips] suspects of a record, a sentence each,
// with what to do. Days of NaN are not known.
func Slips(r weather.Record, latDeg float64, us bool) []string {
	u := measure.Of(us)
	var out []string
	for _, s := range weather.FindSlips(r, latDeg) {
		switch s.Kind {
		case weather.SlipDay:
			out = append(out, fmt.Sprintf("%s of rain on %s, the next wettest day %s: a slipped decimal point, or a total of several days?",
				bothRain(u, s.Value), r.Start.AddDate(0, 0, s.Day).Format("2006-01-02"), bothRain(u, s.Usual)))
		case weather.SlipInches:
			out = append(out, fmt.Sprintf("a year has %s of rain, a wet day %s: is the record in inches? then the column is rain_in", bothRain(u, s.Value), bothRain(u, s.Usual)))
		case weather.SlipMM:
			out = append(out, fmt.Sprintf("a year has %s of rain, a wet day %s, more than at nearly any gauge on earth: is the record in mm, or in tenths, and taken for more?", bothRain(u, s.Value), bothRain(u, s.Usual)))
		case weather.SlipYear:
			out = append(out, fmt.Sprintf("a wet day of %d has %s, of the other years %s: is that year in another unit?", s.Year, bothRain(u, s.Value), bothRain(u, s.Usual)))
		case weather.SlipWet:
			out = append(out, fmt.Sprintf("%d has %s of rain, more than any gauge on earth has held in a year", s.Year, bothRain(u, s.Value)))
		case weather.SlipHot:
			out = append(out, fmt.Sprintf("the mean temperature is %s, hotter than any place on earth: are they °F in a column of °C (tmin_f, tmax_f)?", u.Temp(s.Value)))
		case weather.SlipCold:
			out = append(out, fmt.Sprintf("the mean temperature is %s: are they °C in a column of °F (tmin_c, tmax_c)?", u.Temp(s.Value)))
		case weather.SlipSeasons:
			out = append(out, fmt.Sprintf("December to February has %s, June to August %s: is the latitude's sign right (north positive), or are day and month exchanged?", u.Temp(s.Value), u.Temp(s.Usual)))
		}
	}
	return out
}

// bothRain writes an amount in the site's unit and in the other.
func bothRain(u measure.System, mm float64) string {
	other := measure.US
	if u == measure.US {
		other = measure.Metric
	}
	return u.Rain(mm) + " (" + other.Rain(mm) + ")"
}

// slips warns of what looks wrong with the rain and the sun as a whole.
func (l *loader) slips(file string) {
	for _, s := range Slips(l.site.Rain, l.site.Place.LatDeg, l.site.US) {
		l.warn("%s: %s", file, s)
	}
}

// monthsForDays tells a table with a row a month where a row a day belongs.
func (l *loader) monthsForDays(s *files.Sheet, days []time.Time) bool {
	if len(days) < 6 {
		return false
	}
	for i := 1; i < len(days); i++ {
		if gap := days[i].Sub(days[i-1]).Hours() / 24; gap < 27.5 || gap > 31.5 {
			return false
		}
	}
	s.Wrong(1, "date", "a row a day is needed; where day and month are exchanged, write year-month-day", "the rows are a month apart")
	return true
}

// OtherHemisphere tells whether sun hours would fit the latitude of the other
// sign, and do not fit this one: their course over the year runs against the
// sun's.
func OtherHemisphere(latDeg float64, sunHours [12]float64) bool {
	if !(math.Abs(latDeg) > 28) { // nearer the equator the rains may outweigh the sun's course
		return false
	}
	var outside [12]float64
	meanOut, mean := 0.0, 0.0
	for m := range 12 {
		outside[m] = weather.ExtraterrestrialDay(latDeg, 30*(m+1)-15)
		meanOut, mean = meanOut+outside[m]/12, mean+sunHours[m]/12
	}
	cov, a, b := 0.0, 0.0, 0.0
	for m := range 12 {
		x, y := outside[m]-meanOut, sunHours[m]-mean
		cov, a, b = cov+x*y, a+x*x, b+y*y
	}
	return cov < -0.5*math.Sqrt(a*b)
}
