package storage

// Ventilation is what the hydrogen of a charging bank asks for.
type Ventilation struct {
	AirM3H     float64 // fresh air while charging
	OpeningCM2 float64 // free area of the inlet, and of the outlet
}

// Vent returns the fresh air in m³/h and the free openings in cm² that keep a
// bank of so many cells below 1 % of hydrogen while it is charged:
//
//	Q = 0.05 n I,  A = 28 Q
//
// where I is the gassing current in A, capacityAh times gassingA100Ah / 100;
// 0.05 is the dilution to a quarter of the explosive limit (24) times
// 0.42e-3 m³ of hydrogen an Ah times a safety of 5, rounded down. Common
// values of gassingA100Ah: 2 for vented cells charged to no more than
// 2.4 V, up to 6 without a limit. Ref: [EN50272].
func Vent(cells, capacityAh, gassingA100Ah float64) Ventilation {
	q := 0.05 * cells * capacityAh * gassingA100Ah / 100
	return Ventilation{AirM3H: q, OpeningCM2: 28 * q}
}

// VentEqualising returns the ventilation that the bank needs while it is
// equalised, and false if its chemistry is not.
func (b *Bank) VentEqualising() (Ventilation, bool) {
	return b.vent(b.Kind().EqualisingA100Ah)
}

// Vent returns the ventilation that the bank needs while it charges, and false
// if its chemistry gives off no hydrogen.
func (b *Bank) Vent() (Ventilation, bool) {
	return b.vent(b.Kind().GassingA100Ah)
}

func (b *Bank) vent(gassingA100Ah float64) (Ventilation, bool) {
	if gassingA100Ah == 0 || b.CapacityWh <= 0 || b.VoltageV <= 0 {
		return Ventilation{}, false
	}
	return Vent(b.VoltageV/b.Kind().CellV, b.CapacityWh/b.VoltageV, gassingA100Ah), true
}
