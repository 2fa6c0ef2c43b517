package weather

import (
	"math"
	"slices"
)

// SlipKind is a way in which a record goes wrong when it is written, typed or
// exported, and which no single value shows.
type SlipKind int

const (
	SlipDay     SlipKind = iota // a day's rain far above all others: a decimal point
	SlipInches                  // the whole record is in inches and taken for mm
	SlipMM                      // the whole record is in mm and taken for inches, or in tenths
	SlipYear                    // one year's wet days are in another unit than the rest
	SlipWet                     // a year wetter than any gauge on earth
	SlipHot                     // temperatures of °F taken for °C
	SlipCold                    // temperatures of °C taken for °F
	SlipSeasons                 // winter is warmer than summer
)

// Slip is one such suspicion.
type Slip struct {
	Kind         SlipKind
	Day          int     // index of the day, for SlipDay
	Year         int     // calendar year, for SlipYear and SlipWet
	Value, Usual float64 // mm or °C: what stands there, and what the rest has
}

const (
	// The wettest twelve months measured anywhere: Cherrapunji, 1860–61, World
	// Meteorological Organization's archive of extremes (from memory).
	wettestYearMM = 26461
	// No station's long mean is above some 12,000 to 13,000 mm (Mawsynram,
	// López de Micay; from memory).
	wettestMeanMM = 13000
)

// FindSlips looks for slips in a record. Days of NaN are not known. The
// thresholds leave room for every climate that a gauge stands in: see the
// comment of each. latDeg is NaN where the place is not known.
func FindSlips(r Record, latDeg float64) []Slip {
	return append(rainSlips(r), tempSlips(r, latDeg)...)
}

func rainSlips(r Record) (slips []Slip) {
	first, second := -1, math.Inf(-1)
	sum, days, wetSum, wet := 0.0, 0, 0.0, 0
	for i, mm := range r.RainMM {
		if math.IsNaN(mm) {
			continue
		}
		days++
		sum += mm
		if mm > 0 {
			wet++
			wetSum += mm
		}
		if first < 0 || mm > r.RainMM[first] {
			if first >= 0 {
				second = max(second, r.RainMM[first])
			}
			first = i
		} else {
			second = max(second, mm)
		}
	}
	if days < 300 || wet < 10 {
		return nil
	}
	year, wetDay := sum/float64(days)*365.25, wetSum/float64(wet)
	switch {
	// A wet day brings 2 to 20 mm nearly everywhere, 65 mm at the wettest places
	// known (Cherrapunji; from memory), which have to live with a warning.
	case wetDay < 0.8 && year < 120 && wet > days/30:
		slips = append(slips, Slip{Kind: SlipInches, Value: year, Usual: wetDay})
	case year > wettestMeanMM || wetDay > 45 && year > 5000:
		slips = append(slips, Slip{Kind: SlipMM, Value: year, Usual: wetDay})
	default:
		slips = yearSlips(r)
		// A day of more than 1,000 mm has been gauged at a handful of places, in
		// tropical storms; four times the next wettest day at hardly any.
		if top := r.RainMM[first]; top > 1000 || top > 100 && top > 4*second {
			slips = append(slips, Slip{Kind: SlipDay, Day: first, Value: top, Usual: second})
		}
	}
	return slips
}

// yearSlips compares each year's mean wet day with the median of the others:
// 10 and 25.4 are the steps between the units; years differ by a factor of two
// at most.
func yearSlips(r Record) (slips []Slip) {
	years := r.RainYears()
	means := make([]float64, len(years))
	for i, y := range years {
		total, whole := y.TotalMM()
		if whole && total > wettestYearMM {
			slips = append(slips, Slip{Kind: SlipWet, Year: y.Year, Value: total})
		}
		means[i] = math.NaN()
		if y.Wet >= 10 {
			means[i] = total / float64(y.Wet)
		}
	}
	for i, m := range means {
		var others []float64
		for j, o := range means {
			if j != i && !math.IsNaN(o) {
				others = append(others, o)
			}
		}
		if math.IsNaN(m) || len(others) < 2 {
			continue
		}
		slices.Sort(others)
		if usual := others[len(others)/2]; m > 6*usual || m < usual/6 {
			slips = append(slips, Slip{Kind: SlipYear, Year: years[i].Year, Value: m, Usual: usual})
		}
	}
	return slips
}

func tempSlips(r Record, latDeg float64) (slips []Slip) {
	var sum, n [12]float64
	highs, all, days := 0.0, 0.0, 0.0
	for i := range r.TMinC {
		low, high := r.TMinC[i], r.TMaxC[i]
		if math.IsNaN(low) || math.IsNaN(high) {
			continue
		}
		m := r.Start.AddDate(0, 0, i).Month() - 1
		sum[m], n[m] = sum[m]+(low+high)/2, n[m]+1
		highs, all, days = highs+high, all+(low+high)/2, days+1
	}
	if days < 300 {
		return nil
	}
	mean := all / days
	switch {
	// The hottest places have a yearly mean of 30 to 34 °C (Dallol; from memory).
	case mean > 36:
		return []Slip{{Kind: SlipHot, Value: mean}}
	// Below 60 degrees of latitude nobody lives at a yearly mean under -8 °C.
	case mean < -8 && math.Abs(latDeg) < 60:
		return []Slip{{Kind: SlipCold, Value: mean}}
	}
	season := func(a, b, c int) float64 { return (sum[a] + sum[b] + sum[c]) / (n[a] + n[b] + n[c]) }
	january, july := season(11, 0, 1), season(5, 6, 7)
	if math.Abs(latDeg) > 30 && (latDeg > 0) == (january > july+2) && math.Abs(january-july) > 2 {
		slips = append(slips, Slip{Kind: SlipSeasons, Value: january, Usual: july})
	}
	return slips
}
