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

var eugene = weather.Place{LatDeg: 44.05, LonDeg: -123.22, ElevationM: 110, UTCOffsetH: -8}

// eugeneYear reads the typical meteorological year of Eugene, Oregon (NREL,
// TMY3, 2008): hourly sun and temperature of a wet-winter place. Its stamps are
// the hours' ends, so the first row is the hour from midnight on.
func eugeneYear(t testing.TB) weather.MeasuredSun {
	t.Helper()
	f, err := os.Open("../../shared/data/tmy3_eugene_hourly.csv")
	if os.IsNotExist(err) {
		t.Skip("the hourly year of Eugene is not here")
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	m := weather.MeasuredSun{Start: time.Date(2021, 1, 1, 0, 0, 0, 0, eugene.Zone()), Repeat: true}
	for _, row := range rows[1:] {
		var v [4]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[3+i], 64); err != nil {
				t.Fatal(err)
			}
		}
		m.TempC = append(m.TempC, v[0])
		m.GHI = append(m.GHI, v[1])
		m.DNI = append(m.DNI, v[2])
		m.DHI = append(m.DHI, v[3])
	}
	if len(m.GHI) != 8760 {
		t.Fatalf("the year of Eugene has %d hours", len(m.GHI))
	}
	return m
}

// spells is what a bank feels of a year of daily sun: the spread of the daily
// clearness (over the extraterrestrial radiation) by season, winter first, the
// darkest seven days in a row of December and January, and the sum of their
// seven darkest.
type spells struct {
	spread        [4]float64
	week, darkest float64
}

func spellsOf(tr *weather.Track, sun []float64) spells {
	var s spells
	var clearness [4][]float64
	var midwinter []float64
	month := func(d int) time.Month { return tr.Year.Start.AddDate(0, 0, d).Month() }
	dark := func(d int) bool { return month(d) == time.December || month(d) == time.January }
	s.week = math.Inf(1)
	for d := range sun {
		season := int(month(d)) % 12 / 3
		clearness[season] = append(clearness[season], sun[d]/tr.ExtraterrestrialKWh[d])
		if !dark(d) {
			continue
		}
		midwinter = append(midwinter, sun[d])
		week, whole := 0.0, true
		for k := d; k < d+7; k++ {
			week += sun[k%len(sun)]
			whole = whole && dark(k%len(sun))
		}
		if whole {
			s.week = math.Min(s.week, week)
		}
	}
	for i := range clearness {
		s.spread[i] = spread(clearness[i])
	}
	slices.Sort(midwinter)
	for _, kWh := range midwinter[:7] {
		s.darkest += kWh
	}
	return s
}

// shares returns s over o: four seasons' spreads, the worst week, the seven
// darkest days.
func (s spells) shares(o spells) (out [6]float64) {
	for i := range s.spread {
		out[i] = s.spread[i] / o.spread[i]
	}
	out[4], out[5] = s.week/o.week, s.darkest/o.darkest
	return out
}

// Given only the months' means and the temperatures of Eugene's typical year,
// the modelled days must be as spread as the record's in each season, and
// midwinter's worst week and seven darkest days as dark, within 25 %. One seed
// scatters (a season has 90 days, a winter one worst week), so it is the median
// over seeds that is held to it. Plain Bristow and Campbell stands beside it.
func TestDullSpellsAgainstEugene(t *testing.T) {
	m := eugeneYear(t)
	tr := weather.NewTrack(eugene, yearFrom(eugene, 2021, time.January, 1), 6)
	seen := weather.DayKWh(nil, m.GHI)
	r := weather.Record{Start: m.Start, RainMM: make([]float64, 365)}
	for d := range seen {
		day := m.TempC[24*d : 24*d+24]
		r.TMinC = append(r.TMinC, slices.Min(day))
		r.TMaxC = append(r.TMaxC, slices.Max(day))
	}
	table := weather.SunTable{SunHours: monthMeans(r, seen)}
	truth := spellsOf(tr, seen)
	names := [6]string{"winter's spread", "spring's spread", "summer's spread", "autumn's spread", "the worst week", "the seven darkest days"}

	const seeds = 60
	var all [6][]float64
	held := 0
	for seed := range uint64(seeds) {
		s := mustCalibrate(t, eugene, r, table, weather.SkyOptions{Variability: 1, Seed: seed})
		got := spellsOf(tr, s.SunHours(nil, r.Start, s.Factors(nil, r, 0))).shares(truth)
		ok := true
		for i, x := range got {
			all[i] = append(all[i], x)
			ok = ok && math.Abs(x-1) <= 0.25
		}
		if ok {
			held++
		}
	}
	plain := spellsOf(tr, plainBristowCampbell(tr, r, table)).shares(truth)
	for i, name := range names {
		slices.Sort(all[i])
		mid := (all[i][seeds/2-1] + all[i][seeds/2]) / 2
		t.Logf("%s: median %.2f of the record's (seeds 10 to 90 %%: %.2f to %.2f); plain law %.2f",
			name, mid, all[i][seeds/10], all[i][seeds-seeds/10-1], plain[i])
		if math.Abs(mid-1) > 0.25 {
			t.Errorf("%s is %.2f of the record's, want within 25 %%", name, mid)
		}
	}
	t.Logf("all six within 25 %% under %d of %d seeds", held, seeds)
	if held < seeds/2 {
		t.Errorf("all six are within 25 %% under %d of %d seeds only", held, seeds)
	}
	if math.Abs(plain[5]-1) < 0.25 {
		t.Errorf("the plain law has %.2f of the darkest days' sun: the floor is no longer needed", plain[5])
	}
}

// bristowCampbell returns the fraction of the extraterrestrial radiation that
// reaches the ground on a day of a range of temperature, the month's mean range
// given:
//
//	T = 0.7 [1 − exp(−B ΔT^2.4)],  B = 0.036 exp(−0.154 mean ΔT of the month)
//
// Ref: [BC84] of the package.
func bristowCampbell(rangeK, monthRangeK float64) float64 {
	b := 0.036 * math.Exp(-0.154*monthRangeK)
	return 0.7 * (1 - math.Exp(-b*math.Pow(math.Max(0, rangeK), 2.4)))
}

// plainBristowCampbell scales each month of the plain law to the table, capped
// at the clear sky.
func plainBristowCampbell(tr *weather.Track, r weather.Record, table weather.SunTable) []float64 {
	n := r.Days()
	ranges := make([]float64, n)
	for d := range ranges {
		ranges[d] = math.Max(0, r.TMaxC[d]-(r.TMinC[d]+r.TMinC[min(d+1, n-1)])/2)
	}
	months := monthMeans(r, ranges)
	sun := make([]float64, n)
	scale := [12]float64{}
	for m := range scale {
		lo, hi := 0.0, 20.0
		for range 50 {
			scale[m] = (lo + hi) / 2
			for d := range sun {
				k := r.Start.AddDate(0, 0, d).Month() - 1
				sun[d] = math.Min(tr.ClearKWh[d], scale[k]*tr.ExtraterrestrialKWh[d]*bristowCampbell(ranges[d], months[k]))
			}
			if monthMeans(r, sun)[m] < table.SunHours[m] {
				lo = scale[m]
			} else {
				hi = scale[m]
			}
		}
	}
	return sun
}

// The clear sky is above the brightest days of a real year and not far above:
// a day's radiation over it reaches 0.95 to 1.05 in the year's best 5 %.
func TestClearSkyAgainstEugene(t *testing.T) {
	m := eugeneYear(t)
	tr := weather.NewTrack(eugene, yearFrom(eugene, 2021, time.January, 1), 6)
	var fraction []float64
	for d, kWh := range weather.DayKWh(nil, m.GHI) {
		fraction = append(fraction, kWh/tr.ClearKWh[d])
	}
	slices.Sort(fraction)
	if best := fraction[365*95/100]; best < 0.95 || best > 1.05 {
		t.Errorf("the brightest 5 %% of days begin at %.3f of the clear sky", best)
	}
}

// A clock that runs at the hours' ends, or ahead all year or all summer, is
// found by the sun alone in a real, cloudy year.
func TestClockAgainstEugene(t *testing.T) {
	m := eugeneYear(t)
	for _, late := range []int{-5, -1, 0, 1, 3, 11} {
		c := weather.CheckClock(eugene, m.Start, rotated(m.GHI, late))
		if c.ShiftH != float64(-late) {
			t.Errorf("stamps %d h late: the shift that mends them is told as %+.1f h", late, c.ShiftH)
		}
		if (late != 0) != (c.NightHours > 0) {
			t.Errorf("stamps %d h late: %d hours of sun at night", late, c.NightHours)
		}
		if c.SummerTime {
			t.Errorf("stamps %d h late all year are taken for summer time", late)
		}
	}
	summer := append([]float64(nil), m.GHI...)
	from, till := 73*24, 310*24 // 15 March to 7 November
	copy(summer[from+1:till], m.GHI[from:till-1])
	c := weather.CheckClock(eugene, m.Start, summer)
	if !c.SummerTime {
		t.Fatal("summer time in the stamps is not seen")
	}
	if d := c.SummerFrom.Sub(m.Start).Hours()/24 - 73; math.Abs(d) > 14 {
		t.Errorf("summer time is told to begin %.0f days off", d)
	}
	if d := c.SummerTill.Sub(m.Start).Hours()/24 - 310; math.Abs(d) > 14 {
		t.Errorf("summer time is told to end %.0f days off", d)
	}
}

func rotated(v []float64, by int) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[(i+by+len(v))%len(v)] = v[i]
	}
	return out
}

// A dull day follows the clear sky's course through its hours: over the dull days
// of Eugene's year (below 0.25 and 0.25 to 0.4 of a clear day), given their sums,
// each hour's mean share of the day is within 0.03 of the record's. Real days are
// bunched a little more: their best three hours hold up to a twentieth of the day
// more in winter, up to a tenth in summer.
func TestHoursOfDullDaysAgainstEugene(t *testing.T) {
	m := eugeneYear(t)
	tr := weather.NewTrack(eugene, yearFrom(eugene, 2021, time.January, 1), 6)
	seen := weather.DayKWh(nil, m.GHI)
	factors := make([]float64, len(seen))
	for d := range factors {
		factors[d] = math.Min(1, seen[d]/tr.ClearKWh[d])
	}
	sky := new(weather.Sky).Hours(nil, tr, factors)
	bestThree := func(hours []float64) float64 {
		s := slices.Sorted(slices.Values(hours))
		return (s[21] + s[22] + s[23]) / 1000
	}
	for _, c := range []struct{ from, to float64 }{{0, 0.25}, {0.25, 0.4}} {
		for _, winter := range []bool{true, false} {
			var real, made [24]float64
			var days, best, bestMade float64
			for d, f := range factors {
				month := m.Start.AddDate(0, 0, d).Month()
				if f < c.from || f >= c.to || winter != (month >= time.October || month <= time.March) {
					continue
				}
				days++
				for h := range 24 {
					real[h] += m.GHI[24*d+h] / seen[d] / 1000
					made[h] += sky.GHI[24*d+h] / seen[d] / 1000
				}
				best += bestThree(m.GHI[24*d:24*d+24]) / seen[d]
				bestMade += bestThree(sky.GHI[24*d:24*d+24]) / seen[d]
			}
			off := 0.0
			for h := range real {
				off = math.Max(off, math.Abs(real[h]-made[h])/days)
			}
			t.Logf("%g to %g of a clear day, winter %v, %g days: hours off by at most %.3f of the day; best three hours %.2f, modelled %.2f", c.from, c.to, winter, days, off, best/days, bestMade/days)
			if off > 0.03 {
				t.Errorf("%g to %g of a clear day, winter %v: an hour's mean share is %.3f off", c.from, c.to, winter, off)
			}
			maximum := 0.1
			if winter {
				maximum = 0.055
			}
			if more := (best - bestMade) / days; more < 0 || more > maximum {
				t.Errorf("%g to %g of a clear day, winter %v: the best three hours hold %.3f more of a real day", c.from, c.to, winter, more)
			}
		}
	}
}
