package hydro

import "math"

const (
	jetCv         = 0.97 // speed of a jet over that without friction; 0.95 to 0.99 [Thake]
	runawayFactor = 1.8  // speed without load over best speed: design practice [Thake]
	bucketTurnDeg = 165  // through which a bucket turns the water
)

// JetSpeed returns the speed in m/s of a jet behind a net head,
// v = Cv √(2 g H).
func JetSpeed(netHeadM, cv float64) float64 { return cv * math.Sqrt(2*gravityMS2*netHeadM) }

// SpeedRPM returns how many turns a minute a wheel makes whose rim moves at the
// given speed.
func SpeedRPM(rimMS, diameterM float64) float64 { return 60 * rimMS / (math.Pi * diameterM) }

// BucketPower returns the power in W that a jet gives to buckets by the
// momentum theory,
//
//	P = ρ Q u (v − u) (1 − k cos θ)
//
// where v and u are the speeds of jet and buckets, θ is the angle through which
// the bucket turns the water, 180° being straight back, and k is the fraction of
// its speed along the bucket that the water keeps, 1 without friction. Real
// runners of household size stay well below it.
func BucketPower(w Water, flowM3S, jetMS, bucketMS, turnDeg, kept float64) float64 {
	return w.DensityKgM3 * flowM3S * bucketMS * (jetMS - bucketMS) * (1 - kept*math.Cos(turnDeg*math.Pi/180))
}

// Runner is what a runner for the plant would look like: for information, the
// maker decides.
type Runner struct {
	JetMS            float64
	JetM             float64 // diameter of the largest jet
	BucketMS         float64
	MinDiameterM     float64 // by the usual ratio to the jet; 0 where no rule is known
	RPM              float64 // of a runner of that diameter
	RunawayRPM       float64 // without load
	OffSpeedFraction float64 // power lost by turning a fifth too slow or too fast, by the momentum theory
	MinNetHeadM      float64 // with all jets open
	SpeedRatio       float64
	DiameterTimesNM  float64 // diameter in m times turns a minute: any pair with this product fits
}

// Runner returns the runner that fits the machine's greatest flow.
func (m *Machine) Runner() Runner {
	t := m.Plant.Turbine
	k, ok := KindOf(t.Kind)
	if !ok {
		k = kinds[0]
	}
	q := m.MaxFlow()
	h := m.Plant.Penstock.NetHead(q, m.Water)
	if q <= 0 || h <= 0 {
		return Runner{SpeedRatio: k.SpeedRatio}
	}
	one := q // through the largest nozzle
	if n := len(m.Sets); n > 0 {
		bores := m.Sets[n-1].BoresM
		area := 0.0
		for _, d := range bores {
			area += circle(d)
		}
		one *= circle(bores[0]) / area
	}
	r := Runner{JetMS: JetSpeed(h, jetCv), MinNetHeadM: h, SpeedRatio: k.SpeedRatio}
	r.JetM = math.Sqrt(4 * one / (math.Pi * r.JetMS))
	r.BucketMS = k.SpeedRatio * r.JetMS
	r.DiameterTimesNM = 60 * r.BucketMS / math.Pi
	if k.JetRatio > 0 {
		r.MinDiameterM = r.JetM / k.JetRatio
		r.RPM = SpeedRPM(r.BucketMS, r.MinDiameterM)
		r.RunawayRPM = runawayFactor * r.RPM
	}
	best := BucketPower(m.Water, q, r.JetMS, r.BucketMS, bucketTurnDeg, 1)
	slow := BucketPower(m.Water, q, r.JetMS, 0.8*r.BucketMS, bucketTurnDeg, 1)
	fast := BucketPower(m.Water, q, r.JetMS, 1.2*r.BucketMS, bucketTurnDeg, 1)
	r.OffSpeedFraction = 1 - min(slow, fast)/best
	return r
}
