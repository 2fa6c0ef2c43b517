package weather

import (
	"math"
	"slices"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
)

// The dark months of the stations of TestLawAgainstStations as measured: mean and
// spread of the days' clearness, mean of the darkest fifth, lag-one correlation
// of its normal scores. Of the last two stations the darkest fifth is left out:
// their suns are worked out from hours of sunshine.
var darkMonths = []struct {
	station           string
	month             time.Month
	mean, spread, low float64
	lag               float64
}{
	{"rothamsted", time.January, 0.310, 0.173, 0.102, 0.09},
	{"rothamsted", time.November, 0.332, 0.168, 0.117, 0.22},
	{"rothamsted", time.December, 0.286, 0.172, 0.085, 0.14},
	{"wageningen", time.January, 0.269, 0.164, 0.076, 0.18},
	{"wageningen", time.November, 0.278, 0.150, 0.081, 0.12},
	{"wageningen", time.December, 0.281, 0.163, 0.082, 0.10},
	{"lushnje", time.January, 0.433, 0.169, 0, 0.32},
	{"lushnje", time.November, 0.449, 0.159, 0, 0.41},
	{"lushnje", time.December, 0.413, 0.168, 0, 0.32},
	{"pergamino", time.May, 0.488, 0.191, 0, 0.34},
	{"pergamino", time.June, 0.461, 0.194, 0, 0.39},
	{"pergamino", time.July, 0.476, 0.199, 0, 0.39},
}

// clearness returns the spread of the days of a month of the given mean, 0.05
// to 0.8, under a sky as the law of the package has it.
func clearness(mean float64) Clearness {
	c := dayLaw.clearnessOf(mean)
	const steps = 400
	return c.meeting(mean, func(c *Clearness) float64 {
		sum := 0.0
		for i := range steps {
			sum += c.At((float64(i) + 0.5) / steps)
		}
		return sum / steps
	})
}

func TestClearnessAgainstDarkMonths(t *testing.T) {
	for _, m := range darkMonths {
		c := clearness(m.mean)
		k := make([]float64, 200)
		for i := range k {
			k[i] = c.At((float64(i) + 0.5) / 200)
		}
		if got := stat.Mean(k, nil); math.Abs(got-m.mean) > 0.001 {
			t.Errorf("%s, %v: mean %.4f, want %.3f", m.station, m.month, got, m.mean)
		}
		if got := stat.PopStdDev(k, nil); math.Abs(got/m.spread-1) > 0.2 {
			t.Errorf("%s, %v: the days spread by %.3f, measured %.3f", m.station, m.month, got, m.spread)
		}
		if got := stat.Mean(k[:40], nil); m.low > 0 && math.Abs(got/m.low-1) > 0.25 {
			t.Errorf("%s, %v: the darkest fifth has %.3f, measured %.3f", m.station, m.month, got, m.low)
		}
		if got := dayLaw.lagOne(m.mean); math.Abs(got-m.lag) > 0.1 {
			t.Errorf("%s, %v: lag one %.2f, measured %.2f", m.station, m.month, got, m.lag)
		}
	}
}

// The slope against the approximation that [Duffie] quotes for it (eq. 2.9.8, by
// Herzog, from memory; good to a few hundredths of the slope's range), with the
// floor that it is made for.
func TestSlopeAgainstHerzog(t *testing.T) {
	for mean := 0.3; mean < 0.7; mean += 0.05 {
		l := law{floor: 0.05}
		c := l.clearnessOf(mean).meeting(mean, func(c *Clearness) float64 {
			sum := 0.0
			for i := range 1000 {
				sum += c.At((float64(i) + 0.5) / 1000)
			}
			return sum / 1000
		})
		x := (c.Top - c.Floor) / (c.Top - mean)
		want := -1.498 + (1.184*x-27.182*math.Exp(-1.5*x))/(c.Top-c.Floor)
		if math.Abs(c.Slope-want) > 0.3+0.03*math.Abs(want) {
			t.Errorf("mean clearness %.2f: slope %.3f, the approximation gives %.3f", mean, c.Slope, want)
		}
	}
}

// Rothamsted's months as numbers, without a day of its record: the dark season's
// worst days, their spread and their lasting, as measured there in 19 winters.
func TestSkyAgainstRothamstedsNumbers(t *testing.T) {
	p := Place{LatDeg: 52.5, LonDeg: -0.5, ElevationM: 100}
	table := SunTable{SunHours: [12]float64{0.664, 1.319, 2.244, 3.502, 4.607, 4.881, 4.855, 4.208, 2.785, 1.704, 0.852, 0.496}}
	st := &station{place: p, table: table, dark: [3]time.Month{11, 12, 1}}
	st.record = Record{Start: time.Date(1980, 1, 1, 0, 0, 0, 0, p.Zone()), RainMM: make([]float64, 20*365+5)}
	for i := range st.record.Days() {
		st.month = append(st.month, int(st.record.Start.AddDate(0, 0, i).Month())-1)
	}
	st.track = NewTrack(p, Year{Start: st.record.Start, Days: st.record.Days()}, 4)
	s, err := Calibrate(p, st.record, table, SkyOptions{Variability: 1, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	want := darkScores{spread: 0.172, lag: 0.17}
	sums := [3]float64{0.59, 2.05, 5.14} // mean of the winters' worst 3, 7 and 14 days, kWh/m²
	var spread, lag []float64
	var worst [3][]float64
	for i := range 8 {
		d := s.Draw(i)
		got := st.score(d.SunHours(nil, st.record.Start, d.Factors(nil, st.record, 0)))
		spread, lag = append(spread, got.spread), append(lag, got.lag)
		for k := range worst {
			worst[k] = append(worst[k], got.worst[k]...)
		}
	}
	if x := stat.Mean(spread, nil) / want.spread; math.Abs(x-1) > 0.1 {
		t.Errorf("the days spread by %.2f of the measured", x)
	}
	if x := stat.Mean(lag, nil); math.Abs(x-want.lag) > 0.1 {
		t.Errorf("lag one %.2f, measured %.2f", x, want.lag)
	}
	for k, days := range worstDays {
		if x := stat.Mean(worst[k], nil) / sums[k]; math.Abs(x-1) > 0.12 {
			t.Errorf("the worst %d days have %.2f of the measured sun", days, x)
		}
	}
}

// Scaled rain moves a day's sky as far as the days of its record say: a day whose
// rain is halved gets what the days of that month with so much less rain have.
func TestScaledRainMovesTheRangeOfTemperature(t *testing.T) {
	r := Record{Start: time.Date(2001, 10, 1, 0, 0, 0, 0, time.UTC)}
	for d := range 730 {
		mm := 0.0
		if d%3 == 0 {
			mm = float64(d%29) + 0.3
		}
		// The range is 9 K less 2 K for each mm^0.3, and something besides.
		span := 9 - 2*math.Pow(mm, 0.3) + float64(d%7-3)/10
		r.RainMM = append(r.RainMM, mm)
		r.TMinC = append(r.TMinC, 3)
		r.TMaxC = append(r.TMaxC, 3+span)
	}
	scaled := Scaled(r, 0.5)
	var moved []float64
	for d, mm := range r.RainMM {
		by := scaled.TMaxC[d] - r.TMaxC[d]
		if mm == 0 {
			if by != 0 {
				t.Fatalf("day %d without rain: its high moves by %g K", d, by)
			}
			continue
		}
		want := 2 * (math.Pow(mm, 0.3) - math.Pow(mm/2, 0.3))
		moved = append(moved, math.Abs(by/want-1))
	}
	slices.Sort(moved)
	if maximum := moved[len(moved)*9/10]; maximum > 0.1 {
		t.Errorf("the highs of rainy days move up to %.0f %% off what the record's ranges say", 100*maximum)
	}
}
