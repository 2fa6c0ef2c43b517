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
// where Re is the day's extraterrestrial radiation in MJ/m² and T the mean air
// temperature: [Oudin] eq. 3. The authors' own program takes a sun 2 % stronger
// than [ExtraterrestrialDay].
func Oudin(extraterrestrialMJ, meanC float64) float64 {
	return extraterrestrialMJ / latentHeatMJ * math.Max(0, meanC+5) / 100
}

// Evaporation is the extraterrestrial radiation at one latitude on every day of
// the year, reckoned once for all the records of a place.
type Evaporation struct {
	extraterrestrialMJ [367]float64 // by the day of the year, 1 to 366; MJ/m²
}

// NewEvaporation reckons the year of a latitude.
func NewEvaporation(latDeg float64) *Evaporation {
	e := &Evaporation{}
	for day := 1; day < len(e.extraterrestrialMJ); day++ {
		e.extraterrestrialMJ[day] = ExtraterrestrialDay(latDeg, day)
	}
	return e
}

// Potential fills dst (or, if it is too short, a new slice) with the potential
// evaporation in mm of each day from start on, by [Oudin], from daily mean
// temperatures.
func (e *Evaporation) Potential(dst []float64, start time.Time, meanC []float64) []float64 {
	dst = sized(dst, len(meanC))
	day := newCalendar(start)
	yearDay := start.YearDay()
	for i, t := range meanC {
		dst[i] = Oudin(e.extraterrestrialMJ[yearDay], t)
		yearDay++
		if day.next(); day.month == time.January && day.day == 1 {
			yearDay = 1
		}
	}
	return dst
}
