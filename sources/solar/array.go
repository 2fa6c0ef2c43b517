package solar

// Array is one field of panels with one tilt and one azimuth.
type Array struct {
	Name                 string
	PowerW               float64 // at standard test conditions
	TiltDeg              float64 // 0 flat, 90 upright
	AzimuthDeg           float64 // compass bearing that the panels face: 0 north, 90 east, 180 south
	Losses               float64 // share lost to soiling, wiring, mismatch: 0 to 1
	NOCTC                float64 // nominal operating cell temperature, °C
	TempCoefPerK         float64 // power change per K of cell temperature, negative
	ControllerMaxW       float64 // what the charge controller passes at the most; 0: no limit
	ControllerEfficiency float64 // controller efficiency, 0 to 1
	Horizon              Horizon // the hills; nil: flat horizon
	Albedo               float64 // fraction of light that the ground throws back; 0: [UsualAlbedo]
}

// Horizon is the horizon around the compass, sorted by bearing.
type Horizon []HorizonPoint

// HorizonPoint is the height of the hills in one direction.
type HorizonPoint struct{ BearingDeg, HeightDeg float64 }
