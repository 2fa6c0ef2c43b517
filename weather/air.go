package weather

import (
	"math"
	"time"
)

// peakAfterNoonH is how long after the sun's highest the air is warmest: two to
// three hours, common practice.
const peakAfterNoonH = 2.5

// AirTemperature fills dst with each hour's air temperature in °C: half a sine
// from the day's minimum at sunrise to its maximum 2.5 h after noon, and half a
// sine down to the next day's minimum. tminC and tmaxC have a value for each day
// of the track. Where the sun does not rise or set, 6:00 stands for sunrise and 18:00 for
// sunset.
func AirTemperature(dst, tminC, tmaxC []float64, tr *Track) []float64 {
	days := tr.Year.Days
	if len(tminC) != days || len(tmaxC) != days {
		panic("weather: temperatures and track differ in days")
	}
	dst = sized(dst, tr.Year.Hours())
	for d := range days {
		yesterday, tomorrow := max(d-1, 0), min(d+1, days-1)
		low, high := tminC[d], tmaxC[d]
		for h, warm := range tr.warmth[24*d : 24*d+24] {
			from, to := low, high
			if t := float64(h) + 0.5; t < tr.coldest[d] {
				to = tmaxC[yesterday]
			} else if t > tr.warmest[d] {
				from = tminC[tomorrow]
			}
			dst[24*d+h] = from + warm*(to-from)
		}
	}
	return dst
}

// setWarmth fills in the share, 0 to 1, of the way from the nearer minimum to
// the nearer maximum at which each hour's temperature stands.
func (tr *Track) setWarmth() {
	days := tr.Year.Days
	tr.warmth = make([]float64, 24*days)
	tr.coldest, tr.warmest = make([]float64, days), make([]float64, days)
	for d := range days {
		sunrise, sunset := tr.SunriseH[d], tr.SunsetH[d]
		if !(sunrise < sunset) || (sunrise+sunset)/2+peakAfterNoonH > 23 {
			sunrise, sunset = 6, 18 // polar day or night, or a clock far off the sun
		}
		tr.coldest[d] = sunrise
		tr.warmest[d] = (sunrise+sunset)/2 + peakAfterNoonH
	}
	for d := range days {
		before := tr.warmest[max(d-1, 0)] - 24
		after := tr.coldest[min(d+1, days-1)] + 24
		for h := range 24 {
			t := float64(h) + 0.5
			var x float64 // 0 at the minimum, 1 at the maximum
			switch {
			case t < tr.coldest[d]:
				x = 1 - (t-before)/(tr.coldest[d]-before)
			case t <= tr.warmest[d]:
				x = (t - tr.coldest[d]) / (tr.warmest[d] - tr.coldest[d])
			default:
				x = 1 - (t-tr.warmest[d])/(after-tr.warmest[d])
			}
			tr.warmth[24*d+h] = (1 - math.Cos(math.Pi*x)) / 2
		}
	}
}

// AirFromMonths fills dst with each hour's air temperature in °C from the
// months' means, January first: straight lines between the middles of the
// months, the same all day.
func AirFromMonths(dst []float64, meanC [12]float64, y Year) []float64 {
	dst = sized(dst, y.Hours())
	for d := range y.Days {
		c := MonthlyAt(meanC, y.Start.AddDate(0, 0, d))
		for h := 24 * d; h < 24*d+24; h++ {
			dst[h] = c
		}
	}
	return dst
}

// MonthlyAt returns a monthly quantity on the day of t, on straight lines
// between the middles of the months.
func MonthlyAt(monthly [12]float64, t time.Time) float64 {
	month := int(t.Month()) - 1
	length := float64(monthLength(t.Year(), t.Month()))
	x := (float64(t.Day())-0.5)/length - 0.5 // -0.5 to 0.5 within the month
	other := (month + 13) % 12
	if x < 0 {
		other = (month + 11) % 12
	}
	return monthly[month] + math.Abs(x)*(monthly[other]-monthly[month])
}
