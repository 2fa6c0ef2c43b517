package solar_test

import (
	"math"
	"testing"
	"time"

	"sunrill/sources/solar"
	"sunrill/weather"
)

var roof = solar.Array{
	PowerW: 2400, TiltDeg: 45, AzimuthDeg: 165, Losses: 0.11, NOCTC: 45, TempCoefPerK: -0.0035,
	ControllerEfficiency: 0.97, ControllerMaxW: 1800,
	Horizon: solar.Horizon{{0, 2}, {90, 8}, {150, 14}, {180, 17}, {230, 9}, {300, 3}},
}

// plainSky is what a panel gets of a uniform sky behind the glass and behind the
// hills, what the level ground gets of it, and what the panel gets of a uniform
// ground: sums over a fine grid of directions, two for each degree.
type plainSky struct{ sky, level, below float64 }

func lookAround(a solar.Array) plainSky {
	var s plainSky
	for az := 0.25; az < 360; az += 0.5 {
		hill := a.Horizon.Height(az)
		for el := 0.25; el < 90; el += 0.5 {
			sinE, cosE := math.Sincos(el * degree)
			e, n := cosE*math.Sin(az*degree), cosE*math.Cos(az*degree)
			patch := cosE * (0.5 * degree) * (0.5 * degree) / math.Pi
			if el > hill {
				cos := math.Max(0, solar.CosIncidence(a.TiltDeg, a.AzimuthDeg, e, n, sinE))
				s.sky += cos * solar.IAM(cos) * patch
				s.level += sinE * patch
			}
			cos := math.Max(0, solar.CosIncidence(a.TiltDeg, a.AzimuthDeg, e, n, -sinE))
			s.below += cos * solar.IAM(cos) * patch
		}
	}
	return s
}

// plainPower is the view's power straight from the equations, sample by sample
// and direction by direction: slow, and with nothing worked out before.
func plainPower(a solar.Array, p weather.Path, around plainSky, h int, ghi, dni, dhi, airC float64) float64 {
	from, to := p.FirstSample[h], p.FirstSample[h+1]
	if from == to {
		return 0
	}
	var beam, ground float64
	for i := from; i < to; i++ {
		bearing := math.Atan2(p.East[i], p.North[i]) / degree
		hill := a.Horizon.Height(bearing)
		lifted := 1 / math.Tan((hill+7.31/(hill+4.4))*degree) / 60 // by the air, at the hill's edge
		if math.Asin(p.Up[i])/degree+lifted < hill {
			continue
		}
		cos := math.Max(0, solar.CosIncidence(a.TiltDeg, a.AzimuthDeg, p.East[i], p.North[i], p.Up[i]))
		beam += cos * solar.IAM(cos) / float64(to-from)
		ground += p.Up[i] / float64(to-from)
	}
	fraction := dni / p.ExtraterrestrialNormalWM2[h/24]
	cosZ := math.Max(p.CosZenith[h], math.Cos(89*degree))
	seen := ghi - dni*(p.CosZenith[h]-ground) - dhi*(1-around.level)
	light := (dni+dhi*fraction/cosZ)*beam + dhi*(1-fraction)*around.sky + solar.UsualAlbedo*math.Max(0, seen)*around.below
	cell := solar.CellTemperature(airC, light, a.NOCTC)
	w := a.PowerW * light / 1000 * solar.TemperatureFactor(cell, a.TempCoefPerK) * (1 - a.Losses) * a.ControllerEfficiency
	return math.Min(math.Max(0, w), a.ControllerMaxW)
}

// The view's shortcuts against the plain equations.
func TestPowerAgainstPlainEquations(t *testing.T) {
	sky, tr := invented(t, nasaPlace, nasaHorizontal, weather.SkyOptions{Variability: 1})
	path := tr.Path
	air := make([]float64, tr.Year.Hours())
	for h := range air {
		air[h] = 10 + 8*math.Sin(float64(h)/50)
	}
	got := solar.NewView(roof, path).Power(nil, sky.GHI, sky.DNI, sky.DHI, air)
	around := lookAround(roof)
	for h := 8; h < len(got); h += 7 {
		want := plainPower(roof, path, around, h, sky.GHI[h], sky.DNI[h], sky.DHI[h], air[h])
		// 0.2 % of the rating for the coarser grid of the glass's share.
		if math.Abs(got[h]-want) > 0.002*roof.PowerW {
			t.Errorf("hour %d: %.2f W, the equations give %.2f W", h, got[h], want)
		}
	}
}

func TestYearOfPanelsAllocatesNothing(t *testing.T) {
	sky, tr := invented(t, nasaPlace, nasaHorizontal, weather.SkyOptions{})
	view := solar.NewView(roof, tr.Path)
	factors, air := make([]float64, tr.Year.Days), make([]float64, tr.Year.Hours())
	dst := make([]float64, tr.Year.Hours())
	s := new(weather.Sky)
	if n := testing.AllocsPerRun(3, func() {
		sky = s.Hours(sky, tr, factors)
		dst = view.Power(dst, sky.GHI, sky.DNI, sky.DHI, air)
	}); n != 0 {
		t.Errorf("a year of panels allocates %g times", n)
	}
}

// BenchmarkYearOfPanels goes from a year of daily factors to one array's hourly
// watts. x-bare is its time over that of a bare clamp-and-add loop over the same
// hours.
func BenchmarkYearOfPanels(b *testing.B) {
	sky, tr := invented(b, nasaPlace, nasaHorizontal, weather.SkyOptions{Variability: 1})
	view := solar.NewView(roof, tr.Path)
	factors, air := make([]float64, tr.Year.Days), make([]float64, tr.Year.Hours())
	for d := range factors {
		factors[d] = 0.5 + 0.4*math.Sin(float64(d))
	}
	dst := make([]float64, tr.Year.Hours())
	s := new(weather.Sky)
	for b.Loop() {
		sky = s.Hours(sky, tr, factors)
		dst = view.Power(dst, sky.GHI, sky.DNI, sky.DHI, air)
	}
	year := float64(b.Elapsed()) / float64(b.N)
	b.ReportMetric(year/bareLoop(dst), "x-bare")
	b.ReportMetric(year/1e6, "ms/year")
}

// bareLoop returns the time in ns of a clamp-and-add loop over the hours.
func bareLoop(w []float64) float64 {
	const rounds = 300
	stored := 0.0
	start := time.Now()
	for range rounds {
		for _, x := range w {
			stored += x - 300
			if stored > 1e4 {
				stored = 1e4
			}
			if stored < 0 {
				stored = 0
			}
		}
	}
	ns := float64(time.Since(start)) / rounds
	if stored < 0 {
		panic("the clamp does not hold")
	}
	return ns
}

func BenchmarkNewView(b *testing.B) {
	_, tr := invented(b, nasaPlace, nasaHorizontal, weather.SkyOptions{})
	path := tr.Path
	for b.Loop() {
		solar.NewView(roof, path)
	}
}
