package weather_test

import (
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// Clearness against rain as measured at three catchments with gauges for both:
// 0.76 to 0.83 of a dry day at 1 to 3 mm, 0.65 to 0.68 at 3 to 8, 0.61 at 8 to
// 20, 0.4 to 0.6 at 20 to 50. A real record (Seattle, 2012 to 2015, NOAA) under
// the station's sun hours (NREL, TMY3), with and without its temperatures, must
// lie within 0.1 of them: each class's days over the dry days of their month,
// mean of 20 skies.
func TestSeattlesRainDimsItsDays(t *testing.T) {
	p := weather.Place{LatDeg: 47.467, LonDeg: -122.317, UTCOffsetH: -8}
	table := weather.SunTable{SunHours: [12]float64{1.014, 1.794, 2.823, 4.341, 5.474, 5.928, 6.231, 5.042, 3.678, 2.267, 1.167, 0.892}}
	classes := []struct{ from, to, low, high float64 }{{1, 3, 0.76, 0.83}, {3, 8, 0.65, 0.68}, {8, 20, 0.61, 0.61}, {20, 50, 0.4, 0.6}}
	for _, temperatures := range []bool{false, true} {
		r := seattle(t)
		if !temperatures {
			r.TMinC, r.TMaxC = nil, nil
		}
		s := mustCalibrate(t, p, r, table, weather.SkyOptions{Variability: 1, Seed: 1})
		fraction := make([][]float64, len(classes))
		month := func(i int) time.Month { return r.Start.AddDate(0, 0, i).Month() - 1 }
		for draw := range 20 {
			factors := s.Draw(draw).Factors(nil, r, 0)
			var dry, days [12]float64
			for i, f := range factors {
				if r.RainMM[i] < 1 {
					dry[month(i)] += f
					days[month(i)]++
				}
			}
			for i, f := range factors {
				for k, c := range classes {
					if mm := r.RainMM[i]; mm >= c.from && mm < c.to {
						fraction[k] = append(fraction[k], f/(dry[month(i)]/days[month(i)]))
					}
				}
			}
		}
		for k, c := range classes {
			g := mean(fraction[k])
			t.Logf("temperatures %v, %g to %g mm: %.2f of a dry day, measured %g to %g", temperatures, c.from, c.to, g, c.low, c.high)
			if g < c.low-0.1 || g > c.high+0.1 {
				t.Errorf("temperatures %v, %g to %g mm: %.2f of a dry day, measured %g to %g", temperatures, c.from, c.to, g, c.low, c.high)
			}
		}
	}
}

// wet_day_share is what comes out: the record's wet days against its dry ones,
// each as a fraction of the clear sky, months kept apart as the scale is.
func TestWetDayFractionComesOut(t *testing.T) {
	r := madeRecord(wetPlace, 12, false)
	for _, fraction := range []float64{0.45, 0.6, 0.75} {
		s := mustCalibrate(t, wetPlace, r, wetTable, weather.SkyOptions{WetDayFraction: fraction})
		factors := s.Factors(nil, r, 0)
		var wet, dry, wets, dries [12]float64
		for i, f := range factors {
			m := r.Start.AddDate(0, 0, i).Month() - 1
			if r.RainMM[i] >= 1 {
				wet[m] += f
				wets[m]++
			} else if r.RainMM[i] == 0 {
				dry[m] += f
				dries[m]++
			}
		}
		sum, n := 0.0, 0.0
		for m := range wet {
			if f := dry[m] / dries[m]; f > 0.999 {
				continue // dry days are capped at the clear sky
			}
			sum += wets[m] * (wet[m] / wets[m]) / (dry[m] / dries[m])
			n += wets[m]
		}
		if got := sum / n; math.Abs(got-fraction) > 0.02 {
			t.Errorf("wet_day_share %g: wet days have %.3f of a dry day's sun", fraction, got)
		}
	}
}

func mean(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}

func spread(v []float64) float64 {
	m, s := mean(v), 0.0
	for _, x := range v {
		s += (x - m) * (x - m)
	}
	return math.Sqrt(s / float64(len(v)))
}

func correlation(a, b []float64) float64 {
	ma, mb, s := mean(a), mean(b), 0.0
	for i := range a {
		s += (a[i] - ma) * (b[i] - mb)
	}
	return s / float64(len(a)) / spread(a) / spread(b)
}
