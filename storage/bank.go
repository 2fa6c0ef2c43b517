package storage

// Model is how a bank gives and takes.
type Model int

// The models.
const (
	Bucket  Model = iota // one store with efficiencies and limits
	TwoWell              // the kinetic model: available and bound charge
)

// Bank is a battery bank with every value resolved. Energies are at the
// bank's terminals inside, powers at the bus.
type Bank struct {
	Chemistry           string // one of [Chemistries]
	Model               Model
	CapacityWh          float64 // rated, at 25 °C; 0: no bank
	VoltageV            float64
	FloorSoC            float64 // 0 to 1; the bank gives nothing below it
	ReconnectSoC        float64 // 0: no disconnect; else firm load stays off until SoC is back here
	ComfortSoC          float64 // hours below it count as low
	StartSoC            float64
	ChargeEfficiency    float64 // stored Wh per Wh from the bus
	DischargeEfficiency float64 // Wh at the bus per Wh taken from store
	MaxChargeW          float64 // at the bus
	MaxDischargeW       float64 // at the bus
	SelfDischargePerH   float64 // fraction of the stored energy lost in an hour
	WellFraction        float64 // c of the kinetic model: width of the available well
	WellRatePerH        float64 // k of the kinetic model, 1/h
	FollowsAir          bool    // stands in a shed: follows the air; else indoors
	IndoorC             float64
	CapacityByTemp      []TempPoint // fraction of rated capacity; nil: constant
	ChargeAboveC        float64     // no charging below it; -273.15: none
	ChargeByTemp        []RateStep  // charge limits by temperature, besides MaxChargeW; nil: none
	CycleLife           []CyclePoint
	CalendarYears       float64
}

// TempPoint is usable capacity as a fraction of the rated at a temperature.
type TempPoint struct{ TempC, Fraction float64 }

// RateStep is the greatest charge from a temperature on, up to the next step,
// as a fraction of the capacity an hour (at the bus). The first step counts below
// its temperature too.
type RateStep struct{ FromC, PerHour float64 }

// CyclePoint is the number of cycles a bank lasts at a depth of discharge.
type CyclePoint struct{ Depth, Cycles float64 }
