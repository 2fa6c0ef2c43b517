package weather

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
)

// station is a place with years of measured daily sun, rain and temperature.
type station struct {
	name         string
	place        Place
	dark         [3]time.Month // its dark months
	fromSunshine bool          // its sun is worked out from hours of sunshine

	record  Record
	sun     []float64 // kWh/m², NaN where the day is missing
	track   *Track
	month   []int // 0 is January
	table   SunTable
	outside [12]float64 // mean of the month outside the air, kWh/m² a day
}

// stations reads four of the weather files that the DSSAT and PCSE crop models
// publish: Rothamsted in England 1980–1999, Wageningen in the Netherlands
// 2004–2008, Lushnje in Albania 1965–1984, Pergamino in Argentina 1988–2006. The
// suns of the last two are worked out from hours of sunshine: on a tenth of the
// days of winter they are the same darkest share of the radiation outside the
// air, 0.21 and 0.18, where the others go down to 0.03 and 0.05.
func stations(t testing.TB) []*station {
	t.Helper()
	all := []*station{
		{name: "rothamsted", place: Place{LatDeg: 52.5, LonDeg: -0.5, ElevationM: 100}, dark: [3]time.Month{11, 12, 1}},
		{name: "wageningen", place: Place{LatDeg: 51.97, LonDeg: 5.67, UTCOffsetH: 1}, dark: [3]time.Month{11, 12, 1}},
		{name: "lushnje", place: Place{LatDeg: 40.94, LonDeg: 19.69, UTCOffsetH: 1}, dark: [3]time.Month{11, 12, 1}, fromSunshine: true},
		{name: "pergamino", place: Place{LatDeg: -33.93, LonDeg: -60.55, ElevationM: 65, UTCOffsetH: -4}, dark: [3]time.Month{5, 6, 7}, fromSunshine: true},
	}
	for _, st := range all {
		st.read(t)
	}
	return all
}

// read reads the station's days. A gap in rain or temperature takes the day
// before.
func (st *station) read(t testing.TB) {
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
	r := Record{Start: start}
	last := [3]float64{0, 10, 0}
	var n [12]float64
	for i, row := range rows[1:] {
		day := start.AddDate(0, 0, i)
		if row[0] != day.Format("2006-01-02") {
			t.Fatalf("%s: day %d is %s", st.name, i, row[0])
		}
		m := int(day.Month()) - 1
		st.month = append(st.month, m)
		kWh := math.NaN()
		if x, err := strconv.ParseFloat(row[1], 64); err == nil {
			kWh = x
			st.table.SunHours[m] += x
			n[m]++
		}
		st.sun = append(st.sun, kWh)
		for k := range last {
			if x, err := strconv.ParseFloat(row[2+k], 64); err == nil {
				last[k] = x
			}
		}
		r.TMinC, r.TMaxC, r.RainMM = append(r.TMinC, last[0]), append(r.TMaxC, max(last[0], last[1])), append(r.RainMM, last[2])
	}
	st.record = r
	st.track = NewTrack(st.place, Year{Start: start, Days: r.Days()}, 4)
	var days [12]float64
	for i, kWh := range st.track.ExtraterrestrialKWh {
		st.outside[st.month[i]] += kWh
		days[st.month[i]]++
	}
	for m := range n {
		st.table.SunHours[m] /= n[m]
		st.outside[m] /= days[m]
	}
}

func (st *station) isDark(month int) bool { return slices.Contains(st.dark[:], time.Month(month+1)) }

// without returns the record as far as it is told of: nothing but the months'
// numbers, the rain, or rain and temperatures.
func (st *station) telling(what string) Record {
	r := st.record
	switch what {
	case "months alone":
		return Record{Start: r.Start, RainMM: make([]float64, r.Days())}
	case "rain alone":
		r.TMinC, r.TMaxC = nil, nil
	}
	return r
}

// darkScores are the sums of the worst 3, 7 and 14 days of each whole dark
// season, and the spread and the lag-one correlation of its days' clearness.
type darkScores struct {
	worst       [3][]float64
	spread, lag float64
}

var worstDays = [3]int{3, 7, 14}

func (st *station) score(sun []float64) darkScores {
	var s darkScores
	var clearness, before, after []float64
	for i := range sun {
		if !st.isDark(st.month[i]) || math.IsNaN(sun[i]) {
			continue
		}
		k := sun[i] / st.track.ExtraterrestrialKWh[i]
		clearness = append(clearness, k)
		if i > 0 && !math.IsNaN(sun[i-1]) && st.isDark(st.month[i-1]) {
			before, after = append(before, sun[i-1]/st.track.ExtraterrestrialKWh[i-1]), append(after, k)
		}
	}
	s.spread, s.lag = stat.StdDev(clearness, nil), stat.Correlation(before, after, nil)
	r := st.record
	for y := r.Start.Year(); ; y++ {
		from := r.Index(time.Date(y, st.dark[0], 1, 0, 0, 0, 0, r.Start.Location()))
		if from < 0 {
			continue
		}
		if from+92 > len(sun) {
			return s
		}
		for k, n := range worstDays {
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

// stationScore is a modelled sky over the measured one, over draws.
type stationScore struct {
	spread      float64 // of the dark months' clearness, modelled over measured
	lag         float64 // modelled less measured
	measuredLag float64
	median      [3]float64 // of the worst 3, 7 and 14 days' sums, modelled over measured, winter by winter
	mean        [3]float64 // of the sums over all winters
	months      float64    // the worst month's mean over the table's, less 1
}

// scored runs 20 draws under the law l.
func (st *station) scored(t testing.TB, l *law, what string) stationScore {
	const draws = 20
	record := st.telling(what)
	s, err := calibrate(l, st.place, record, st.table, SkyOptions{Variability: 1, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	truth := st.score(st.sun)
	out := stationScore{measuredLag: truth.lag}
	var ratio [3][]float64
	var sums, wants [3]float64
	for i := range draws {
		d := s.Draw(i)
		made := d.SunHours(nil, record.Start, d.Factors(nil, record, 0))
		var month, n [12]float64
		for i, x := range made {
			month[st.month[i]] += x
			n[st.month[i]]++
		}
		for m := range month {
			out.months = max(out.months, math.Abs(month[m]/n[m]/st.table.SunHours[m]-1))
		}
		for k, x := range st.sun {
			if math.IsNaN(x) {
				made[k] = x
			}
		}
		got := st.score(made)
		out.spread += got.spread / truth.spread / draws
		out.lag += (got.lag - truth.lag) / draws
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
		out.median[k], out.mean[k] = ratio[k][len(ratio[k])/2], sums[k]/wants[k]
	}
	return out
}
