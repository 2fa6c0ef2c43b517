package weather_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/weather"
)

// seattle reads the real record of Seattle, 2012–2015, in the repository's
// testdata.
func seattle(t testing.TB) weather.Record {
	f, err := os.Open("../testdata/seattle/rain.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	c := csv.NewReader(f)
	c.Comment = '#'
	rows, err := c.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var r weather.Record
	for i, row := range rows[1:] {
		if i == 0 {
			r.Start, err = time.Parse("2006-01-02", row[column["date"]])
			if err != nil {
				t.Fatal(err)
			}
		}
		number := func(name string) float64 {
			x, err := strconv.ParseFloat(row[column[name]], 64)
			if err != nil {
				t.Fatalf("row %d: %v", i, err)
			}
			return x
		}
		r.RainMM = append(r.RainMM, number("rain_mm"))
		r.TMinC = append(r.TMinC, number("tmin_c"))
		r.TMaxC = append(r.TMaxC, number("tmax_c"))
	}
	return r
}

func fit(t testing.TB, r weather.Record, o weather.GeneratorOptions) *weather.Generator {
	c, err := weather.FitGenerator(r, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The synthetic years of a real record keep its monthly rain within 5 %, its
// fraction of wet days within 0.03 and its monthly temperature within 0.5 K.
func TestSyntheticYearsKeepSeattlesMonths(t *testing.T) {
	c := fit(t, seattle(t), weather.GeneratorOptions{Seed: 7})
	f, err := c.Report(4000)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range f.Months {
		for _, made := range []struct {
			name           string
			fraction, rain float64
		}{{"bare", m.WetFraction.Bare, m.RainMM.Bare}, {"corrected", m.WetFraction.Synthetic, m.RainMM.Synthetic}} {
			if math.Abs(made.fraction-m.WetFraction.Record) > 0.03 {
				t.Errorf("%s, %v: share of wet days %.3f, the record has %.3f", made.name, m.Month, made.fraction, m.WetFraction.Record)
			}
			if math.Abs(made.rain/m.RainMM.Record-1) > 0.05 {
				t.Errorf("%s, %v: mean rain %.1f mm, the record has %.1f mm", made.name, m.Month, made.rain, m.RainMM.Record)
			}
		}
		if math.Abs(m.TempC.Synthetic-m.TempC.Record) > 0.5 {
			t.Errorf("%v: mean temperature %.2f °C, the record has %.2f °C", m.Month, m.TempC.Synthetic, m.TempC.Record)
		}
		t.Logf("%-9v wet %.2f/%.2f/%.2f spell %.1f/%.1f/%.1f d rain %.0f/%.0f/%.0f mm sd %.0f/%.0f/%.0f temp %.1f/%.1f", m.Month,
			m.WetFraction.Record, m.WetFraction.Bare, m.WetFraction.Synthetic, m.WetSpellD.Record, m.WetSpellD.Bare, m.WetSpellD.Synthetic,
			m.RainMM.Record, m.RainMM.Bare, m.RainMM.Synthetic, m.StdDevMM.Record, m.StdDevMM.Bare, m.StdDevMM.Synthetic, m.TempC.Record, m.TempC.Synthetic)
	}
	for _, s := range f.Seasons {
		t.Logf("%+v", s)
	}
	t.Log(f.Notes, c.Seasons)
}

// The chain settles to the wet share P01/(1+P01−P11), and its spells last
// 1/(1−P11) and 1/P01 days: Richardson (1981), Water Resources Research 17(1).
func TestGeneratorAgainstRichardsonsFormulas(t *testing.T) {
	for _, p := range []struct{ afterDry, afterWet float64 }{{0.43, 0.72}, {0.10, 0.70}, {0.06, 0.38}, {0.3, 0.3}} {
		m := weather.MonthRain{WetAfterDry: p.afterDry, WetAfterWet: p.afterWet}
		// Step the shares of many houses' days until they settle, and count on
		// from a spell's first day.
		wet := 0.0
		for range 1000 {
			wet = wet*p.afterWet + (1-wet)*p.afterDry
		}
		if got := m.WetFraction(); math.Abs(got-wet) > 1e-12 {
			t.Errorf("P01 %g, P11 %g: wet share %g, the stepped chain has %g", p.afterDry, p.afterWet, got, wet)
		}
		var wetSpell, drySpell float64
		for d, stillWet, stillDry := 1, 1.0, 1.0; d < 5000; d++ {
			wetSpell += float64(d) * stillWet * (1 - p.afterWet)
			drySpell += float64(d) * stillDry * p.afterDry
			stillWet *= p.afterWet
			stillDry *= 1 - p.afterDry
		}
		if got := m.WetSpell(); math.Abs(got-wetSpell) > 1e-9 {
			t.Errorf("P11 %g: wet spell %g days, by its distribution %g", p.afterWet, got, wetSpell)
		}
		if got := m.DrySpell(); math.Abs(got-drySpell) > 1e-9 {
			t.Errorf("P01 %g: dry spell %g days, by its distribution %g", p.afterDry, got, drySpell)
		}
	}
}

// evenRecord is a record from a chain without seasons, by a plain generator
// that shares nothing with the code it tests.
func evenRecord(years int) weather.Record {
	r := weather.Record{Start: time.Date(1980, 10, 1, 0, 0, 0, 0, time.UTC)}
	x := uint64(12345)
	uniform := func() float64 {
		x = x*6364136223846793005 + 1442695040888963407
		return float64(x>>11) / (1 << 53)
	}
	wet := false
	for range years*365 + years/4 {
		p := 0.2
		if wet {
			p = 0.65
		}
		wet = uniform() < p
		mm := 0.0
		if wet {
			mm = 0.1 - 6*math.Log(1-uniform())
		}
		r.RainMM = append(r.RainMM, mm)
	}
	return r
}

// The correction brings the spread of seasonal totals and of wet days to the
// record's where the bare chain falls short: Katz and Parlange (1998).
func TestStdDevBetweenYearsIsTheRecords(t *testing.T) {
	// Every other year has half the rain and fewer wet days: more spread than
	// any chain with fixed chances makes.
	r := evenRecord(40)
	for d := range r.RainMM {
		if d/365%2 == 1 {
			r.RainMM[d] /= 2
			if d%5 == 0 {
				r.RainMM[d] = 0
			}
		}
	}
	c := fit(t, r, weather.GeneratorOptions{Seed: 11})
	f, err := c.Report(2000)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range f.Seasons {
		t.Logf("%+v\n%+v", s, c.Seasons[i])
		if s.StdDevMM.Bare > 0.8*s.StdDevMM.Record {
			t.Errorf("the bare chain already spreads by %.0f mm of %.0f mm: no case to test", s.StdDevMM.Bare, s.StdDevMM.Record)
		}
		// 2,000 years tell a standard deviation to about 2 %.
		if math.Abs(s.StdDevMM.Synthetic/s.StdDevMM.Record-1) > 0.06 {
			t.Errorf("half %d: totals spread by %.1f mm, the record's by %.1f mm", i, s.StdDevMM.Synthetic, s.StdDevMM.Record)
		}
		if math.Abs(s.RainMM.Synthetic/s.RainMM.Record-1) > 0.03 {
			t.Errorf("half %d: mean %.1f mm, the record's %.1f mm", i, s.RainMM.Synthetic, s.RainMM.Record)
		}
	}
}

// What is reckoned from the chain day by day is what its years come to.
func TestReckonedMomentsAgainstSyntheticYears(t *testing.T) {
	c := fit(t, seattle(t), weather.GeneratorOptions{Seed: 5})
	f, err := c.Report(3000)
	if err != nil {
		t.Fatal(err)
	}
	for i, m := range f.Months {
		for _, v := range []struct {
			name      string
			want, got float64
			tol       float64
		}{
			{"mean, mm", c.Months[i].Used.MeanMM, m.RainMM.Synthetic, 0.05},
			{"spread, mm", c.Months[i].Used.StdDevMM, m.StdDevMM.Synthetic, 0.06 + 0.1*c.Months[i].Amount},
			{"bare spread, mm", c.Months[i].Bare.StdDevMM, m.StdDevMM.Bare, 0.06},
		} {
			if math.Abs(v.got/v.want-1) > v.tol {
				t.Errorf("month %d, %s: reckoned %.2f, of 3,000 years %.2f", i+1, v.name, v.want, v.got)
			}
		}
	}
	for i, s := range f.Seasons {
		for _, v := range []struct {
			name      string
			want, got float64
			tol       float64
		}{
			{"mean, mm", c.Seasons[i].Used.MeanMM, s.RainMM.Synthetic, 0.02},
			{"spread, mm", c.Seasons[i].Used.StdDevMM, s.StdDevMM.Synthetic, 0.05},
			{"bare spread, mm", c.Seasons[i].Bare.StdDevMM, s.StdDevMM.Bare, 0.05},
			{"wet days", c.Seasons[i].Used.MeanWetDays, s.WetDays.Synthetic, 0.02},
			{"spread of wet days", c.Seasons[i].Used.StdDevWetDays, s.WetDaySD.Synthetic, 0.05},
			{"bare spread of wet days", c.Seasons[i].Bare.StdDevWetDays, s.WetDaySD.Bare, 0.05},
		} {
			if math.Abs(v.got/v.want-1) > v.tol {
				t.Errorf("half %d, %s: reckoned %.2f, of 3,000 years %.2f", i, v.name, v.want, v.got)
			}
		}
	}
}

// Any year can be made by itself: its days depend on seed and number alone.
func TestEachYearStandsAlone(t *testing.T) {
	r := seattle(t)
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		n := rapid.IntRange(-5, 100_000).Draw(t, "year")
		c, err := weather.FitGenerator(r.Slice(0, 800), weather.GeneratorOptions{Seed: seed, Plain: true})
		if err != nil {
			t.Fatal(err)
		}
		var alone, after weather.Record
		c.Synthesize(&alone, n)
		c.Synthesize(&after, n+3)
		y := c.Synthesize(&after, n)
		if i := after.Index(y.Start); i != 365 || y.Days != 365 {
			t.Fatalf("year of %d days begins on day %d, want 365 and 365", y.Days, i)
		}
		c.Synthesize(&alone, n+1)
		for d := range 365 {
			// Year n is the lead-in of year n+1.
			if alone.RainMM[d] != after.RainMM[365+d] || alone.TMaxC[d] != after.TMaxC[365+d] {
				t.Fatalf("day %d of year %d depends on what was made before", d, n)
			}
			if !(after.RainMM[d] >= 0) || !(after.TMinC[d] <= after.TMaxC[d]) {
				t.Fatalf("day %d: rain %g mm, %g to %g °C", d, after.RainMM[d], after.TMinC[d], after.TMaxC[d])
			}
		}
	})
}

func TestRecordsTooShort(t *testing.T) {
	r := seattle(t)
	if _, err := weather.FitGenerator(r.Slice(0, 300), weather.GeneratorOptions{}); err == nil {
		t.Error("300 days are accepted")
	}
	c := fit(t, r.Slice(0, 366), weather.GeneratorOptions{})
	if len(c.Notes) == 0 {
		t.Error("one year of record, and no word on what cannot be known from it")
	}
	for i, m := range c.Months {
		if m.Odds != 0 || m.Amount != 0 {
			t.Errorf("month %d: a spread between years from one year", i+1)
		}
	}
	var dst weather.Record
	c.Synthesize(&dst, 0)
	// A year that never saw rain makes years without rain.
	dry := fit(t, weather.Record{Start: r.Start, RainMM: make([]float64, 800)}, weather.GeneratorOptions{})
	dry.Synthesize(&dst, 0)
	for d, mm := range dst.RainMM {
		if mm != 0 {
			t.Fatalf("day %d: %g mm from a record without rain", d, mm)
		}
	}
}

// Whatever a gauge has written down, synthetic years are numbers: no rain at all,
// rain every day, the same rain every day, one flood.
func TestOddRecordsMakeNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(365, 1600).Draw(t, "days")
		r := weather.Record{Start: time.Date(2003, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), 1, 0, 0, 0, 0, time.UTC)}
		few := rapid.SliceOfN(rapid.SampledFrom([]float64{0, 0, 0.04, 0.1, 1, 7.5, 7.5, 60, 900}), 1, 40).Draw(t, "rain")
		withTemps := rapid.Bool().Draw(t, "temperatures")
		for d := range n {
			r.RainMM = append(r.RainMM, few[(d+d/31)%len(few)])
			if withTemps {
				r.TMinC = append(r.TMinC, 5+float64(d%len(few)))
				r.TMaxC = append(r.TMaxC, 9+float64(d%len(few)))
			}
		}
		c, err := weather.FitGenerator(r, weather.GeneratorOptions{YearMonth: time.Month(rapid.IntRange(1, 12).Draw(t, "water year"))})
		if err != nil {
			t.Fatal(err)
		}
		var dst weather.Record
		c.Synthesize(&dst, 3)
		for d, mm := range dst.RainMM {
			if !(mm >= 0 && mm < 1e6) || withTemps && !(dst.TMinC[d] <= dst.TMaxC[d] && dst.TMinC[d] > -100 && dst.TMaxC[d] < 200) {
				t.Fatalf("day %d: %g mm, temperatures %v", d, mm, dst.TMinC)
			}
		}
		for _, s := range c.Seasons {
			if m := s.Used; !(m.MeanMM >= 0 && m.StdDevMM >= 0 && m.StdDevWetDays >= 0) {
				t.Fatalf("a season of %+v", m)
			}
		}
		for _, odd := range []weather.Record{weather.Scaled(r, 0), weather.Scaled(r, 1.5), weather.Later(r, 28)} {
			for d, mm := range odd.RainMM {
				if !(mm >= 0) || withTemps && !(odd.TMinC[d] <= odd.TMaxC[d] && odd.TMaxC[d] < 500) {
					t.Fatalf("day %d of another weather: %g mm, %g to %g °C", d, mm, odd.TMinC[d], odd.TMaxC[d])
				}
			}
		}
	})
}

func BenchmarkSyntheticYear(b *testing.B) {
	c := fit(b, seattle(b), weather.GeneratorOptions{})
	var r weather.Record
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		c.Synthesize(&r, n)
	}
}

// A season put off brings the same rain later, and the year its own warmth.
func TestLaterPutsTheSeasonOff(t *testing.T) {
	r := seattle(t)
	const days = 42
	late := weather.Later(r, days)
	for d := days; d < r.Days(); d++ {
		if late.RainMM[d] != r.RainMM[d-days] {
			t.Fatalf("day %d has %g mm, want the %g mm of six weeks before", d, late.RainMM[d], r.RainMM[d-days])
		}
	}
	for d := range days {
		if late.RainMM[d] != r.RainMM[365+d-days] {
			t.Fatalf("day %d has %g mm, want the %g mm of the same weeks a year on", d, late.RainMM[d], r.RainMM[365+d-days])
		}
	}
	months := func(r weather.Record) (mean [12]float64) {
		var n [12]float64
		for d := range r.Days() {
			m := r.Start.AddDate(0, 0, d).Month() - 1
			mean[m] += (r.TMinC[d] + r.TMaxC[d]) / 2
			n[m]++
		}
		for i := range mean {
			mean[i] /= n[i]
		}
		return mean
	}
	was, is := months(r), months(late)
	for i := range was {
		if math.Abs(was[i]-is[i]) > 2 {
			t.Errorf("month %d: %.1f °C, was %.1f °C", i+1, is[i], was[i])
		}
	}
	if got := weather.Scaled(r, 0); got.RainMM[2] != 0 || got.Days() != r.Days() || r.RainMM[1] == 0 {
		t.Error("rain × 0 is not a record without rain, or it changed the record it was made from")
	}
}

// The sky goes by the range of temperature: made-up ranges spread as Seattle's do,
// each month within 15 % and all within 5 %. The fixed matrices of a general
// generator missed winters by up to 40 % at places of their own.
func TestSyntheticRangesSpreadAsSeattles(t *testing.T) {
	r := seattle(t)
	c := fit(t, r, weather.GeneratorOptions{Seed: 3})
	ranges := func(of *[12][]float64, r weather.Record, from int) {
		for d := from; d+1 < r.Days(); d++ {
			m := r.Start.AddDate(0, 0, d).Month() - 1
			of[m] = append(of[m], max(0, r.TMaxC[d]-(r.TMinC[d]+r.TMinC[d+1])/2))
		}
	}
	var record, made [12][]float64
	ranges(&record, r, 0)
	var year weather.Record
	for n := range 300 {
		c.Synthesize(&year, n)
		ranges(&made, year, 365)
	}
	all := 0.0
	for m := range made {
		x := spread(made[m]) / spread(record[m])
		all += x / 12
		if math.Abs(x-1) > 0.15 {
			t.Errorf("%v: ranges spread by %.2f K, the record's by %.2f K", time.Month(m+1), spread(made[m]), spread(record[m]))
		}
	}
	if math.Abs(all-1) > 0.05 {
		t.Errorf("ranges spread by %.3f of the record's in the mean of the months", all)
	}
}

// Where a long record has dry years in a row, made-up ones come in rows too; a
// record whose years have nothing to do with each other makes none.
func TestDryYearsFollowEachOther(t *testing.T) {
	for _, rows := range []bool{true, false} {
		r := evenRecord(40)
		for d := range r.RainMM {
			year := d / 365
			dry := year/4%2 == 1
			if !rows {
				dry = year*7%13 < 6
			}
			if dry {
				r.RainMM[d] /= 2
			}
		}
		c := fit(t, r, weather.GeneratorOptions{Seed: 2})
		var before, after, totals []float64
		year := weather.Record{RainMM: make([]float64, 365)}
		for n := range 2000 {
			c.Fill(year, n)
			sum := 0.0
			for _, mm := range year.RainMM {
				sum += mm
			}
			totals = append(totals, sum)
		}
		before, after = totals[:1999], totals[1:]
		lag := correlation(before, after)
		t.Logf("rows %v: memory %.2f, lag one of the totals %.2f", rows, c.YearMemory, lag)
		if rows && (lag < 0.25 || lag > 0.7) {
			t.Errorf("years in rows of four: totals have the lag-one correlation %.2f", lag)
		}
		if !rows && math.Abs(lag) > 0.1 {
			t.Errorf("years without rows: totals have the lag-one correlation %.2f", lag)
		}
	}
}

// Synthetic years have the table's sun, days as spread and as lasting as the
// record's own under the same sky.
func TestSkyOverSyntheticYears(t *testing.T) {
	r := seattle(t)
	p := weather.Place{LatDeg: 47.467, LonDeg: -122.317, UTCOffsetH: -8}
	table := weather.SunTable{SunHours: [12]float64{1.014, 1.794, 2.823, 4.341, 5.474, 5.928, 6.231, 5.042, 3.678, 2.267, 1.167, 0.892}}
	c := fit(t, r, weather.GeneratorOptions{Seed: 3})
	s := mustCalibrate(t, p, r, table, weather.SkyOptions{Variability: 1, Seed: 1})
	over := s.Over(c)
	var year weather.Record
	var sum, n [12]float64
	var days, before, after []float64
	for k := range 300 {
		y := c.Synthesize(&year, k)
		sun := over.SunHours(nil, year.Start, over.Factors(nil, year, k*y.Days))
		for d := 365; d < year.Days(); d++ {
			m := year.Start.AddDate(0, 0, d).Month()
			sum[m-1] += sun[d]
			n[m-1]++
			if m == time.December {
				days = append(days, sun[d])
				if year.Start.AddDate(0, 0, d-1).Month() == m {
					before, after = append(before, sun[d-1]), append(after, sun[d])
				}
			}
		}
	}
	for m := range sum {
		if x := sum[m] / n[m] / table.SunHours[m]; math.Abs(x-1) > 0.02 {
			t.Errorf("%v has %.3f of the table's sun over made-up years", time.Month(m+1), x)
		}
	}
	var own, ownBefore, ownAfter []float64
	for i := range 20 {
		d := s.Draw(i)
		sun := d.SunHours(nil, r.Start, d.Factors(nil, r, 0))
		for k := 1; k < len(sun); k++ {
			if r.Start.AddDate(0, 0, k).Month() == time.December {
				own = append(own, sun[k])
				ownBefore, ownAfter = append(ownBefore, sun[k-1]), append(ownAfter, sun[k])
			}
		}
	}
	if x := spread(days) / spread(own); math.Abs(x-1) > 0.08 {
		t.Errorf("December's days spread by %.2f of the record's", x)
	}
	if x := correlation(before, after) - correlation(ownBefore, ownAfter); math.Abs(x) > 0.07 {
		t.Errorf("December's lag one is %+.2f off the record's", x)
	}
}
