package worth

import "math"

// CapitalRecovery returns the yearly payment per unit of capital over years
// years at the yearly rate (0.06 for 6 %),
//
//	A/P = i (1+i)^n / ((1+i)^n − 1)
//
// and 1/n at a rate of 0. years must be above 0. Ref: [ASHRAE].
func CapitalRecovery(rate, years float64) float64 {
	if rate == 0 {
		return 1 / years
	}
	return rate / -math.Expm1(-years*math.Log1p(rate))
}

// PresentValue returns what a payment at each year's end for years years is
// worth today.
func PresentValue(yearly, rate, years float64) float64 {
	return yearly / CapitalRecovery(rate, years)
}
