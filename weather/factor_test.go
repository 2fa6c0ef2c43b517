package weather_test

import (
	"math"
	"testing"
	"time"

	"sunrill/weather"
)

// Clearness against rain as measured at three catchments with gauges for both:
// 0.76 to 0.83 of a dry day at 1 to 3 mm, 0.65 to 0.68 at 3 to 8, 0.61 at 8 to
// 20, 0.4 to 0.6 at 20 to 50. The law must lie within 0.1 of them at the middle
// of each class.
func TestRainShareAgainstMeasuredClasses(t *testing.T) {
	const rate = 0.17
	for _, c := range []struct{ mm, low, high float64 }{{2, 0.76, 0.83}, {5, 0.65, 0.68}, {12, 0.61, 0.61}, {32, 0.4, 0.6}} {
		if g := weather.RainShare(c.mm, rate); g < c.low-0.1 || g > c.high+0.1 {
			t.Errorf("%g mm: %.2f of a dry day, measured %g to %g", c.mm, g, c.low, c.high)
		}
	}
	last := 1.0
	for mm := 0.1; mm < 300; mm *= 1.1 {
		g := weather.RainShare(mm, rate)
		if g >= last {
			t.Fatalf("%.1f mm: %.4f of a dry day, less rain gives %.4f", mm, g, last)
		}
		last = g
	}
}

// The same where temperatures steer the sky, on a real record (Seattle, 2012 to
// 2015, NOAA) with the station's sun hours (NREL, TMY3): each class's days over
// the dry days of their month. Its ranges of temperature tell wet from dry but
// not much rain from little; the dimming does.
func TestSeattlesRainDimsItsDays(t *testing.T) {
	r := seattle(t)
	p := weather.Place{LatDeg: 47.467, LonDeg: -122.317, UTCOffsetH: -8}
	table := weather.SunTable{SunHours: [12]float64{1.014, 1.794, 2.823, 4.341, 5.474, 5.928, 6.231, 5.042, 3.678, 2.267, 1.167, 0.892}}
	factors := mustCalibrate(t, p, r, table, weather.SkyOptions{Variability: 1, Seed: 1}).Factors(nil, r, 0)
	var dry, days [12]float64
	month := func(i int) time.Month { return r.Start.AddDate(0, 0, i).Month() - 1 }
	for i, f := range factors {
		if r.RainMM[i] < 1 {
			dry[month(i)] += f
			days[month(i)]++
		}
	}
	for _, c := range []struct{ from, to, low, high float64 }{{1, 3, 0.76, 0.83}, {3, 8, 0.65, 0.68}, {8, 20, 0.61, 0.61}, {20, 50, 0.4, 0.6}} {
		var class []float64
		for i, f := range factors {
			if mm := r.RainMM[i]; mm >= c.from && mm < c.to {
				class = append(class, f/(dry[month(i)]/days[month(i)]))
			}
		}
		t.Logf("%g to %g mm: %d days with %.2f of a dry day, measured %g to %g", c.from, c.to, len(class), mean(class), c.low, c.high)
		if g := mean(class); g < c.low-0.1 || g > c.high+0.1 {
			t.Errorf("%g to %g mm: %.2f of a dry day, measured %g to %g", c.from, c.to, g, c.low, c.high)
		}
	}
}

// wet_day_share is what comes out: the record's wet days against its dry ones,
// each as a share of the clear sky, months kept apart as the scale is.
func TestWetDayShareComesOut(t *testing.T) {
	r := madeRecord(wetPlace, 12, false)
	for _, share := range []float64{0.45, 0.6, 0.75} {
		s := mustCalibrate(t, wetPlace, r, wetTable, weather.SkyOptions{WetDayShare: share})
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
		if got := sum / n; math.Abs(got-share) > 0.02 {
			t.Errorf("wet_day_share %g: wet days have %.3f of a dry day's sun", share, got)
		}
	}
}

// The residual as measured: a relative spread of 0.15 on dry days and 0.3 to 0.5
// on wet ones, a lag-one correlation of 0.25 to 0.4.
func TestResidualAgainstMeasuredSpread(t *testing.T) {
	r := madeRecord(wetPlace, 30, false)
	table := weather.SunTable{}
	for m, kWh := range weather.ClearSunHours(wetPlace) {
		table.SunHours[m] = 0.62 * kWh
	}
	plain := mustCalibrate(t, wetPlace, r, table, weather.SkyOptions{}).Factors(nil, r, 0)
	s := mustCalibrate(t, wetPlace, r, table, weather.SkyOptions{Variability: 1})
	factors := s.Factors(nil, r, 0)
	var dry, wet, odds, next []float64
	for i, f := range factors {
		left := f / plain[i]
		if r.RainMM[i] == 0 {
			dry = append(dry, left)
		} else if r.RainMM[i] > 3 {
			wet = append(wet, left)
		}
		if i > 0 && plain[i] < 1 && plain[i-1] < 1 {
			odds = append(odds, logOdds(factors[i-1])-logOdds(plain[i-1]))
			next = append(next, logOdds(f)-logOdds(plain[i]))
		}
	}
	if sd := spread(dry) / mean(dry); sd < 0.10 || sd > 0.20 {
		t.Errorf("dry days: relative spread %.2f, measured 0.15", sd)
	}
	t.Logf("relative spread dry %.3f, wet %.3f; lag one %.2f", spread(dry)/mean(dry), spread(wet)/mean(wet), correlation(odds, next))
	if sd := spread(wet) / mean(wet); sd < 0.25 || sd > 0.5 {
		t.Errorf("wet days: relative spread %.2f, measured 0.3 to 0.5", sd)
	}
	if c := correlation(odds, next); c < 0.25 || c > 0.45 {
		t.Errorf("a day's residual and the next day's: correlation %.2f, measured 0.25 to 0.4", c)
	}
}

func logOdds(f float64) float64 { return math.Log(f / (1 - f)) }

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
