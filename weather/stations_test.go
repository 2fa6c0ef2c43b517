package weather_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"sunrill/weather"
)

// station is a place with years of measured daily sun, rain and temperature.
type station struct {
	name  string
	place weather.Place
	dark  [3]time.Month // its dark months
}

// stations are four of the weather files that the DSSAT and PCSE crop models
// publish; ../shared/data says more of each.
var stations = []station{
	{"rothamsted", weather.Place{LatDeg: 52.5, LonDeg: -0.5, ElevationM: 100}, [3]time.Month{11, 12, 1}},
	{"wageningen", weather.Place{LatDeg: 51.97, LonDeg: 5.67, UTCOffsetH: 1}, [3]time.Month{11, 12, 1}},
	{"lushnje", weather.Place{LatDeg: 40.94, LonDeg: 19.69, UTCOffsetH: 1}, [3]time.Month{11, 12, 1}},
	{"pergamino", weather.Place{LatDeg: -33.93, LonDeg: -60.55, ElevationM: 65, UTCOffsetH: -4}, [3]time.Month{5, 6, 7}},
}

// days reads the station's record and its sun in kWh/m², NaN where the day is
// missing. A gap in rain or temperature takes the day before.
func (st station) days(t testing.TB) (weather.Record, []float64) {
	t.Helper()
	f, err := os.Open("../../shared/data/daily_sun/" + st.name + ".csv")
	if os.IsNotExist(err) {
		t.Skip("the stations' days are not here")
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	start, err := time.ParseInLocation("2006-01-02", rows[1][0], st.place.Zone())
	if err != nil {
		t.Fatal(err)
	}
	r := weather.Record{Start: start}
	var sun []float64
	last := [3]float64{0, 10, 0}
	for i, row := range rows[1:] {
		if row[0] != start.AddDate(0, 0, i).Format("2006-01-02") {
			t.Fatalf("%s: day %d is %s", st.name, i, row[0])
		}
		kWh := math.NaN()
		if x, err := strconv.ParseFloat(row[1], 64); err == nil {
			kWh = x
		}
		sun = append(sun, kWh)
		for k := range last {
			if x, err := strconv.ParseFloat(row[2+k], 64); err == nil {
				last[k] = x
			}
		}
		r.TMinC, r.TMaxC, r.RainMM = append(r.TMinC, last[0]), append(r.TMaxC, max(last[0], last[1])), append(r.RainMM, last[2])
	}
	return r, sun
}

// darkScores are the sums of the worst 3, 7 and 14 days of each whole dark
// season, and the spread and the lag-one correlation of its days' clearness.
type darkScores struct {
	worst       [3][]float64
	spread, lag float64
}

func (st station) score(r weather.Record, sun, outside []float64) darkScores {
	var s darkScores
	var clearness, before, after []float64
	for i := range sun {
		if day := r.Start.AddDate(0, 0, i); slices.Contains(st.dark[:], day.Month()) && !math.IsNaN(sun[i]) {
			k := sun[i] / outside[i]
			clearness = append(clearness, k)
			if i > 0 && !math.IsNaN(sun[i-1]) && slices.Contains(st.dark[:], day.AddDate(0, 0, -1).Month()) {
				before, after = append(before, sun[i-1]/outside[i-1]), append(after, k)
			}
		}
	}
	s.spread, s.lag = spread(clearness), correlation(before, after)
	for y := r.Start.Year(); ; y++ {
		from := r.Index(time.Date(y, st.dark[0], 1, 0, 0, 0, 0, r.Start.Location()))
		if from < 0 {
			continue
		}
		if from+92 > len(sun) {
			return s
		}
		for k, n := range [3]int{3, 7, 14} {
			worst := math.Inf(1)
			for d := from; d+n <= from+92; d++ {
				sum := 0.0
				for _, x := range sun[d : d+n] {
					sum += x
				}
				if sum < worst { // never where a day is missing
					worst = sum
				}
			}
			s.worst[k] = append(s.worst[k], worst)
		}
	}
}

// Given the months' means and the days' rain, with and without temperatures, a
// modelled sky is held against the measured one over 20 draws. No constant of
// the laws was fitted to these stations. Wanted are sums of the worst days of
// 0.85 to 1.15 of the measured, in the median over winters and as a station's
// mean. That is met with temperatures for 7 and 14 days, and these fail the
// test. It is not met for 3 days, nor with rain alone, nor are the spread of days
// and their lag-one correlation: these are logged, so that a better law can be
// told from a worse one.
func TestSkiesAgainstStations(t *testing.T) {
	for _, st := range stations {
		r, sun := st.days(t)
		tr := weather.NewTrack(st.place, weather.Year{Start: r.Start, Days: r.Days()}, 4)
		var table weather.SunTable
		var n [12]float64
		for i, x := range sun {
			if m := r.Start.AddDate(0, 0, i).Month() - 1; !math.IsNaN(x) {
				table.SunHours[m] += x
				n[m]++
			}
		}
		for m := range n {
			table.SunHours[m] /= n[m]
		}
		truth := st.score(r, sun, tr.OutsideKWh)
		for _, temperatures := range []bool{false, true} {
			record := r
			if !temperatures {
				record.TMinC, record.TMaxC = nil, nil
			}
			s := mustCalibrate(t, st.place, record, table, weather.SkyOptions{Variability: 1, Seed: 1})
			const draws = 20
			var width, lag float64
			var ratio [3][]float64
			var sums, wants [3]float64
			for i := range draws {
				d := s.Draw(i)
				made := d.SunHours(nil, r.Start, d.Factors(nil, record, 0))
				for k, x := range sun {
					if math.IsNaN(x) {
						made[k] = x
					}
				}
				got := st.score(r, made, tr.OutsideKWh)
				width += got.spread / truth.spread / draws
				lag += (got.lag - truth.lag) / draws
				for k := range ratio {
					for w, x := range got.worst[k] {
						ratio[k] = append(ratio[k], x/truth.worst[k][w])
						sums[k] += x
						wants[k] += truth.worst[k][w]
					}
				}
			}
			for k := range ratio {
				slices.Sort(ratio[k])
			}
			mid := func(k int) float64 { return ratio[k][len(ratio[k])/2] }
			t.Logf("%-10s temperatures %-5v: spread %.2f, lag one %+.2f (measured %.2f), worst 3 days %.2f (mean %.2f), 7 days %.2f (%.2f), 14 days %.2f (%.2f)",
				st.name, temperatures, width, lag, truth.lag, mid(0), sums[0]/wants[0], mid(1), sums[1]/wants[1], mid(2), sums[2]/wants[2])
			for k := 1; temperatures && k < 3; k++ {
				for _, share := range [2]float64{mid(k), sums[k] / wants[k]} {
					if math.Abs(share-1) > 0.15 {
						t.Errorf("%s: the worst %d days have %.2f of the measured sun, want within 15 %%", st.name, [3]int{3, 7, 14}[k], share)
					}
				}
			}
		}
	}
}
