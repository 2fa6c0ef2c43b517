package weather

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// darkDays runs a bank of so many days' use on panels that give the same share
// of each day's sun, day by day, and returns the days a year that end short. The
// panels give need times the day's use in the mean of the dark season. sun is
// that of the record's days.
func (st *station) darkDays(sun []float64, need, bankDays float64) float64 {
	whole, days := make([]float64, len(sun)), 0.0
	for i, x := range sun {
		if whole[i] = x; math.IsNaN(st.sun[i]) {
			whole[i] = math.NaN()
		} else {
			days++
		}
	}
	return 365.25 * st.short(whole, need, bankDays) / days
}

// short returns the days that end short.
func (st *station) short(sun []float64, need, bankDays float64) (days float64) {
	season, n := 0.0, 0.0
	for i, x := range st.sun {
		if st.isDark(st.month[i]) && !math.IsNaN(x) {
			season += x
			n++
		}
	}
	stored := bankDays
	for _, x := range sun {
		if math.IsNaN(x) {
			stored = bankDays // a gap in the record ends a spell
			continue
		}
		stored = math.Min(bankDays, stored+need*x/(season/n)-1)
		if stored < 0 {
			days++
			stored = 0
		}
	}
	return days
}

// What a house on sun alone goes short by must not hang on whether the record
// has temperatures, and must be what the measured sun would have left: four
// stations, three banks, 20 skies each. The mean with temperatures lies within
// the 8-in-10 range of the skies with rain alone and the other way round; with
// banks of 2 and 4 days both lie within 0.65 to 1.5 of the measured days (a bank
// of 8 days is short on too few days to tell).
func TestDarkDaysAgreeWithAndWithoutTemperatures(t *testing.T) {
	banks := [3]float64{2, 4, 8} // days
	tellings := [3]string{"months alone", "rain alone", "rain and temperatures"}
	const need, skies = 1.15, 20
	for _, st := range stations(t) {
		var days [3][3][]float64 // by bank and telling
		for k, what := range tellings {
			record := st.telling(what)
			s, err := Calibrate(st.place, record, st.table, SkyOptions{Variability: 1, Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			for i := range skies {
				d := s.Draw(i)
				sun := d.SunHours(nil, record.Start, d.Factors(nil, record, 0))
				for b, bank := range banks {
					days[b][k] = append(days[b][k], st.darkDays(sun, need, bank))
				}
			}
		}
		for b, bank := range banks {
			measured := st.darkDays(st.sun, need, bank)
			t.Logf("%s, bank of %g days: measured %.1f dark days a year", st.name, bank, measured)
			var mean [3]float64
			for k, what := range tellings {
				slices.Sort(days[b][k])
				mean[k] = stat.Mean(days[b][k], nil)
				t.Logf("    %s %.1f (%.1f to %.1f)", what, mean[k], days[b][k][skies/10], days[b][k][skies-1-skies/10])
				if x := mean[k] / measured; bank < 8 && (x < 0.65 || x > 1.5) {
					t.Errorf("%s, bank of %g days, %s: %.1f dark days a year, under the measured sun %.1f", st.name, bank, what, mean[k], measured)
				}
			}
			for k, other := range [3]int{1: 2, 2: 1} {
				if d := days[b][other]; k > 0 && (mean[k] < d[skies/10] || mean[k] > d[skies-1-skies/10]) {
					t.Errorf("%s, bank of %g days: %.1f dark days a year with %s, outside of what %s leaves", st.name, bank, mean[k], tellings[k], tellings[other])
				}
			}
		}
	}
}
