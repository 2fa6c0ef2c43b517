package hydro_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/sources/hydro"
)

// Water is kept each hour: what comes in leaves through turbine, house and
// overflow, or is stored; the level stays within the forebay.
func TestForebayKeepsWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := hydro.Forebay{
			VolumeM3:        rapid.Float64Range(0.01, 100).Draw(t, "volume"),
			RestartFraction: rapid.Float64Range(0.01, 1).Draw(t, "restart"),
		}
		p := hydro.Pond{StoredM3: f.VolumeM3 * rapid.Float64Range(0, 1).Draw(t, "filling")}
		for range 30 {
			in := rapid.Float64Range(0, 0.01).Draw(t, "in")
			house := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 0.002)).Draw(t, "house")
			draw := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-4, 0.02)).Draw(t, "draw")
			if draw == 0 {
				p.Running = false
			}
			next, did := f.Hour(p, in, house, draw)
			got := did.TurbineM3 + did.HouseM3 + did.OverflowM3 + next.StoredM3 - p.StoredM3
			if math.Abs(got-3600*in) > 1e-9*(36+f.VolumeM3) {
				t.Fatalf("%g m³ came in, %g m³ are accounted for: %+v to %+v, %+v", 3600*in, got, p, next, did)
			}
			if next.StoredM3 < 0 || next.StoredM3 > f.VolumeM3 {
				t.Fatalf("stored %g m³ is outside 0 to %g", next.StoredM3, f.VolumeM3)
			}
			if did.OverflowM3 < 0 || did.HouseM3 > 3600*house*(1+1e-12) || did.RanS > 3600*(1+1e-12) {
				t.Fatalf("impossible hour: %+v", did)
			}
			if math.Abs(did.TurbineM3-draw*did.RanS) > 1e-9 {
				t.Fatalf("the turbine took %g m³ in %g s at %g m³/s", did.TurbineM3, did.RanS, draw)
			}
			p = next
		}
	})
}

// Hour jumps from one mark of the level to the next; walking it second by
// second gives the same hour.
func TestForebayHourAgainstSeconds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := hydro.Forebay{VolumeM3: rapid.Float64Range(2, 20).Draw(t, "volume"), RestartFraction: 0.5}
		in := rapid.Float64Range(0, 0.005).Draw(t, "in")
		draw := rapid.Float64Range(0.001, 0.01).Draw(t, "draw")
		p := hydro.Pond{StoredM3: f.VolumeM3 * rapid.Float64Range(0, 1).Draw(t, "filling")}
		_, did := f.Hour(p, in, 0, draw)

		const dt = 0.1
		ran, stopped := 0.0, -1.0
		for i := range 36000 {
			if !p.Running && p.StoredM3 >= 0.5*f.VolumeM3 {
				p.Running = true
			}
			p.StoredM3 += in * dt
			if p.Running {
				p.StoredM3 -= draw * dt
				ran += dt
			}
			if p.StoredM3 <= 0 {
				if p.Running && stopped < 0 {
					stopped = dt * float64(i+1)
				}
				p.Running = false
			}
			p.StoredM3 = max(0, min(p.StoredM3, f.VolumeM3))
		}
		// Each switch may fall into another step.
		if math.Abs(ran-did.RanS) > 30 {
			t.Fatalf("ran %.1f s by seconds, %.1f s in one go", ran, did.RanS)
		}
		// A restart that is a step late begins a step's water higher.
		late := 1 + 2*dt*max(in, draw)/math.Abs(draw-in)
		if did.FirstStopS > 1 && did.FirstStopS < 3599 && math.Abs(stopped-did.FirstStopS) > late {
			t.Fatalf("first ran dry after %.1f s by seconds, %.1f s in one go", stopped, did.FirstStopS)
		}
		if did.FirstStopS < 0 && stopped >= 0 && stopped < 3600-late {
			t.Fatalf("ran dry after %.1f s by seconds, never in one go", stopped)
		}
	})
}

// Pencil sum: 2 L/s into 10 m³, a nozzle of 4 L/s, restart at half. Full, it
// runs 5000 s; then 5 m³ fill in 2500 s and empty in 2500 s, over and over.
func TestForebayPartOfTheDay(t *testing.T) {
	f := hydro.Forebay{VolumeM3: 10, RestartFraction: 0.5}
	p := hydro.Pond{StoredM3: 10}
	// It runs from 0 to 5000 s, 7500 to 10000, 12500 to 15000, 17500 to 20000
	// and 22500 to 25000.
	ran := []float64{3600, 1400, 2500, 1900, 1100, 2000, 2500}
	for h, want := range ran {
		var did hydro.PondHour
		p, did = f.Hour(p, 0.002, 0, 0.004)
		if math.Abs(did.RanS-want) > 1e-6 {
			t.Errorf("hour %d: ran %g s, want %g s", h, did.RanS, want)
		}
	}
}
