package weather_test

import (
	"math"
	"sync"
	"testing"

	"sunrill/weather"
)

// Draw i is the sky that a calibration with its seed gives, on any goroutine
// and in any order; draw 0 is the sky itself; and each keeps the table.
func TestDrawIsACalibrationOfItsOwn(t *testing.T) {
	for _, temperatures := range []bool{false, true} {
		r := madeRecord(wetPlace, 6, temperatures)
		o := weather.SkyOptions{Variability: 1, Seed: 11}
		s := mustCalibrate(t, wetPlace, r, wetTable, o)
		const draws = 4
		var got [draws][]float64
		var all sync.WaitGroup
		for i := draws - 1; i >= 0; i-- {
			all.Go(func() { got[i] = s.Draw(i).Factors(nil, r, 0) })
		}
		all.Wait()
		for i := range draws {
			own := o
			own.Seed = weather.DrawSeed(o.Seed, i)
			want := mustCalibrate(t, wetPlace, r, wetTable, own).Factors(nil, r, 0)
			same := 0
			for d, f := range got[i] {
				if f != want[d] {
					t.Fatalf("draw %d, day %d: factor %v, a calibration with its seed gives %v", i, d, f, want[d])
				}
				if i > 0 && f == got[0][d] {
					same++
				}
			}
			if same > r.Days()/10 {
				t.Errorf("draw %d has %d of %d days of draw 0", i, same, r.Days())
			}
			for m, kWh := range monthMeans(r, s.Draw(i).SunHours(nil, r.Start, got[i])) {
				if want := wetTable.SunHours[m]; math.Abs(kWh-want) > 0.0005*want {
					t.Errorf("draw %d, month %d: %.4f sun hours, the table has %g", i, m+1, kWh, want)
				}
			}
		}
		again := s.Factors(nil, r, 0)
		for d, f := range got[0] {
			if f != again[d] {
				t.Fatalf("day %d: draw 0 has %v, the sky itself %v", d, f, again[d])
			}
		}
	}
}

// Neighbouring seeds and draws have no sky in common.
func TestDrawSeedsDiffer(t *testing.T) {
	seen := map[uint64]bool{}
	for seed := range uint64(100) {
		for i := range 100 {
			seen[weather.DrawSeed(seed, i)] = true
		}
	}
	if len(seen) != 10_000 {
		t.Errorf("100 draws of 100 seeds have %d seeds", len(seen))
	}
}

// BenchmarkDraw is one more sky of twelve years; BenchmarkCalibrate the first.
func BenchmarkDraw(b *testing.B) {
	r := madeRecord(wetPlace, 12, true)
	s := mustCalibrate(b, wetPlace, r, wetTable, weather.SkyOptions{Variability: 1})
	i := 0
	for b.Loop() {
		i++
		s.Draw(i)
	}
}
