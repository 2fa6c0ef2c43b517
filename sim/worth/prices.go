package worth

// Prices are the site's own costs; nothing has a hidden price. A nil pointer
// is a price that was not given: it is left out of the sums and named.
type Prices struct {
	Currency         string
	PanelPerKW       *float64
	BankPerKWh       *float64
	PenstockPerM     *float64
	Turbine          *float64 // a sum
	Works            *float64 // intake, forebay, cable, house, labour bought: a sum
	PenstockExponent float64  // another bore costs a metre (bore over bore) to this as much
	DiggingPerM      *float64 // of the pipe's trench
	Permits          *float64 // and the water right: a sum
	Inverter         *float64
	Generator        *float64
	FuelPerL         *float64
	UpkeepHydro      *float64 // a year
	UpkeepPanels     *float64 // a year
	UpkeepGenerator  *float64 // an hour of running
	LabourHydroH     *float64 // own hours a year with hydro
	CleanIntakeH     *float64 // own hours each walk up to the intake
	BuildHydroH      *float64 // own hours of building hydro
	LabourGeneratorH *float64 // own hours a year with a generator
	LabourPerH       *float64 // what an own hour is worth; 0 allowed
	LifePanelsY      float64
	LifeHydroY       float64
	LifePenstockY    float64
	LifeInverterY    float64
	LifeGeneratorH   float64
	DiscountRate     float64 // a year, 0.04 for 4 %
	Years            float64 // looked at
}
