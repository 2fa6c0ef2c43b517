package hydro

// Left returns the flow in m³/s that is left for the turbine of a stream flow,
// once the house has its water and the creek its own, up to the intake's limit.
func (in Intake) Left(streamM3S float64) float64 {
	left := streamM3S - in.ResidualM3S - in.HouseWaterM3S
	if !(left > 0) {
		return 0
	}
	if in.LimitM3S > 0 && left > in.LimitM3S {
		return in.LimitM3S
	}
	return left
}

// HouseShort returns the flow in m³/s that the house lacks at the stream, and
// takes from the forebay while that has water.
func (in Intake) HouseShort(streamM3S float64) float64 {
	if short := in.HouseWaterM3S - streamM3S; short > 0 {
		return short
	}
	return 0
}
