package weather_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"sunrill/weather"
)

// wetPlace and its table are a made-up valley with wet winters.
var wetPlace = weather.Place{LatDeg: 43.5, LonDeg: -123.3, ElevationM: 300, UTCOffsetH: -8}

var wetTable = weather.SunTable{SunHours: [12]float64{1.4, 2.1, 3.2, 4.5, 5.6, 6.4, 6.9, 5.9, 4.4, 2.7, 1.5, 1.1}}

// madeRecord makes up rain with wet winters, and temperatures whose range
// shrinks on wet days.
func madeRecord(p weather.Place, years int, temperatures bool) weather.Record {
	r := weather.Record{Start: time.Date(2008, 10, 1, 0, 0, 0, 0, p.Zone())}
	end := r.Start.AddDate(years, 0, 0)
	rng := rand.New(rand.NewPCG(1, 2))
	for t := r.Start; t.Before(end); t = t.AddDate(0, 0, 1) {
		winter := math.Cos(2 * math.Pi * float64(t.YearDay()-15) / 365) // 1 in January
		rain := 0.0
		if rng.Float64() < 0.35+0.3*winter {
			rain = rng.ExpFloat64() * (7 + 4*winter)
		}
		r.RainMM = append(r.RainMM, rain)
		if temperatures {
			mean, span := 11-8*winter, 10-4*winter+3*rng.NormFloat64()
			if rain > 1 {
				span *= 0.6
			}
			span = math.Max(span, 1)
			r.TMinC = append(r.TMinC, mean-span/2)
			r.TMaxC = append(r.TMaxC, mean+span/2)
		}
	}
	return r
}

func mustCalibrate(t testing.TB, p weather.Place, r weather.Record, table weather.SunTable, o weather.SkyOptions) *weather.Sky {
	t.Helper()
	s, err := weather.Calibrate(p, r, table, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// monthMeans returns the mean of a daily quantity in each month of the record.
func monthMeans(r weather.Record, daily []float64) [12]float64 {
	var sum, n [12]float64
	for i, v := range daily {
		m := r.Start.AddDate(0, 0, i).Month() - 1
		sum[m] += v
		n[m]++
	}
	for m := range sum {
		sum[m] /= n[m]
	}
	return sum
}

func TestMonthMeansAreKept(t *testing.T) {
	for _, temperatures := range []bool{false, true} {
		for _, variability := range []float64{0, 1, 2} {
			r := madeRecord(wetPlace, 12, temperatures)
			o := weather.SkyOptions{Variability: variability, Seed: 7}
			s := mustCalibrate(t, wetPlace, r, wetTable, o)
			factors := s.Factors(nil, r, 0)
			for m, got := range monthMeans(r, s.SunHours(nil, r.Start, factors)) {
				if want := wetTable.SunHours[m]; math.Abs(got-want) > 0.0005*want {
					t.Errorf("temperatures %v, variability %g, %v: %.4f sun hours, the table has %g",
						temperatures, variability, time.Month(m+1), got, want)
				}
			}
			// The hours of every water year add up to the same, on the two
			// lengths of year that a homestead keeps.
			tracks := map[int]*weather.Track{}
			var hourly []float64
			for _, y := range weather.WaterYears(r, time.October, 1) {
				tr := tracks[y.Days]
				if tr == nil {
					tr = weather.NewTrack(wetPlace, y, 4)
					tracks[y.Days] = tr
				}
				from := r.Index(y.Start)
				sky := s.Hours(nil, tr, factors[from:from+y.Days])
				hourly = append(hourly, weather.DayKWh(nil, sky.GHI)...)
			}
			for m, got := range monthMeans(r, hourly) {
				if want := wetTable.SunHours[m]; math.Abs(got-want) > 0.005*want {
					t.Errorf("hourly, %v: %.4f sun hours, the table has %g", time.Month(m+1), got, want)
				}
			}
			for i, f := range factors {
				if !(f >= 0 && f <= 1) {
					t.Fatalf("day %d: factor %g is outside 0 to 1", i, f)
				}
			}
		}
	}
}

// Sun hours observed on panels that a hill shades: the panels get what the
// table says. The stand-in for the panels is a plane that sees the beam only
// above 15°.
func TestMonthMeansAreKeptOnPanels(t *testing.T) {
	r := madeRecord(wetPlace, 6, false)
	onPanel := func(p weather.Path) func(dst, ghi, dni, dhi []float64) []float64 {
		return func(_, ghi, dni, dhi []float64) []float64 {
			dst := make([]float64, len(ghi))
			for h := range ghi {
				dst[h] = 0.9 * dhi[h]
				if p.CosZenith[h] > math.Sin(15*degree) {
					dst[h] += 1.3 * dni[h] * p.CosZenith[h]
				}
			}
			return dst
		}
	}
	table := weather.SunTable{SunHours: [12]float64{1.0, 1.7, 3.0, 4.2, 5.2, 6.0, 6.4, 5.8, 4.3, 2.5, 1.2, 0.8}}
	s := mustCalibrate(t, wetPlace, r, table, weather.SkyOptions{Variability: 1, OnPanel: onPanel})
	factors := s.Factors(nil, r, 0)
	for m, got := range monthMeans(r, s.SunHours(nil, r.Start, factors)) {
		if want := table.SunHours[m]; math.Abs(got-want) > 0.0005*want {
			t.Errorf("%v: %.4f sun hours, the table has %g", time.Month(m+1), got, want)
		}
	}
	var hourly []float64
	for _, y := range weather.WaterYears(r, time.October, 1) {
		tr := weather.NewTrack(wetPlace, y, 6)
		from := r.Index(y.Start)
		sky := s.Hours(nil, tr, factors[from:from+y.Days])
		hourly = append(hourly, weather.DayKWh(nil, onPanel(tr.Path)(nil, sky.GHI, sky.DNI, sky.DHI))...)
	}
	for m, got := range monthMeans(r, hourly) {
		if want := table.SunHours[m]; math.Abs(got-want) > 0.005*want {
			t.Errorf("the hours on the panels, %v: %.4f sun hours, the table has %g", time.Month(m+1), got, want)
		}
	}
	table.SunHours[11] = 3
	_, err := weather.Calibrate(wetPlace, r, table, weather.SkyOptions{OnPanel: onPanel})
	var impossible *weather.ImpossibleSunError
	if !errors.As(err, &impossible) || !impossible.OnPanel || !strings.Contains(err.Error(), "December") {
		t.Errorf("3 sun hours in December behind a hill: error %v", err)
	}
}

func TestImpossibleSunIsTold(t *testing.T) {
	r := madeRecord(wetPlace, 2, false)
	table := wetTable
	table.SunHours[0], table.SunHours[6] = 6, 9.9
	_, err := weather.Calibrate(wetPlace, r, table, weather.SkyOptions{})
	var impossible *weather.ImpossibleSunError
	if !errors.As(err, &impossible) || len(impossible.Months) != 2 {
		t.Fatalf("6 sun hours in January and 9.9 in July: error %v", err)
	}
	clear := weather.ClearSunHours(wetPlace)
	for _, m := range impossible.Months {
		if math.Abs(m.ClearKWh-clear[m.Month-1]) > 0.01*m.ClearKWh {
			t.Errorf("%v: a clear sky is told as %.2f, ClearSunHours has %.2f", m.Month, m.ClearKWh, clear[m.Month-1])
		}
	}
	// The clear sky itself is no error, and gives clear days.
	for m := range table.SunHours {
		table.SunHours[m] = clear[m]
	}
	s := mustCalibrate(t, wetPlace, r, table, weather.SkyOptions{Variability: 1})
	for i, f := range s.Factors(nil, r, 0) {
		if f < 0.95 {
			t.Fatalf("day %d of a year of clear skies has the factor %.3f", i, f)
		}
	}
}

// The sky of a day depends on the seed and the day, not on the year it is
// asked within; and a synthetic year of its own number has a sky of its own.
func TestSameDaySameSky(t *testing.T) {
	r := madeRecord(wetPlace, 8, false)
	o := weather.SkyOptions{Variability: 1, Seed: 3}
	s := mustCalibrate(t, wetPlace, r, wetTable, o)
	whole := s.Factors(nil, r, 0)
	for _, y := range weather.WaterYears(r, time.October, 1) {
		from := r.Index(y.Start)
		for i, f := range s.Factors(nil, r.Slice(from, from+y.Days), 0) {
			if f != whole[from+i] {
				t.Fatalf("day %d of %d: %v alone, %v within the record", i, y.Number(), f, whole[from+i])
			}
		}
	}
	again := mustCalibrate(t, wetPlace, r, wetTable, o).Factors(nil, r, 0)
	moved := s.Factors(nil, r, 366)
	other := mustCalibrate(t, wetPlace, r, wetTable, weather.SkyOptions{Variability: 1, Seed: 4}).Factors(nil, r, 0)
	movedSame, otherSame := 0, 0
	for i := range whole {
		if again[i] != whole[i] {
			t.Fatalf("day %d: two calibrations with one seed give %v and %v", i, whole[i], again[i])
		}
		if moved[i] == whole[i] {
			movedSame++
		}
		if other[i] == whole[i] {
			otherSame++
		}
	}
	if n := len(whole) / 10; movedSame > n || otherSame > n {
		t.Errorf("of %d days %d are alike under another day number, %d under another seed", len(whole), movedSame, otherSame)
	}
}

// A dry winter is a sunnier one: the dry half of the Januaries has more sun
// than the wet half, and their mean is the table's.
func TestDryWinterIsSunnier(t *testing.T) {
	for _, temperatures := range []bool{false, true} {
		r := madeRecord(wetPlace, 20, temperatures)
		s := mustCalibrate(t, wetPlace, r, wetTable, weather.SkyOptions{Variability: 1})
		sun := s.SunHours(nil, r.Start, s.Factors(nil, r, 0))
		var rains, suns []float64
		for _, y := range weather.WaterYears(r, time.October, 1) {
			from := r.Index(y.Start)
			rain, kWh := 0.0, 0.0
			for d := from; d < from+150; d++ {
				rain += r.RainMM[d]
				kWh += sun[d]
			}
			rains, suns = append(rains, rain), append(suns, kWh)
		}
		if c := correlation(rains, suns); c > -0.4 {
			t.Errorf("temperatures %v: a winter's rain and its sun have the correlation %.2f, want below -0.4", temperatures, c)
		}
	}
}

// A record of one dry day after another, and a month without a day in it, are
// odd but no error.
func TestOddRecords(t *testing.T) {
	dry := weather.Record{Start: time.Date(2020, 1, 1, 0, 0, 0, 0, wetPlace.Zone()), RainMM: make([]float64, 40)}
	s := mustCalibrate(t, wetPlace, dry, wetTable, weather.SkyOptions{Variability: 1})
	june := dry
	june.Start = time.Date(2020, 6, 1, 0, 0, 0, 0, wetPlace.Zone())
	for i, f := range s.Factors(nil, june, 0) {
		if !(f > 0 && f <= 1) {
			t.Fatalf("day %d of a June that the record lacks: factor %g", i, f)
		}
	}
}

func ExampleCalibrate() {
	p := weather.Place{LatDeg: 43.5, LonDeg: -123.3, UTCOffsetH: -8}
	record := weather.Record{Start: time.Date(2020, 10, 1, 0, 0, 0, 0, p.Zone()), RainMM: make([]float64, 365)}
	for d := 0; d < 365; d += 3 {
		record.RainMM[d] = 10 // it rains every third day
	}
	table := weather.SunTable{SunHours: [12]float64{1.4, 2.1, 3.2, 4.5, 5.6, 6.4, 6.9, 5.9, 4.4, 2.7, 1.5, 1.1}}
	sky, err := weather.Calibrate(p, record, table, weather.SkyOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	factors := sky.Factors(nil, record, 0)
	sun := sky.SunHours(nil, record.Start, factors)
	fmt.Printf("1 and 2 October: %.1f and %.1f sun hours\n", sun[0], sun[1])
	// Output: 1 and 2 October: 2.3 and 3.6 sun hours
}

// Two days of a month stand for it: against all of its days.
func TestClearSunHoursAgainstEveryDay(t *testing.T) {
	for _, p := range []weather.Place{wetPlace, {LatDeg: -35, LonDeg: 149, UTCOffsetH: 10}, {LatDeg: 1, LonDeg: 30, UTCOffsetH: 2}, {LatDeg: 60, LonDeg: 10, UTCOffsetH: 1}} {
		y := weather.Year{Start: time.Date(2021, 3, 1, 0, 0, 0, 0, p.Zone()), Days: 365} // the middle of the leap cycle
		tr := weather.NewTrack(p, y, 4)
		var sum, n [12]float64
		for d, kWh := range tr.ClearKWh {
			m := y.Start.AddDate(0, 0, d).Month() - 1
			sum[m] += kWh
			n[m]++
		}
		for m, got := range weather.ClearSunHours(p) {
			if want := sum[m] / n[m]; math.Abs(got-want) > 0.002*want+0.001 {
				t.Errorf("latitude %g, %v: %.4f kWh/m² by two days, %.4f by all", p.LatDeg, time.Month(m+1), got, want)
			}
		}
	}
}

// A table of a place at the edge of the polar night has the light of dawn.
func TestDawnIsPossible(t *testing.T) {
	tromso := weather.Place{LatDeg: 69.6, LonDeg: 18.9, UTCOffsetH: 1}
	r := madeRecord(tromso, 2, false)
	table := weather.SunTable{SunHours: [12]float64{0.04, 0.4, 1.5, 3.2, 4.4, 5.0, 4.6, 3.2, 1.8, 0.7, 0.09, 0.01}}
	s := mustCalibrate(t, tromso, r, table, weather.SkyOptions{Variability: 1})
	for i, f := range s.Factors(nil, r, 0) {
		if !(f >= 0 && f <= 1) {
			t.Fatalf("day %d has the factor %g", i, f)
		}
	}
	table.SunHours[11] = 0.2
	if _, err := weather.Calibrate(tromso, r, table, weather.SkyOptions{}); err == nil {
		t.Error("0.2 sun hours a day in the polar night pass")
	}
}
