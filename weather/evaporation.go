package weather

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
// where Re is the day's radiation outside the air in MJ/m² and T the mean air
// temperature: [Oudin] eq. 3. The authors' own program takes a sun 2 % stronger
// than [ExtraterrestrialDay].
func Oudin(extraterrestrialMJ, meanC float64) float64 {
	return extraterrestrialMJ / latentHeatMJ * math.Max(0, meanC+5) / 100
}

// OudinPET fills dst (or, if it is too short, a new slice) with the potential
// evaporation in mm of each day from start on, by [Oudin], from daily mean
// temperatures.
func OudinPET(dst []float64, start time.Time, meanC []float64, latDeg float64) []float64 {
	dst = sized(dst, len(meanC))
	var sun [367]float64 // each day of the year is reckoned once
	for i, t := range meanC {
		day := start.AddDate(0, 0, i).YearDay()
		if sun[day] == 0 {
			sun[day] = ExtraterrestrialDay(latDeg, day)
		}
		dst[i] = Oudin(sun[day], t)
	}
	return dst
}
