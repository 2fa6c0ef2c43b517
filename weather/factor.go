package weather

import "math"

const (
	rainyDayMM = 1.0 // from this rain on, a day counts as wet here

	// defaultWetDayShare is a wet day's sunshine over a dry day's: 0.5 to 0.65
	// in a month's mean at three gauged catchments.
	defaultWetDayShare = 0.6

	// rainPower bends the rain law so that 2, 5, 12, 30 and 70 mm keep the
	// relation to each other that was measured at those catchments (0.80, 0.66,
	// 0.61, 0.50, 0.25 of a dry day; the law gives 0.80, 0.73, 0.63, 0.49, 0.37
	// at the measured rate of 0.17).
	rainPower = 0.42
	usualRate = 0.17

	// overcastShare is what is left of a clear day under the thickest sky that
	// the temperature law knows. Without it the darkest week comes out too
	// dark. [KC80] put a full overcast at 0.25 of a clear sky, as we remember it.
	overcastShare = 0.20

	// dimmingMM is the rain of a day that dims it to 1/e beside what its range of
	// temperature tells: ranges are as small after 2 mm as after 50.
	dimmingMM = 50.0

	// rainOdds and rangeOdds are the standard deviation of the logarithm of the
	// odds that multiply each day's, under the rain law and under the range
	// law. Under the rain law it gives the relative spread that was measured at
	// the catchments, 0.15 on dry days and 0.3 to 0.5 on wet ones; under the
	// range law, what is left over of a typical year's hourly data at 44° N.
	rainOdds  = 0.6
	rangeOdds = 0.7

	// residualMemory is the correlation of a day's residual with the day
	// before's; measured are 0.25 to 0.4.
	residualMemory = 0.35
	residualDays   = 16 // days that a residual remembers: 0.35^16 is 5e-8
)

// RainShare returns a rainy day's expected sunshine over a dry day's.
//
//	g = exp(−rate · rain^0.42)
//
// It falls smoothly from 1 without rain. The form is our own, laid through
// measured shares; rate is found from the wet days' mean share.
func RainShare(rainMM, rate float64) float64 {
	if rainMM <= 0 {
		return 1
	}
	return math.Exp(-rate * math.Pow(rainMM, rainPower))
}

// fitRainRate finds the rate at which the record's wet days have the wanted
// mean share.
func fitRainRate(rainMM []float64, wetDayShare float64) float64 {
	var bent []float64
	for _, mm := range rainMM {
		if mm >= rainyDayMM {
			bent = append(bent, math.Pow(mm, rainPower))
		}
	}
	if len(bent) == 0 {
		return usualRate
	}
	lo, hi := 0.0, 50.0
	for range 50 {
		rate := (lo + hi) / 2
		sum := 0.0
		for _, b := range bent {
			sum += math.Exp(-rate * b)
		}
		if sum > wetDayShare*float64(len(bent)) {
			lo = rate
		} else {
			hi = rate
		}
	}
	return hi
}

// rainShape returns each day's expected sunshine before the month's scale,
// by its rain.
func (s *Sky) rainShape(dst []float64, r Record) []float64 {
	dst = sized(dst, r.Days())
	for i, mm := range r.RainMM {
		dst[i] = RainShare(mm, s.rainRate)
	}
	return dst
}

// rangeShape returns the same by the day's range of temperature, dimmed further
// by much rain.
func (s *Sky) rangeShape(dst []float64, r Record) []float64 {
	dst = sized(dst, r.Days())
	var b [12]float64
	for m, k := range s.rangeK {
		b[m] = bristowB(k)
	}
	day := newCalendar(r.Start)
	for i, mm := range r.RainMM {
		dst[i] = rangeShare(dayRange(r, i), b[day.month-1])
		if mm > 0 {
			dst[i] *= rainDimming(mm)
		}
		day.next()
	}
	return dst
}

// rainDimming returns what a day's rain leaves of the sunshine that its range of
// temperature tells.
func rainDimming(rainMM float64) float64 { return math.Exp(-rainMM / dimmingMM) }

// RangeShare returns a day's expected sunshine over that of the month's
// brightest days, 0.2 to 1, by its range of temperature:
//
//	0.2 + 0.8 [1 − exp(−B ΔT^2.4)]
//
// with B by the month's mean range as in [BristowCampbell]. The plain law lets
// winter's darkest days go to nothing; see the package's text.
func RangeShare(rangeK, monthRangeK float64) float64 {
	return rangeShare(rangeK, bristowB(monthRangeK))
}

// rangeShare is RangeShare with the month's B in hand.
func rangeShare(rangeK, b float64) float64 {
	return overcastShare + (1-overcastShare)*(1-math.Exp(-b*math.Pow(math.Max(0, rangeK), 2.4)))
}

// residuals returns, for each day of r, the factor on the odds of the sun:
// exp(σ z), where σ is spread times the variability and z is a first-order
// autoregression of unit variance. z is summed up from the last days' draws,
// which depend on nothing but the seed and the day, so that a day has the same
// residual whichever year is run.
func (s *Sky) residuals(dst []float64, r Record, fromDay int, spread float64) []float64 {
	n := r.Days()
	dst = sized(dst, n)
	sigma := spread * s.opt.Variability
	if sigma == 0 {
		for i := range dst {
			dst[i] = 1
		}
		return dst
	}
	first := int64(math.Floor(float64(r.Start.Unix()+zoneSeconds(r))/86400)) + int64(fromDay)
	draws := make([]float64, n+residualDays)
	for i := range draws {
		draws[i] = dayDraw(s.opt.Seed, first+int64(i-residualDays))
	}
	const left = 1 - residualMemory*residualMemory
	unit := math.Sqrt(left / (1 - math.Pow(residualMemory, 2*(residualDays+1))))
	for i := range dst {
		z := 0.0
		for _, e := range draws[i : i+residualDays+1] {
			z = residualMemory*z + e
		}
		dst[i] = math.Exp(sigma * unit * z)
	}
	return dst
}

func zoneSeconds(r Record) int64 {
	_, s := r.Start.Zone()
	return int64(s)
}

// dayDraw returns a standard normal number that depends on the seed and the
// day alone: a mixed counter (the finalizer of the splitmix64 generator)
// through the inverse normal distribution.
func dayDraw(seed uint64, day int64) float64 {
	x := mix(mix(seed) + uint64(day))
	u := (float64(x>>11) + 0.5) / (1 << 53)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

func mix(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}
