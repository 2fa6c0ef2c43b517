package stream

import "time"

// Curve holds the parameters of the yield-curve model: a soil store that
// must fill before rain reaches the creek, a quick store, and a wetness index
// from which the flow is read.
type Curve struct {
	SoilDepthMM   float64
	QuickShare    float64 // share of what passes the soil that runs off quickly
	QuickDays     float64
	RecessionDays float64
	FloorM3S      float64
	GainM3S       float64 // flow at a wetness index of 1 mm a day
	Exponent      float64
	AreaM2        float64      // catchment that feeds the quick flow
	Table         []YieldPoint // yield.csv instead of floor, gain and exponent; nil: none
}

// YieldPoint is one point of a yield table, which rises monotonely.
type YieldPoint struct{ IndexMM, FlowM3S float64 }

// Catchment holds the parameters of GR4J and the catchment's area.
type Catchment struct {
	AreaM2 float64
	X1MM   float64 // production store
	X2MMD  float64 // exchange, mm a day
	X3MM   float64 // routing store
	X4D    float64 // time base of the unit hydrograph, days
}

// FlowRecord is the owner's own gapless daily record of stream flow.
type FlowRecord struct {
	Start   time.Time
	FlowM3S []float64
}

// Gauging is one reading of the creek, made by hand.
type Gauging struct {
	Date     time.Time
	Method   string // "bucket", "weir", "float", "meter"
	FlowM3S  float64
	ErrorM3S float64 // one standard error
	Note     string
	Line     int // of the file, for messages
}
