package solar

// CellTemperature returns the cells' temperature in °C under the given light.
//
//	Tc = Ta + (NOCT − 20)/800 · G
//
// NOCT is measured at 800 W/m², 20 °C, 1 m/s of wind, on an open rack; panels
// flat on a roof run hotter. Ref: [NOCT].
func CellTemperature(airC, irradianceWM2, noctC float64) float64 {
	return airC + (noctC-20)/800*irradianceWM2
}

// heatK returns by how many K the cells are warmer than the air per W/m².
func (a *Array) heatK() float64 { return CellTemperature(0, 1, a.NOCTC) }

// TemperatureFactor returns the power at a cell temperature over that at 25 °C.
func TemperatureFactor(cellC, tempCoefPerK float64) float64 {
	return 1 + tempCoefPerK*(cellC-25)
}

// KWhPerKW returns a year's energy in kWh for each kW of the array's rating.
// powerW has a value an hour.
func (a Array) KWhPerKW(powerW []float64) float64 {
	sum := 0.0
	for _, w := range powerW {
		sum += w
	}
	return sum / a.PowerW
}
