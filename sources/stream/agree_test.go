package stream_test

import (
	"math"
	"testing"

	"sunrill/sources/stream"
)

// rainy is three years of invented rain with a wet and a dry half.
func rainy() (rain, pet []float64) {
	for d := range 3 * 365 {
		mm := 0.0
		if d%365 < 180 && d%5 < 2 {
			mm = 12
		}
		rain = append(rain, mm)
		pet = append(pet, 2-1.5*math.Cos(2*math.Pi*float64(d-90)/365))
	}
	return rain, pet
}

func TestAgree(t *testing.T) {
	curve := stream.Curve{SoilDepthMM: 80, QuickFraction: 0.2, QuickDays: 2, RecessionDays: 40, FloorM3S: 2e-4, GainM3S: 1e-3, Exponent: 1, AreaM2: 1e5}
	catchment := stream.Catchment{AreaM2: 1e6, X1MM: 350, X2MMD: -0.2, X3MM: 90, X4D: 1.7}
	rain, pet := rainy()
	for name, m := range map[string]stream.Model{"curve": curve, "catchment": catchment} {
		states := stream.Follow(m, rain, pet)
		full := stream.Fullest(states)
		for _, d := range []int{100, 300, 700} {
			s := states[d]
			var was [1]float64
			m.Run(was[:], s, []float64{0}, []float64{1})

			if o, moved, q := stream.Agree(m, s, full, 1, was[0]); moved != stream.MovedNothing || q != was[0] || o != s {
				t.Errorf("%s, day %d: a reading of the model's own flow moved it (%v)", name, d, moved)
			}
			for _, times := range []float64{0.8, 1.3} {
				want := was[0] * times
				o, moved, q := stream.Agree(m, s, full, 1, want)
				if math.Abs(q-want) > 1e-6*want || moved == stream.Beyond {
					t.Errorf("%s, day %d, %g times: gives %g, want %g (%v)", name, d, times, q, want, moved)
				}
				if o.SoilMM != s.SoilMM || o.ProductionMM != s.ProductionMM {
					t.Errorf("%s, day %d: the soil was moved", name, d)
				}
			}
			if _, moved, q := stream.Agree(m, s, full, 1, 1000*was[0]+1); moved != stream.Beyond || !(q < 1) {
				t.Errorf("%s, day %d: a flood beyond the record was explained (%v, %g)", name, d, moved, q)
			}
		}
	}
}

// The wetness index of a curve of exponent 1 follows from the reading by hand:
// flow = floor + gain·k·index on a day without rain and without quick flow.
func TestAgreeByHand(t *testing.T) {
	c := stream.Curve{SoilDepthMM: 80, RecessionDays: 40, FloorM3S: 2e-4, GainM3S: 1e-3, Exponent: 1}
	s := stream.State{SoilMM: 10, IndexMMD: 3}
	o, moved, _ := stream.Agree(c, s, stream.State{IndexMMD: 8}, 1, 1.2e-3)
	if want := 1 / math.Exp(-1.0/40); moved != stream.MovedSlow || math.Abs(o.IndexMMD-want) > 1e-6 {
		t.Errorf("index %.6f, want %.6f (%v)", o.IndexMMD, want, moved)
	}
	// Below the floor no state explains a reading.
	if _, moved, q := stream.Agree(c, s, stream.State{IndexMMD: 8}, 1, 1e-4); moved != stream.Beyond || math.Abs(q-2e-4) > 1e-12 {
		t.Errorf("below the floor: %v, %g", moved, q)
	}
}

func TestFollowAgreesWithFlow(t *testing.T) {
	c := stream.Catchment{AreaM2: 1e6, X1MM: 350, X2MMD: -0.2, X3MM: 90, X4D: 1.7}
	rain, pet := rainy()
	flow := c.Flow(nil, rain, pet)
	states := stream.Follow(c, rain, pet)
	if len(states) != len(rain)+1 {
		t.Fatalf("%d states of %d days", len(states), len(rain))
	}
	var day [1]float64
	for d := range rain {
		if end := c.Run(day[:], states[d], rain[d:d+1], pet[d:d+1]); day[0] != flow[d] || end != states[d+1] {
			t.Fatalf("day %d: %g from its state, %g in the run", d, day[0], flow[d])
		}
	}
	mean := stream.MeanState(states[10:12])
	if want := (states[10].RoutingMM + states[11].RoutingMM) / 2; math.Abs(mean.RoutingMM-want) > 1e-9 {
		t.Errorf("mean routing store %g, want %g", mean.RoutingMM, want)
	}
}
