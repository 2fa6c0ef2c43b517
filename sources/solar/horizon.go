package solar

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// Height returns the horizon's height in degrees at a compass bearing, on the
// straight line between the two nearest points around the compass. An empty
// horizon is flat; one with a single point is that high all around.
func (h Horizon) Height(bearingDeg float64) float64 {
	switch len(h) {
	case 0:
		return 0
	case 1:
		return h[0].HeightDeg
	}
	b := turn(bearingDeg)
	i := sort.Search(len(h), func(i int) bool { return h[i].BearingDeg > b })
	after := h[i%len(h)]
	before := h[(i+len(h)-1)%len(h)]
	span := turn(after.BearingDeg - before.BearingDeg)
	if span == 0 {
		return before.HeightDeg
	}
	x := turn(b-before.BearingDeg) / span
	return before.HeightDeg + x*(after.HeightDeg-before.HeightDeg)
}

// Sorted returns the horizon with its points in order of bearing, each brought
// to 0 up to 360.
func (h Horizon) Sorted() Horizon {
	s := make(Horizon, len(h))
	for i, p := range h {
		s[i] = HorizonPoint{BearingDeg: turn(p.BearingDeg), HeightDeg: p.HeightDeg}
	}
	sort.SliceStable(s, func(i, j int) bool { return s[i].BearingDeg < s[j].BearingDeg })
	return s
}

// Redrawn returns the horizon with a stroke drawn over it: between the stroke's
// least and greatest bearing, which does not cross north, its own points are
// those of the stroke, brought to whole steps of bearing by the straight line
// between its points, and to tenths of a degree; the rest stays. Heights below 0
// are 0, above 89 they are 89. A stroke of one point sets the nearest step.
func (h Horizon) Redrawn(stroke []HorizonPoint, stepDeg float64) Horizon {
	if len(stroke) == 0 {
		return h.Sorted()
	}
	drawn := slices.Clone(stroke)
	slices.SortStableFunc(drawn, func(a, b HorizonPoint) int { return cmp.Compare(a.BearingDeg, b.BearingDeg) })
	first := math.Round(drawn[0].BearingDeg / stepDeg)
	last := math.Round(drawn[len(drawn)-1].BearingDeg / stepDeg)
	is := Horizon{}
	for _, p := range h.Sorted() {
		if p.BearingDeg < first*stepDeg || p.BearingDeg > last*stepDeg {
			is = append(is, p)
		}
	}
	i := 0
	for n := first; n <= last; n++ {
		b := n * stepDeg
		for i+1 < len(drawn)-1 && drawn[i+1].BearingDeg < b {
			i++
		}
		height := drawn[i].HeightDeg
		if i+1 < len(drawn) && drawn[i+1].BearingDeg > drawn[i].BearingDeg {
			x := math.Min(1, math.Max(0, (b-drawn[i].BearingDeg)/(drawn[i+1].BearingDeg-drawn[i].BearingDeg)))
			height += x * (drawn[i+1].HeightDeg - height)
		}
		is = append(is, HorizonPoint{turn(b), math.Round(10*math.Min(89, math.Max(0, height))) / 10})
	}
	return is.Sorted()
}

// turn brings a bearing to 0 up to 360 degrees.
func turn(deg float64) float64 {
	d := math.Mod(deg, 360)
	if d < 0 {
		d += 360
	}
	return d
}

const skySlices = 720 // slices of the sky around the compass, half a degree each

// SkyView returns the fraction of the diffuse radiation of a uniform sky that
// falls on a tilted plane behind its horizon, 0 to 1: (1 + cos tilt)/2 with a
// flat one.
//
//	F = 1/π ∫∫ cos θ cos e de dφ
//
// over the sky above the horizon that the plane faces. The integral over the
// height e is closed; around the compass it is summed.
func SkyView(tiltDeg, azimuthDeg float64, h Horizon) float64 {
	sinB, cosB := math.Sincos(tiltDeg * degree)
	sum := 0.0
	for i := range skySlices {
		bearing := (float64(i) + 0.5) * 360 / skySlices
		side := sinB * math.Cos((bearing-azimuthDeg)*degree)
		low := math.Max(0, h.Height(bearing)) * degree
		if side < 0 { // the plane's own edge hides the sky behind it
			low = math.Max(low, math.Atan2(-side, cosB))
		}
		sinLow, cosLow := math.Sincos(low)
		sum += cosB*cosLow*cosLow/2 + side*((math.Pi/2-low)/2-sinLow*cosLow/2)
	}
	return sum * 2 / skySlices
}
