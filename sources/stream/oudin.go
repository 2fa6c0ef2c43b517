package stream

import (
	"math"
	"time"
)

// latentHeatMJ evaporates 1 kg, or 1 mm over 1 m², of water: [FAO56] eq. 20.
const latentHeatMJ = 2.45

// Oudin returns the potential evaporation of a day in mm,
//
//	PE = Re/λ · (T + 5)/100    for T > −5 °C, else 0
//
// where Re is the day's sunlight above the air in MJ/m² and T the mean air
// temperature: [Oudin] eq. 3. The authors' own program takes a sun 2 % stronger
// than [ExtraterrestrialMJ].
func Oudin(extraterrestrialMJ, meanC float64) float64 {
	return extraterrestrialMJ / latentHeatMJ * math.Max(0, meanC+5) / 100
}

// ExtraterrestrialMJ returns the sunlight above the air on a day of the year
// (1 for 1 January), in MJ/m² on the horizontal: [FAO56] eq. 21 to 25. Good to
// 1 % between the polar circles.
func ExtraterrestrialMJ(dayOfYear int, latDeg float64) float64 {
	const solarConstantMJMin = 0.0820
	year := 2 * math.Pi * float64(dayOfYear) / 365
	nearness := 1 + 0.033*math.Cos(year)
	decl := 0.409 * math.Sin(year-1.39)
	lat := latDeg * math.Pi / 180
	// The sunset hour angle; beyond ±1 the sun stays up or down all day.
	sunset := math.Acos(math.Max(-1, math.Min(1, -math.Tan(lat)*math.Tan(decl))))
	return math.Max(0, 24*60/math.Pi*solarConstantMJMin*nearness*
		(sunset*math.Sin(lat)*math.Sin(decl)+math.Cos(lat)*math.Cos(decl)*math.Sin(sunset)))
}

// OudinPET fills dst (or, if nil, a new slice) with the potential evaporation
// in mm of each day from start on, by [Oudin], from daily mean temperatures.
func OudinPET(dst []float64, start time.Time, meanC []float64, latDeg float64) []float64 {
	if dst == nil {
		dst = make([]float64, len(meanC))
	}
	if len(dst) != len(meanC) {
		panic("stream: dst and meanC differ in length")
	}
	var sun [367]float64 // each day of the year is reckoned once
	for i, t := range meanC {
		day := start.AddDate(0, 0, i).YearDay()
		if sun[day] == 0 {
			sun[day] = ExtraterrestrialMJ(day, latDeg)
		}
		dst[i] = Oudin(sun[day], t)
	}
	return dst
}

// DailyFromMonths fills dst with a mean temperature for each day from start
// on, in °C: straight lines between the middles of the months.
func DailyFromMonths(dst []float64, start time.Time, monthC [12]float64) []float64 {
	for i := range dst {
		y, m, d := start.AddDate(0, 0, i).Date()
		days := time.Date(y, m+1, 0, 0, 0, 0, 0, time.UTC).Day()
		x := (float64(d)-0.5)/float64(days) - 0.5 // −0.5 to 0.5 about the middle
		from, to := int(m)-1, int(m)%12
		if x < 0 {
			from, to, x = (int(m)+10)%12, int(m)-1, x+1
		}
		dst[i] = monthC[from] + x*(monthC[to]-monthC[from])
	}
	return dst
}
