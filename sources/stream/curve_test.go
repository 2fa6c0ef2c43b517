package stream_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sources/stream"
)

// forcing makes up years of wet winters and dry summers, the same each time.
func forcing(years int) (rain, pet []float64) {
	rng := rand.New(rand.NewPCG(7, uint64(years)))
	wet := false
	for i := range 365 * years {
		winter := 0.5 + 0.5*math.Cos(2*math.Pi*float64(i-90)/365) // day 0 is 1 October
		chance := 0.08 + 0.35*winter
		if wet {
			chance += 0.3
		}
		wet = rng.Float64() < chance
		mm := 0.0
		if wet {
			mm = (3 + 8*winter) * rng.ExpFloat64()
		}
		rain = append(rain, mm)
		pet = append(pet, 0.4+4*(1-winter))
	}
	return rain, pet
}

func drawCurve(t *rapid.T) stream.Curve {
	c := stream.Curve{
		SoilDepthMM:   rapid.Float64Range(0, 400).Draw(t, "soil"),
		QuickFraction: rapid.Float64Range(0, 1).Draw(t, "quickShare"),
		QuickDays:     rapid.Float64Range(0.1, 20).Draw(t, "quickDays"),
		RecessionDays: rapid.Float64Range(1, 400).Draw(t, "recession"),
		FloorM3S:      rapid.Float64Range(0, 0.01).Draw(t, "floor"),
		GainM3S:       rapid.Float64Range(0, 0.1).Draw(t, "gain"),
		Exponent:      rapid.Float64Range(0.2, 3).Draw(t, "exponent"),
		AreaM2:        rapid.Float64Range(0, 1e7).Draw(t, "area"),
	}
	if rapid.Bool().Draw(t, "table") {
		var p stream.YieldPoint
		for range rapid.IntRange(1, 6).Draw(t, "points") {
			p.IndexMM += rapid.Float64Range(0.01, 3).Draw(t, "index")
			p.FlowM3S += rapid.Float64Range(0, 0.01).Draw(t, "flow")
			c.Table = append(c.Table, p)
		}
	}
	return c
}

func TestMoreRainNeverGivesLessFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		rain, pet := drawDays(t, 40)
		less := make([]float64, len(rain))
		c.Run(less, c.Empty(), rain, pet)
		wetter := append([]float64(nil), rain...)
		from := rapid.IntRange(0, len(rain)-1).Draw(t, "from")
		for i := from; i < len(rain); i++ {
			wetter[i] += rapid.Float64Range(0, 50).Draw(t, "more")
		}
		more := make([]float64, len(rain))
		c.Run(more, c.Empty(), wetter, pet)
		for i := range less {
			if more[i] < less[i]-1e-12*(1+less[i]) {
				t.Fatalf("day %d: %g m³/s with more rain, %g without", i, more[i], less[i])
			}
		}
	})
}

func TestCurveKeepsWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		rain, pet := drawDays(t, 40)
		s := c.Empty()
		sum := func(s stream.State) float64 {
			soil, quick, slow := c.StoredMM(s)
			return soil + quick + slow
		}
		for i := range rain {
			before := sum(s)
			var d stream.CurveDay
			s, d = c.Step(s, rain[i], pet[i])
			lost := before + rain[i] - d.EvaporatedMM - d.QuickMMD - d.IndexMMD - sum(s)
			if math.Abs(lost) > 1e-9*(1+before+rain[i]) {
				t.Fatalf("day %d: %g mm are lost of %g mm", i, lost, before+rain[i])
			}
			if s.SoilMM < 0 || s.SoilMM > c.SoilDepthMM || d.EvaporatedMM > pet[i]+1e-12 {
				t.Fatalf("day %d: soil %g of %g mm, %g mm evaporated of %g possible", i, s.SoilMM, c.SoilDepthMM, d.EvaporatedMM, pet[i])
			}
		}
	})
}

// The exact step of a linear reservoir (Maillet 1905: q falls as exp(−t/τ)),
// worked by hand for τ = 20 days, inflow 10, 0, 0, 5, 0 mm.
func TestIndexIsLinearReservoir(t *testing.T) {
	c := stream.Curve{RecessionDays: 20, QuickDays: 1, GainM3S: 1, Exponent: 1}
	want := []float64{.487706, .463920, .441294, .663625, .631260}
	got := make([]float64, 5)
	c.Run(got, stream.State{}, []float64{10, 0, 0, 5, 0}, make([]float64, 5))
	for i := range want {
		if math.Abs(got[i]-want[i]) > 5e-7 {
			t.Errorf("day %d: %.6f, want %.6f", i, got[i], want[i])
		}
	}
	// 100 falls to 100·e^(−1/2) = 60.653 after half of τ.
	s := stream.State{IndexMMD: 100}
	s = c.Run(nil, s, make([]float64, 10), make([]float64, 10))
	if math.Abs(s.IndexMMD-60.653) > 5e-4 {
		t.Errorf("after 10 days %.3f, want 60.653", s.IndexMMD)
	}
}

// The first autumn storms only wet the ground.
func ExampleCurve_Step() {
	c := stream.Curve{SoilDepthMM: 60, QuickFraction: 0.2, QuickDays: 1, RecessionDays: 30,
		FloorM3S: 0.0002, GainM3S: 0.002, Exponent: 1, AreaM2: 2e5}
	s := stream.State{SoilMM: 15} // after a dry summer
	for _, rainMM := range []float64{20, 20, 20, 20} {
		var day stream.CurveDay
		s, day = c.Step(s, rainMM, 1)
		fmt.Printf("%.0f mm rain, %2.0f mm pass, %.2f L/s\n", rainMM, day.PassedMM, 1000*day.FlowM3S)
	}
	// Output:
	// 20 mm rain,  0 mm pass, 0.20 L/s
	// 20 mm rain,  0 mm pass, 0.20 L/s
	// 20 mm rain, 14 mm pass, 4.87 L/s
	// 20 mm rain, 19 mm pass, 8.90 L/s
}

func TestYieldTable(t *testing.T) {
	c := stream.Curve{RecessionDays: 10, QuickDays: 1,
		Table: []stream.YieldPoint{{0.5, 0.001}, {2, 0.004}, {4, 0.005}}}
	for _, p := range []struct{ index, want float64 }{
		{0, 0}, {0.25, 0.0005}, {0.5, 0.001}, {1, 0.002}, {2, 0.004}, {3, 0.0045}, {4, 0.005}, {40, 0.005},
	} {
		k := math.Exp(-1.0 / 10)
		_, day := c.Step(stream.State{IndexMMD: p.index / k}, 0, 0)
		if math.Abs(day.FlowM3S-p.want) > 1e-12 {
			t.Errorf("index %g mm: %g m³/s, want %g", p.index, day.FlowM3S, p.want)
		}
	}
}

func TestWarmUpForgetsTheStart(t *testing.T) {
	rain, pet := forcing(2)
	c := stream.Curve{SoilDepthMM: 90, QuickFraction: 0.2, QuickDays: 1, RecessionDays: 60, GainM3S: 0.01, Exponent: 1, AreaM2: 1e6}
	start := stream.WarmUp(c, rain, pet)
	again := c.Run(nil, start, rain[:365], pet[:365])
	if math.Abs(again.IndexMMD-start.IndexMMD) > 1e-3*start.IndexMMD || math.Abs(again.SoilMM-start.SoilMM) > 1e-3*start.SoilMM {
		t.Errorf("a further year changes the start: index %g to %g mm, soil %g to %g mm", start.IndexMMD, again.IndexMMD, start.SoilMM, again.SoilMM)
	}
	flow := c.Flow(nil, rain, pet)
	if len(flow) != len(rain) {
		t.Fatalf("%d days of flow for %d of rain", len(flow), len(rain))
	}
}

func TestRunDoesNotAllocate(t *testing.T) {
	rain, pet := forcing(1)
	dst := make([]float64, len(rain))
	curve := stream.Curve{SoilDepthMM: 90, QuickDays: 1, RecessionDays: 60, GainM3S: 0.01, Exponent: 1.2}
	catchment := stream.Catchment{AreaM2: 2e6, X1MM: 350, X3MM: 90, X4D: 1.7}
	if n := testing.AllocsPerRun(5, func() {
		curve.Run(dst, curve.Empty(), rain, pet)
		catchment.Run(dst, catchment.Empty(), rain, pet)
	}); n != 0 {
		t.Errorf("%g allocations a year", n)
	}
}
