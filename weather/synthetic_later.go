package weather

import "math"

// Scaled returns the record with factor times the rain on every day. The days
// that are wet stay wet, unless the factor is 0.
//
// Less rain is a brighter day. The sky sees a part of that in the rain and, where
// the record has temperatures, a part in the day's range ([Sky.Factors]): so the
// highs of rainy days move by what the range goes with the rain in the month's
// days, as mm^0.3 of both.
func Scaled(r Record, factor float64) Record {
	out := r
	out.RainMM = make([]float64, r.Days())
	for d, mm := range r.RainMM {
		out.RainMM[d] = factor * mm
	}
	if r.TMinC == nil || factor == 1 {
		return out
	}
	out.TMaxC = append([]float64(nil), r.TMaxC...)
	days := calendarDays(r.Start, r.Days())
	narrows := rangeByRain(r, days)
	for d, day := range days {
		if was := r.RainMM[d]; was > 0 {
			by := narrows[day.month] * (rainTerm(out.RainMM[d]) - rainTerm(was))
			out.TMaxC[d] = max(out.TMaxC[d]+by, r.TMinC[d])
		}
	}
	return out
}

// rangeByRain returns, for each month, the slope of the days' range of
// temperature in K on their mm^0.3 of rain: 0 or less.
func rangeByRain(r Record, days []calendarDay) [12]float64 {
	var n, x, y, xx, xy, slope [12]float64
	for d, day := range days {
		m, rain, k := day.month, rainTerm(r.RainMM[d]), dayRange(r, d)
		n[m]++
		x[m] += rain
		y[m] += k
		xx[m] += rain * rain
		xy[m] += rain * k
	}
	for m := range slope {
		if v := xx[m] - x[m]*x[m]/math.Max(1, n[m]); v > 1e-9 {
			slope[m] = math.Min(0, (xy[m]-x[m]*y[m]/n[m])/v)
		}
	}
	return slope
}

// Later returns the record with its weather put off by a number of days: each
// day has the rain that fell so many days before, so that every season begins
// that much later, ends that much later and brings as much rain as it did.
// What the calendar fixes stays: highs and lows keep the season's mean and
// take only the day's departure from it along. The first days, for which the
// record holds nothing, take the same days of the year after, or of the
// record's end if it is shorter.
func Later(r Record, days int) Record {
	if days == 0 {
		return r
	}
	n := r.Days()
	from := make([]int, n)
	for d := range from {
		from[d] = d - days
		for from[d] < 0 {
			from[d] += min(365, n)
		}
	}
	out := Record{Start: r.Start, RainMM: make([]float64, n)}
	for d, s := range from {
		out.RainMM[d] = r.RainMM[s]
	}
	if r.TMinC == nil {
		return out
	}
	places := make([]yearPlace, n)
	for d, day := range calendarDays(r.Start, n) {
		places[d] = day.yearPlace()
	}
	putOff := func(tempC []float64) []float64 {
		mean := meanTemp(tempC, places)
		moved := make([]float64, n)
		for d, s := range from {
			moved[d] = mean.at(places[d]) + tempC[s] - mean.at(places[s])
		}
		return moved
	}
	out.TMinC, out.TMaxC = putOff(r.TMinC), putOff(r.TMaxC)
	for d := range out.TMinC {
		lo, hi := out.TMinC[d], out.TMaxC[d]
		out.TMinC[d], out.TMaxC[d] = min(lo, hi), max(lo, hi)
	}
	return out
}

// meanTemp is the run of a temperature through the year, wet and dry days
// together.
func meanTemp(tempC []float64, places []yearPlace) DailyTemp {
	var sum, days [12]float64
	for d, p := range places {
		sum[p.month] += tempC[d]
		days[p.month]++
	}
	for i := range sum {
		if days[i] == 0 { // a record shorter than a year: no run to speak of
			return DailyTemp{}
		}
		sum[i] /= days[i]
	}
	return DailyTemp{MeanC: midMonths(sum)}
}
