package solar_test

import (
	"fmt"
	"math"
	"testing"

	"sunrill/sources/solar"
	"sunrill/weather"
)

// A horizon drawn with four points: 20° high in the south, on a line down to
// the east and the west.
func ExampleHorizon_Height() {
	h := solar.Horizon{{90, 5}, {180, 20}, {270, 5}, {350, 1}}
	for _, bearing := range []float64{135, 180, 270, 10} {
		fmt.Printf("%.0f°: %.1f°\n", bearing, h.Height(bearing))
	}
	// Output:
	// 135°: 12.5°
	// 180°: 20.0°
	// 270°: 5.0°
	// 10°: 1.8°
}

func TestHorizonAroundTheCompass(t *testing.T) {
	h := solar.Horizon{{300, 10}, {-60 + 90, 30}, {30 + 90, 0}, {210, 4}}.Sorted()
	for i := 1; i < len(h); i++ {
		if h[i].BearingDeg < h[i-1].BearingDeg {
			t.Fatalf("%v is not sorted", h)
		}
	}
	if a, b := h.Height(0), h.Height(360); a != b || math.Abs(a-(10+20*60.0/90)) > 1e-9 {
		t.Errorf("north is %.3f° and %.3f° high, want %.3f°", a, b, 10+20*60.0/90)
	}
	if got := h.Height(-1); math.Abs(got-h.Height(359)) > 1e-9 {
		t.Errorf("bearings −1° and 359°: %.3f° and %.3f°", got, h.Height(359))
	}
	for _, p := range h {
		if got := h.Height(p.BearingDeg); math.Abs(got-p.HeightDeg) > 1e-9 {
			t.Errorf("the point at %g° is %g° high, Height gives %g°", p.BearingDeg, p.HeightDeg, got)
		}
	}
	last := h.Height(0)
	for b := 0.0; b < 720; b += 0.25 { // no step anywhere around the compass
		if got := h.Height(b); math.Abs(got-last) > 0.2 {
			t.Fatalf("at %.2f° the skyline steps from %.2f° to %.2f°", b, last, got)
		} else {
			last = got
		}
	}
	if solar.Horizon(nil).Height(77) != 0 || (solar.Horizon{{10, 7}}).Height(200) != 7 {
		t.Error("no point is flat, a single point is that high all around")
	}
}

// With a flat horizon the share is (1 + cos tilt)/2; a level plane within walls
// of height h all around sees cos² h of the sky's light; walls as high as an
// upright plane's whole view leave none. All three are closed integrals.
func TestSkyViewAgainstClosedIntegrals(t *testing.T) {
	for tilt := 0.0; tilt <= 90; tilt += 7.5 {
		for facing := 0.0; facing < 360; facing += 45 {
			got := solar.SkyView(tilt, facing, nil)
			if want := (1 + math.Cos(tilt*degree)) / 2; math.Abs(got-want) > 1e-5 {
				t.Errorf("tilt %g°, facing %g°: %.6f, want %.6f", tilt, facing, got, want)
			}
		}
	}
	for wall := 0.0; wall <= 90; wall += 10 {
		got := solar.SkyView(0, 0, solar.Horizon{{0, wall}})
		if want := math.Pow(math.Cos(wall*degree), 2); math.Abs(got-want) > 1e-9 {
			t.Errorf("walls of %g°: %.6f, want %.6f", wall, got, want)
		}
	}
	if got := solar.SkyView(90, 180, solar.Horizon{{0, 90}}); math.Abs(got) > 1e-9 {
		t.Errorf("an upright plane in a shaft sees %.6f", got)
	}
	// A hill behind an upright plane takes nothing from it.
	behind := solar.Horizon{{89.9, 0}, {90, 0}, {180, 0}, {270, 0}, {270.1, 40}, {0, 40}, {89.8, 40}}.Sorted()
	if got := solar.SkyView(90, 180, behind); math.Abs(got-0.5) > 1e-3 {
		t.Errorf("an upright plane with a hill behind it sees %.4f, want 0.5", got)
	}
}

// A sun that stands just behind a hill by its true place is lifted over it by
// the air: by 34′ at the level and by 9.9′ at 5°, as tables of refraction print.
func TestAirLiftsTheSunOverHills(t *testing.T) {
	all := func(deg float64) solar.Horizon {
		return solar.Horizon{{BearingDeg: 0, HeightDeg: deg}, {BearingDeg: 180, HeightDeg: deg}}
	}
	for _, c := range []struct {
		hillDeg, trueDeg float64
		seen             bool
	}{
		{5, 5 - 9.0/60, true}, {5, 5 - 11.0/60, false},
		{1, 1 - 23.0/60, true}, {1, 1 - 26.0/60, false},
		{20, 20 - 2.0/60, true}, {20, 20 - 4.0/60, false},
	} {
		up := math.Sin(c.trueDeg * math.Pi / 180)
		south := weather.Path{FirstSample: []int32{0, 1}, East: []float64{0}, North: []float64{-math.Sqrt(1 - up*up)}, Up: []float64{up}, CosZenith: []float64{up}, ExtraterrestrialNormalWM2: []float64{1361}}
		wall := solar.Array{TiltDeg: 90, AzimuthDeg: 180, Horizon: all(c.hillDeg)}
		got := solar.NewView(wall, south).Irradiance(nil, []float64{500 * up}, []float64{500}, []float64{0})[0]
		if (got > 400) != c.seen {
			t.Errorf("sun at %.3f° by its true place, hill of %g°: %.0f W/m² on a wall, seen should be %v", c.trueDeg, c.hillDeg, got, c.seen)
		}
	}
}

// A stroke over the hills takes their place where it goes, and nowhere else.
func TestHorizonRedrawn(t *testing.T) {
	h := solar.Horizon{{0, 4}, {90, 7}, {180, 20}, {270, 8}}
	// Drawn from the right to the left, over the south: up to 30° and down.
	got := h.Redrawn([]solar.HorizonPoint{{201, 10}, {180, 30}, {159, 10.04}}, 10)
	want := solar.Horizon{{0, 4}, {90, 7}, {160, 11}, {170, 20.5}, {180, 30}, {190, 20.5}, {200, 11}, {270, 8}}
	if len(got) != len(want) {
		t.Fatalf("%v, want %v", got, want)
	}
	for i := range want {
		if math.Abs(got[i].BearingDeg-want[i].BearingDeg) > 1e-9 || math.Abs(got[i].HeightDeg-want[i].HeightDeg) > 0.06 {
			t.Errorf("point %d: %v, want %v", i, got[i], want[i])
		}
	}
	if got := h.Redrawn([]solar.HorizonPoint{{92, -3}}, 5); len(got) != 4 || got[1] != (solar.HorizonPoint{BearingDeg: 90, HeightDeg: 0}) {
		t.Errorf("a dab below the level: %v", got)
	}
	if got := h.Redrawn(nil, 5); len(got) != 4 {
		t.Errorf("no stroke: %v", got)
	}
}
