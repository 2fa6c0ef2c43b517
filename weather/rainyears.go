package weather

import "math"

// RainYear is the rain of a calendar year.
type RainYear struct {
	Year int
	MM   [12]float64 // of each month, January first
	Days [12]int     // of each month on which the rain is known
	Wet  int         // days with [WetDayMM] or more
}

// TotalMM returns the rain of the year in mm, and whether the record has it
// whole.
func (y RainYear) TotalMM() (mm float64, whole bool) {
	days := 0
	for m := range y.MM {
		mm += y.MM[m]
		days += y.Days[m]
	}
	return mm, days >= 365
}

// RainYears adds up the record by calendar year and month. A day of NaN is not
// known.
func (r Record) RainYears() []RainYear {
	var years []RainYear
	for i, mm := range r.RainMM {
		day := r.Start.AddDate(0, 0, i)
		if n := len(years); n == 0 || years[n-1].Year != day.Year() {
			years = append(years, RainYear{Year: day.Year()})
		}
		if math.IsNaN(mm) {
			continue
		}
		y := &years[len(years)-1]
		y.MM[day.Month()-1] += mm
		y.Days[day.Month()-1]++
		if mm >= WetDayMM {
			y.Wet++
		}
	}
	return years
}

// Extremes are the greatest and the least days of a record, as indices; -1
// where nothing is known.
type Extremes struct {
	Wettest, Coldest, Hottest int
}

// Extremes finds them.
func (r Record) Extremes() Extremes {
	return Extremes{maximum(r.RainMM, 1), maximum(r.TMinC, -1), maximum(r.TMaxC, 1)}
}

func maximum(v []float64, sign float64) int {
	best := -1
	for i, x := range v {
		if !math.IsNaN(x) && (best < 0 || sign*x > sign*v[best]) {
			best = i
		}
	}
	return best
}
