package weather

import "math"

// law holds the constants of the law of the day; see the package's text for the
// equation. They are fitted to the days of the measured stations, once, by the
// test that also tells their errors and scores them with each station left out.
type law struct {
	rain   float64 // of mm^0.3, beside the range of temperature
	rangeZ float64 // of the range's standard score, times H0/(H0 + 2 kWh/m²)

	memory     float64 // lag-one correlation of the days of a month of mean clearness 0.3
	memoryRise float64 // what it rises by for each 1 of clearness
	memoryMax  float64 // and no further

	floor     float64 // clearness of the darkest day of a month of mean clearness 0.3 or less
	floorRise float64 // what it rises by for each 1 of clearness above
}

// dayLaw is the law as fitted to Rothamsted, Wageningen, Lushnje and Pergamino;
// the floor is that of [BCR].
var dayLaw = law{
	rain:       -0.33,
	rangeZ:     0.65,
	memory:     0.15,
	memoryRise: 1.43,
	memoryMax:  0.38,
	floor:      0.05,
	floorRise:  0.54,
}

const (
	rainyDayMM = 1.0 // from this rain on, a day counts as wet here

	// defaultWetDayFraction is a wet day's sunshine over a dry day's: 0.66 to 0.70
	// at the four stations, 0.5 to 0.65 at three gauged catchments.
	defaultWetDayFraction = 0.65

	rainPower   = 0.3 // so that little rain tells almost as much as much rain
	halfRangeH0 = 2.0 // kWh/m² a day outside the air at which the range tells half of what it tells under a high sun

	middleClearness = 0.3 // where memory and floor are told

	// minMemory is the least lag-one correlation of a month: no station has a
	// month duller than 0.27, whose days had 0.1 to 0.2. A judgement.
	minMemory = 0.1
)

// lagOne returns the correlation of a day's z with the day before's in a month
// of the given mean clearness: dull months change from day to day, clear skies
// stay.
func (l *law) lagOne(meanClearness float64) float64 {
	return math.Max(0, math.Min(l.memoryMax, l.memory+l.memoryRise*(meanClearness-middleClearness)))
}

// rangeWeight returns what a standard deviation of the day's range of
// temperature moves z by, where the day has extraterrestrialKWh outside the air: under a
// low sun the wind brings more of the range than the sun does.
func (l *law) rangeWeight(extraterrestrialKWh float64) float64 {
	return l.rangeZ * extraterrestrialKWh / (extraterrestrialKWh + halfRangeH0)
}

// rainTerm is the rain as the law takes it.
func rainTerm(rainMM float64) float64 {
	if rainMM <= 0 {
		return 0
	}
	return math.Pow(rainMM, rainPower)
}
