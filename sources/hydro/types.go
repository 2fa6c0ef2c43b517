package hydro

// Intake says what must not reach the turbine and what the intake can pass.
type Intake struct {
	ResidualM3S   float64 // stays in the creek
	HouseWaterM3S float64 // the house drinks first
	LimitM3S      float64 // the intake's greatest flow; 0: no limit
}

// Forebay is the tank or pond that feeds the penstock.
type Forebay struct {
	VolumeM3        float64 // live volume; 0: none
	RestartFraction float64 // fraction of the volume at which a stopped turbine is reopened
}

// Penstock is the pressure pipe.
type Penstock struct {
	GrossHeadM float64
	LengthM    float64
	BoreM      float64 // inside diameter; of several reaches the narrowest
	Reaches    []Reach // pipes of several bores in a row, from the intake down; nil: one bore ([Penstock.InReaches])
	RoughnessM float64
	MinorLoss  float64 // sum of the K of entrance, bends, valves
	RatingPa   float64 // pressure rating; 0: not given
	CloseTimeS float64 // in which the valve is shut
	WaterC     float64
	Material   string  // "pe", "pvc", "steel", ...; for the wave speed
	WallM      float64 // wall thickness; 0: from the material's usual series
}

// Visits says when somebody walks up to the intake and the turbine. The days on
// which the valve is opened and closed are visits whatever it says.
type Visits struct {
	EveryDays   int     // rounds, on every such day from the year's first on; 0: none
	AfterStop   bool    // on the day after the pipe ran dry
	AfterRainMM float64 // on the day after a day with so much rain; 0: not
}

// nobody reports whether nobody comes between opening and closing.
func (v Visits) nobody() bool { return v == Visits{} }

// Point is one point of an efficiency curve.
type Point struct{ Fraction, Efficiency float64 }

// Turbine is the machine: nozzles or a spear valve, runner, alternator.
type Turbine struct {
	Kind                 string    // "pelton", "turgo", "crossflow"
	NozzlesM             []float64 // bores; nil: spear valve with DesignFlowM3S
	DesignFlowM3S        float64
	NozzleCoefficient    float64
	CutoffM3S            float64 // below it the turbine is shut
	MaxPowerW            float64 // at the bus; 0: no limit
	Efficiency           []Point // of the runner by share of full jet flow; nil: the kind's table
	AlternatorEfficiency float64 // alternator efficiency, 0 to 1
	Overall              float64 // bus watts as a fraction of net water power in place of runner, alternator, cable; 0: not given
}

// Cable is the two-core DC cable from the turbine to the bus.
type Cable struct {
	LengthM   float64 // one way
	SectionM2 float64 // of one core
	VoltageV  float64
}

// Plant is the whole way of the water.
type Plant struct {
	Intake   Intake
	Forebay  Forebay
	Penstock Penstock
	Turbine  Turbine
	Cable    Cable
	Visits   Visits
}
