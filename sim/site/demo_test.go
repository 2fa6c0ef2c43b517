package site_test

import (
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sunrill/sim/site"
	"sunrill/weather"
)

var update = flag.Bool("update", false, "write the made-up records of the demo and of testdata anew")

// climate makes an invented record of a place with wet winters and dry
// summers: a wet-dry chain with gamma-like amounts, whose season comes earlier
// or later and wetter or drier from year to year, and temperatures that are
// milder at night and cooler by day when it rains.
type climate struct {
	seed        uint64
	first, last int         // water years, from 1 October
	wetFraction [12]float64 // of the days, January first
	wetDayMM    [12]float64 // mean of a wet day
	meanC       [12]float64
}

var demoClimate = climate{
	seed: 88, first: 2007, last: 2018,
	wetFraction: [12]float64{.58, .54, .55, .48, .36, .24, .10, .10, .22, .42, .60, .62},
	wetDayMM:    [12]float64{9.6, 8.6, 7.4, 6.0, 5.4, 4.4, 3.2, 4.0, 5.8, 7.6, 10.0, 10.4},
	meanC:       [12]float64{4.4, 5.9, 7.9, 10.3, 13.7, 17.0, 20.6, 20.4, 17.2, 12.0, 7.2, 4.3},
}

func (c climate) days(row func(day time.Time, rainMM, tminC, tmaxC float64)) {
	rng := rand.New(rand.NewPCG(c.seed, 1))
	wet, residual := false, 0.0
	for year := c.first; year <= c.last; year++ {
		wetter := math.Exp(0.22*rng.NormFloat64() - 0.024)
		late := 14 * rng.NormFloat64() // days
		for day := time.Date(year, 10, 1, 0, 0, 0, 0, time.UTC); day.Before(time.Date(year+1, 10, 1, 0, 0, 0, 0, time.UTC)); day = day.AddDate(0, 0, 1) {
			season := day.AddDate(0, 0, -int(math.Round(late)))
			fraction := between(c.wetFraction, season)
			// A chain whose wet days follow each other: persistence 0.4.
			chance := fraction + 0.4*(map[bool]float64{true: 1}[wet]-fraction)
			wet = rng.Float64() < chance
			rain := 0.0
			if wet {
				e := rng.ExpFloat64()
				rain = wetter * between(c.wetDayMM, season) * e * math.Sqrt(e) / 1.33 // E[e^1.5] = 1.33
				rain = math.Max(0.2, rain)
			}
			residual = 0.65*residual + 2.2*rng.NormFloat64()
			mean := between(c.meanC, day) + residual
			swing := 5.5 + 0.38*math.Max(0, between(c.meanC, day)-4)
			if wet {
				swing *= 0.55
			}
			swing *= 0.8 + 0.4*rng.Float64()
			row(day, rain, mean-swing, mean+swing)
		}
	}
}

// between reads a table of months at a day, straight between mid-months.
func between(table [12]float64, day time.Time) float64 {
	at := float64(day.YearDay())/365.25*12 - 0.5
	i := math.Floor(at)
	w := at - i
	return (1-w)*table[(int(i)+12)%12] + w*table[(int(i)+13)%12]
}

func (c climate) metric() []byte {
	var b bytes.Buffer
	b.WriteString("# Invented weather, made by a seeded generator (demo_test.go).\ndate,rain_mm,tmin_c,tmax_c\n")
	c.days(func(day time.Time, rain, tmin, tmax float64) {
		fmt.Fprintf(&b, "%s,%.1f,%.1f,%.1f\n", day.Format("2006-01-02"), rain, tmin, tmax)
	})
	return b.Bytes()
}

func fahrenheit(c float64) float64 { return 32 + 1.8*c }

func (c climate) us() []byte {
	var b bytes.Buffer
	b.WriteString("# Invented weather, made by a seeded generator (demo_test.go in sim/site).\ndate,rain_in,tmin_f,tmax_f\n")
	c.days(func(day time.Time, rain, tmin, tmax float64) {
		fmt.Fprintf(&b, "%s,%.2f,%.0f,%.0f\n", day.Format("2006-01-02"), rain/25.4, fahrenheit(tmin), fahrenheit(tmax))
	})
	return b.Bytes()
}

// committed compares a made-up file with the committed one, or writes it.
func committed(t *testing.T, path string, want []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what its seed gives; go test ./sim/site -update writes it", path)
	}
}

func TestSyntheticRecordsAreWhatTheirSeedsGive(t *testing.T) {
	committed(t, "demo/rain.csv", demoClimate.metric())
}

// The creek's readings are the creek of the demo's own description with the
// scatter of a bucket and a watch.
func TestDemoGaugingsAreWhatTheirSeedGives(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	committed(t, "demo/gaugings.csv", bucketReadings(s, 20, 7, 26))
}

func bucketReadings(s *site.Site, bucketL float64, seed uint64, n int) []byte {
	mean := make([]float64, s.Rain.Days())
	for i := range mean {
		mean[i] = (s.Rain.TMinC[i] + s.Rain.TMaxC[i]) / 2
	}
	pet := weather.NewEvaporation(s.Place.LatDeg).Potential(nil, s.Rain.Start, mean)
	flow := s.Stream.Curve.Flow(nil, s.Rain.RainMM, pet)
	rng := rand.New(rand.NewPCG(seed, 2))
	var b bytes.Buffer
	b.WriteString("# Invented readings: the described creek with the scatter of a bucket and a watch.\ndate,method,volume_l,seconds,note\n")
	days := s.Rain.Days()
	first := days - 3*365 // the last three years
	for i := range n {
		day := first + (i*3*365)/n + rng.IntN(30)
		at := s.Rain.Start.AddDate(0, 0, min(day, days-1))
		truth := flow[min(day, days-1)] * math.Exp(0.07*rng.NormFloat64())
		fmt.Fprintf(&b, "%s,bucket,%g,", at.Format("2006-01-02"), bucketL)
		for k := range 3 {
			if k > 0 {
				b.WriteByte(' ')
			}
			fmt.Fprintf(&b, "%.1f", bucketL*1e-3/truth*(1+0.01*rng.NormFloat64())+0.15*rng.NormFloat64())
		}
		note := ""
		if i == 0 {
			note = "below the spring box"
		}
		fmt.Fprintf(&b, ",%s\n", note)
	}
	return b.Bytes()
}

func TestDemoLoads(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	years := weather.WaterYears(s.Rain, s.YearMonth, s.YearDay)
	if len(years) != 12 || years[0].Number() != 2007 {
		t.Errorf("the demo has %d water years from %d, want 12 from 2007", len(years), years[0].Number())
	}
	if len(s.Arrays) != 2 || s.Hydro == nil || s.Stream.Curve == nil || s.Bank.CapacityWh != 14000 || len(s.Appliances) == 0 || s.Prices == nil || len(s.Gaugings) < 25 {
		t.Errorf("the demo lacks a part: %+v", s)
	}
	if len(s.Warnings) > 0 {
		t.Errorf("the demo warns: %q", s.Warnings)
	}
}

// Read through a folder on disk, the demo is the same.
func TestDemoFromDisk(t *testing.T) {
	dir := t.TempDir()
	err := fs.WalkDir(site.DemoFS(), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(site.DemoFS(), path)
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(dir, path), data, 0o644)
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := site.Load(dir, site.Options{}); err != nil {
		t.Fatal(err)
	}
}
