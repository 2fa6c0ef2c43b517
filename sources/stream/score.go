package stream

import "math"

// NSE returns the Nash–Sutcliffe efficiency of simulated against observed
// values, 1 − Σ(o−s)²/Σ(o−mean o)²: 1 is perfect, 0 no better than the mean.
// NaN without observations that differ. Ref: [Nash].
func NSE(observed, simulated []float64) float64 {
	checkPair(observed, simulated)
	mean := meanOf(observed)
	miss, spread := 0.0, 0.0
	for i, o := range observed {
		miss += (o - simulated[i]) * (o - simulated[i])
		spread += (o - mean) * (o - mean)
	}
	if spread == 0 {
		return math.NaN()
	}
	return 1 - miss/spread
}

// NSELog returns the [NSE] of the logarithms, which weighs the low flows that
// decide a changeover. If any value is not above 0, a hundredth of the observed
// mean is first added to all.
func NSELog(observed, simulated []float64) float64 {
	checkPair(observed, simulated)
	add := 0.0
	for i, o := range observed {
		if o <= 0 || simulated[i] <= 0 {
			add = meanOf(observed) / 100
			break
		}
	}
	logs := func(x []float64) []float64 {
		y := make([]float64, len(x))
		for i, v := range x {
			y[i] = math.Log(v + add)
		}
		return y
	}
	return NSE(logs(observed), logs(simulated))
}

// KGE returns the Kling–Gupta efficiency,
//
//	1 − √((r−1)² + (σs/σo − 1)² + (mean s/mean o − 1)²)
//
// where r is the correlation; the observed mean as a forecast scores −0.41.
// NaN without observations that differ. Ref: [Gupta].
func KGE(observed, simulated []float64) float64 {
	checkPair(observed, simulated)
	mo, ms := meanOf(observed), meanOf(simulated)
	var oo, ss, os float64
	for i, o := range observed {
		oo += (o - mo) * (o - mo)
		ss += (simulated[i] - ms) * (simulated[i] - ms)
		os += (o - mo) * (simulated[i] - ms)
	}
	if oo == 0 || mo == 0 {
		return math.NaN()
	}
	r := 0.0 // a constant forecast follows nothing
	if ss > 0 {
		r = os / math.Sqrt(oo*ss)
	}
	return 1 - math.Sqrt((r-1)*(r-1)+math.Pow(math.Sqrt(ss/oo)-1, 2)+math.Pow(ms/mo-1, 2))
}

func checkPair(observed, simulated []float64) {
	if len(observed) != len(simulated) {
		panic("stream: observed and simulated differ in length")
	}
}

func meanOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
