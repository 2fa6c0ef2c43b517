package solar_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sources/solar"
	"sunrill/weather"
)

const degree = math.Pi / 180

// sunAt is the sun's unit vector by declination and hour angle, as textbooks
// have it.
func sunAt(latDeg, declinationDeg, hourAngleDeg float64) (east, north, up float64) {
	f, d, w := latDeg*degree, declinationDeg*degree, hourAngleDeg*degree
	return -math.Cos(d) * math.Sin(w),
		math.Sin(d)*math.Cos(f) - math.Cos(d)*math.Cos(w)*math.Sin(f),
		math.Sin(f)*math.Sin(d) + math.Cos(f)*math.Cos(d)*math.Cos(w)
}

// Duffie and Beckman, Solar Engineering of Thermal Processes, example 1.6.1:
// Madison, Wisconsin (43° N), 13 February, 10:30 solar time, a surface tilted
// 45° and turned 15° west of south; the book prints a declination of −14° and an
// incidence angle of 35°.
func ExampleCosIncidence() {
	east, north, up := sunAt(43, -14, -22.5)
	fmt.Printf("%.0f°\n", math.Acos(solar.CosIncidence(45, 180+15, east, north, up))/degree)
	// Output: 35°
}

// Ratios of beam on the tilt to beam on the level, Duffie and Beckman, examples
// 1.8.1 to 1.8.3 (1.7.1 to 1.7.3 in older editions, whose third is read from a
// chart).
func TestBeamRatioPublished(t *testing.T) {
	for _, c := range []struct {
		source                                      string
		lat, decl, hour, tilt, facing, printed, tol float64
	}{
		{"example 1.8.1", 43, -13.946, -22.5, 45, 195, 1.66, 0.005},
		{"example 1.8.2", 40, -13, -37.5, 30, 180, 1.61, 0.005},
		{"example 1.8.3", 40, -13, -37.5, 50, 180, 1.80, 0.02},
	} {
		east, north, up := sunAt(c.lat, c.decl, c.hour)
		if got := solar.CosIncidence(c.tilt, c.facing, east, north, up) / up; math.Abs(got-c.printed) > c.tol {
			t.Errorf("%s: ratio %.4f, the book prints %g", c.source, got, c.printed)
		}
	}
}

// Duffie and Beckman, examples 2.15.1 and 2.16.1: 40° N, 20 February (day 51), 9
// to 10 in solar time, a surface tilted 60° to the south before ground of albedo
// 0.6; I = 1.04 MJ/m², I0 = 2.3349, beam 0.2439 and diffuse 0.7961 on the level.
// The book's answers are from memory (1.17 MJ/m² under a uniform sky, 1.28 with
// its further term for the horizon's brightness); so the sums below are worked
// out from the model's published equation:
// Rb = 1.7133, A = 0.1045 and 0.5604 + 0.5347 + 0.1560 = 1.2510 MJ/m².
func TestTranspositionTextbook(t *testing.T) {
	const perHour = 1e6 / 3600 // W/m² for a MJ/m² in an hour
	decl := 23.45 * math.Sin(2*math.Pi*(284+51)/365)
	east, north, up := sunAt(40, decl, -37.5)
	path := weather.Path{
		FirstSample: []int32{0, 1},
		East:        []float64{east}, North: []float64{north}, Up: []float64{up},
		CosZenith:                 []float64{up},
		ExtraterrestrialNormalWM2: []float64{2.3349 * perHour / up},
	}
	a := solar.Array{TiltDeg: 60, AzimuthDeg: 180, Albedo: 0.6}
	view := solar.NewView(a, path)
	in := func(beam, diffuse float64) float64 {
		ghi := []float64{(beam + diffuse) * perHour}
		return view.Irradiance(nil, ghi, []float64{beam * perHour / up}, []float64{diffuse * perHour})[0] / perHour
	}
	if got := in(0.2439, 0.7961); math.Abs(got-1.2510) > 0.0015 {
		t.Errorf("on the tilt: %.4f MJ/m², the equation gives 1.2510", got)
	}
	// Without beam the sky is uniform: (1 + cos 60°)/2 and albedo (1 − cos 60°)/2.
	if got, want := in(0, 0.7961), 0.7961*(0.75+0.6*0.25); math.Abs(got-want) > 1e-4 {
		t.Errorf("under a uniform sky: %.4f MJ/m², want %.4f", got, want)
	}
}

// Nominal temperature's own point, and powers worked out by hand for a cell of
// NOCT 45 °C: 800 W/m² at 20 °C gives 45 °C.
func TestCellTemperatureAndPower(t *testing.T) {
	for _, c := range []struct{ light, air, noct, coef, cell, power float64 }{
		{800, 20, 45, -0.004, 45, 0.7360},
		{800, 20, 45, -0.0035, 45, 0.7440},
		{1000, 25, 45, -0.004, 56.25, 0.8750},
		{1000, 0, 45, -0.0035, 31.25, 0.9781},
		{400, 10, 46, -0.004, 23, 0.4032},
	} {
		cell := solar.CellTemperature(c.air, c.light, c.noct)
		if math.Abs(cell-c.cell) > 1e-9 {
			t.Errorf("%g W/m², %g °C: cells at %.2f °C, want %g", c.light, c.air, cell, c.cell)
		}
		if got := c.light / 1000 * solar.TemperatureFactor(cell, c.coef); math.Abs(got-c.power) > 5e-5 {
			t.Errorf("%g W/m², %g °C, %g/K: power %.4f of the rating, want %.4f", c.light, c.air, c.coef, got, c.power)
		}
	}
}

// The incidence law's values at b0 = 0.05, from its published formula.
func TestIAMAtItsPublishedFormula(t *testing.T) {
	for deg, want := range map[float64]float64{0: 1, 30: 0.9923, 45: 0.9793, 60: 0.9500, 70: 0.9038, 80: 0.7621, 85: 0.4763, 90: 0} {
		if got := solar.IAM(math.Cos(deg * degree)); math.Abs(got-want) > 5e-5 {
			t.Errorf("IAM at %g° = %.4f, want %.4f", deg, got, want)
		}
	}
	if got := solar.IAM(-0.5); got != 0 {
		t.Errorf("IAM from behind = %g", got)
	}
}

// The power of one hour under straight light, step by step by hand.
func TestPowerByHand(t *testing.T) {
	path := weather.Path{
		FirstSample: []int32{0, 1, 1},
		East:        []float64{0}, North: []float64{0}, Up: []float64{1},
		CosZenith:                 []float64{1, 0},
		ExtraterrestrialNormalWM2: []float64{1361},
	}
	a := solar.Array{PowerW: 2000, Losses: 0.1, NOCTC: 45, TempCoefPerK: -0.004, ControllerEfficiency: 0.95}
	power := func(a solar.Array) []float64 {
		return solar.NewView(a, path).Power(nil, []float64{1000, 30}, []float64{1000, 0}, []float64{0, 30}, []float64{25, 25})
	}
	got := power(a)
	// cells at 56.25 °C: 1 − 0.004 · 31.25 = 0.875; 2000 W · 0.875 · 0.9 · 0.95
	if want := 2000 * 0.875 * 0.9 * 0.95; math.Abs(got[0]-want) > 1e-6 {
		t.Errorf("%.3f W, by hand %.3f W", got[0], want)
	}
	if got[1] != 0 {
		t.Errorf("an hour without a sample of sun gives %.2f W", got[1])
	}
	a.ControllerMaxW = 1200
	if got := power(a); got[0] != 1200 {
		t.Errorf("a controller of 1200 W passes %.1f W", got[0])
	}
}

// What holds for any panel under any sky.
func TestLawsOfTheView(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat := rapid.Float64Range(-80, 80).Draw(t, "latitude")
		decl := rapid.Float64Range(-23.4, 23.4).Draw(t, "declination")
		var path weather.Path
		path.ExtraterrestrialNormalWM2 = []float64{1361}
		path.FirstSample = []int32{0}
		for h := range 24 {
			sum, n := 0.0, 0
			for k := range 4 {
				e, no, u := sunAt(lat, decl, 15*(float64(h)+(float64(k)+0.5)/4-12))
				if u > 0 {
					path.East, path.North, path.Up = append(path.East, e), append(path.North, no), append(path.Up, u)
					sum += u
					n++
				}
			}
			path.CosZenith = append(path.CosZenith, sum/math.Max(1, float64(n)))
			path.FirstSample = append(path.FirstSample, int32(len(path.Up)))
		}
		ghi, dni, dhi, air := make([]float64, 24), make([]float64, 24), make([]float64, 24), make([]float64, 24)
		for h, cosZ := range path.CosZenith {
			if cosZ > 0 {
				dni[h] = rapid.Float64Range(0, 1000).Draw(t, "dni")
				dhi[h] = rapid.Float64Range(0, 300).Draw(t, "dhi")
				ghi[h] = dhi[h] + dni[h]*cosZ
			}
			air[h] = rapid.Float64Range(-30, 40).Draw(t, "air")
		}
		a := solar.Array{
			PowerW:  1000,
			TiltDeg: rapid.Float64Range(0, 90).Draw(t, "tilt"), AzimuthDeg: rapid.Float64Range(0, 360).Draw(t, "facing"),
			Losses: rapid.Float64Range(0, 0.5).Draw(t, "losses"), NOCTC: 45, TempCoefPerK: -0.0035, ControllerEfficiency: 0.96,
			ControllerMaxW: rapid.Float64Range(0, 1200).Draw(t, "limit"),
		}
		open := solar.NewView(a, path)
		bare := open.Irradiance(nil, ghi, dni, dhi)
		power := open.Power(nil, ghi, dni, dhi, air)
		a.Horizon = solar.Horizon{
			{BearingDeg: 0, HeightDeg: rapid.Float64Range(0, 60).Draw(t, "hill")},
			{BearingDeg: 120, HeightDeg: rapid.Float64Range(0, 60).Draw(t, "hill")},
			{BearingDeg: 240, HeightDeg: rapid.Float64Range(0, 60).Draw(t, "hill")},
		}
		shaded := solar.NewView(a, path).Irradiance(nil, ghi, dni, dhi)
		for h := range bare {
			if math.IsNaN(bare[h]) || bare[h] < 0 || power[h] < 0 {
				t.Fatalf("hour %d: %g W/m², %g W", h, bare[h], power[h])
			}
			if shaded[h] > bare[h]+1e-6 {
				t.Fatalf("hour %d: %g W/m² behind hills, %g without", h, shaded[h], bare[h])
			}
			if path.CosZenith[h] == 0 && power[h] != 0 {
				t.Fatalf("hour %d: %g W at night", h, power[h])
			}
			if a.ControllerMaxW > 0 && power[h] > a.ControllerMaxW {
				t.Fatalf("hour %d: %g W past a controller of %g W", h, power[h], a.ControllerMaxW)
			}
		}
		a.TiltDeg, a.Horizon = 0, nil
		for h, got := range solar.NewView(a, path).Irradiance(nil, ghi, dni, dhi) {
			// Flat panels get the level's radiation; below 1° of sun the
			// circumsolar light is held back.
			if path.CosZenith[h] > 0.02 && math.Abs(got-ghi[h]) > 1e-3+1e-5*ghi[h] {
				t.Fatalf("hour %d: flat panels get %g W/m², the level %g", h, got, ghi[h])
			}
		}
	})
}
