package measure

import "math"

// Exact by definition: the international yard and pound (1959), the US gallon
// of 231 cubic inches, standard gravity.
const (
	FootM     = 0.3048
	MMPerInch = 25.4
	GallonL   = 3.785411784
	YearH     = 24 * 365.25 // of the Julian calendar

	inchM    = MMPerInch * 1e-3
	gallonM3 = GallonL * 1e-3
	acreM2   = 43560 * FootM * FootM
	psiPa    = 6894.757293168361 // lbf/in²
	waterPa  = 9806.65           // a metre of water at 1000 kg/m³
	feetPa   = waterPa * FootM
)

// The measures. Angles stay in degrees, shares become 0 to 1.
var (
	// Lengths parse to m.
	Lengths = &Measure{Name: "a length", units: []Unit{{"m", 1, 0, false}, {"mm", 1e-3, 0, false}, {"cm", 1e-2, 0, false}, {"km", 1e3, 0, false},
		{"in", inchM, 0, false}, {"ft", FootM, 0, false}, {"inch", inchM, 0, true}, {"inches", inchM, 0, true}, {"feet", FootM, 0, true}, {"foot", FootM, 0, true}, {"mi", 5280 * FootM, 0, true}}}
	// Heads parse to m: a height, or the pressure at the foot of the full pipe
	// with the valve shut, at 1000 kg/m³ (0.3 ‰ more than a creek's water).
	Heads = &Measure{Name: "a head", units: []Unit{{"m", 1, 0, false}, {"ft", FootM, 0, false}, {"psi", psiPa / waterPa, 0, false}, {"bar", 1e5 / waterPa, 0, false}, {"kPa", 1e3 / waterPa, 0, false},
		{"feet", FootM, 0, true}, {"foot", FootM, 0, true}, {"mm", 1e-3, 0, true}, {"cm", 1e-2, 0, true}, {"km", 1e3, 0, true}, {"in", inchM, 0, true}, {"m of water", 1, 0, true}, {"ft of water", FootM, 0, true}}}
	// Depths of water on the ground parse to mm.
	Depths = &Measure{Name: "a depth of water", units: []Unit{{"mm", 1, 0, false}, {"cm", 10, 0, false}, {"in", MMPerInch, 0, false}, {"inch", MMPerInch, 0, true}, {"inches", MMPerInch, 0, true}}}
	// DepthRates parse to mm a day.
	DepthRates = &Measure{Name: "a depth of water a day", units: []Unit{{"mm/day", 1, 0, false}, {"in/day", MMPerInch, 0, false}, {"mm/d", 1, 0, true}}}
	// Areas parse to m².
	Areas = &Measure{Name: "an area", units: []Unit{{"m2", 1, 0, false}, {"ha", 1e4, 0, false}, {"km2", 1e6, 0, false}, {"ft2", FootM * FootM, 0, false}, {"acre", acreM2, 0, false}, {"acres", acreM2, 0, true}, {"mi2", 640 * acreM2, 0, false}}}
	// Volumes parse to m³.
	Volumes = &Measure{Name: "a volume", units: []Unit{{"L", 1e-3, 0, false}, {"m3", 1, 0, false}, {"gal", gallonM3, 0, false}, {"ft3", FootM * FootM * FootM, 0, false}, {"litre", 1e-3, 0, true}, {"litres", 1e-3, 0, true}, {"liter", 1e-3, 0, true}, {"liters", 1e-3, 0, true}, {"gallon", gallonM3, 0, true}, {"gallons", gallonM3, 0, true}, {"ml", 1e-6, 0, true}}}
	// Flows parse to m³/s.
	Flows = &Measure{Name: "a flow", units: []Unit{{"L/s", 1e-3, 0, false}, {"m3/s", 1, 0, false}, {"L/min", 1e-3 / 60, 0, false}, {"gal/min", gallonM3 / 60, 0, false}, {"ft3/s", FootM * FootM * FootM, 0, false}, {"L/day", 1e-3 / 86400, 0, false}, {"gal/day", gallonM3 / 86400, 0, false},
		{"gpm", gallonM3 / 60, 0, true}, {"cfs", FootM * FootM * FootM, 0, true}, {"lps", 1e-3, 0, true}, {"lpm", 1e-3 / 60, 0, true}, {"L/h", 1e-3 / 3600, 0, true}, {"m3/h", 1. / 3600, 0, true}, {"m3/day", 1. / 86400, 0, true}, {"gal/h", gallonM3 / 3600, 0, true}, {"L/d", 1e-3 / 86400, 0, true}, {"gal/d", gallonM3 / 86400, 0, true}, {"gpd", gallonM3 / 86400, 0, true}}}
	// Powers parse to W.
	Powers = &Measure{Name: "a power", units: []Unit{{"W", 1, 0, false}, {"kW", 1e3, 0, false}}}
	// Energies parse to Wh.
	Energies = &Measure{Name: "an energy", units: []Unit{{"Wh", 1, 0, false}, {"kWh", 1e3, 0, false}}}
	// DailyEnergies parse to Wh a day.
	DailyEnergies = &Measure{Name: "an energy a day", units: []Unit{{"Wh/day", 1, 0, false}, {"kWh/day", 1e3, 0, false}, {"Wh/d", 1, 0, true}, {"kWh/d", 1e3, 0, true}}}
	// Voltages parse to V.
	Voltages = &Measure{Name: "a voltage", units: []Unit{{"V", 1, 0, false}}}
	// Pressures parse to Pa.
	Pressures = &Measure{Name: "a pressure", units: []Unit{{"bar", 1e5, 0, false}, {"kPa", 1e3, 0, false}, {"psi", psiPa, 0, false}, {"m of water", waterPa, 0, false}, {"ft of water", feetPa, 0, false}, {"MPa", 1e6, 0, true}, {"Pa", 1, 0, true}, {"mH2O", waterPa, 0, true}, {"m-of-water", waterPa, 0, true}, {"ft-of-water", feetPa, 0, true}}}
	// Angles parse to degrees.
	Angles = &Measure{Name: "an angle", units: []Unit{{"deg", 1, 0, false}, {"rad", 180 / math.Pi, 0, true}, {"degrees", 1, 0, true}, {"°", 1, 0, true}}}
	// Coordinates parse to degrees and takes a bare number.
	Coordinates = &Measure{Name: "a coordinate in degrees", Bare: true, units: []Unit{{"deg", 1, 0, false}, {"degrees", 1, 0, true}, {"°", 1, 0, true}}}
	// Shares parse to 0 to 1.
	Fractions = &Measure{Name: "a share", fraction: true, small: 0.01, units: []Unit{{"%", 1e-2, 0, false}}}
	// Factors parse to a plain number, "%" or bare.
	Factors = &Measure{Name: "a number", Bare: true, small: 0.01, units: []Unit{{"", 1, 0, true}, {"%", 1e-2, 0, false}}}
	// InterestRates parse to 0 to 1 a year.
	InterestRates = &Measure{Name: "an interest", fraction: true, small: 0.002, units: []Unit{{"%", 1e-2, 0, false}}}
	// FractionsPerK parse to a share per K.
	FractionsPerK = &Measure{Name: "a change with temperature", fraction: true, units: []Unit{{"%/K", 1e-2, 0, false}, {"%/C", 1e-2, 0, false}, {"%/F", 1.8e-2, 0, false}, {"%/°C", 1e-2, 0, true}, {"%/°F", 1.8e-2, 0, true}}}
	// FractionsPerHour parse to a share an hour.
	FractionsPerHour = &Measure{Name: "a share over time", units: []Unit{{"%/month", 1e-2 / (YearH / 12), 0, false}, {"%/day", 1e-2 / 24, 0, false}, {"%/year", 1e-2 / YearH, 0, false}, {"%/h", 1e-2, 0, true}, {"%/d", 1e-2 / 24, 0, true}, {"%/week", 1e-2 / 168, 0, true}}}
	// Temperatures parse to °C.
	Temperatures = &Measure{Name: "a temperature", units: []Unit{{"C", 1, 0, false}, {"F", 5. / 9, -32 * 5. / 9, false}, {"°C", 1, 0, true}, {"°F", 5. / 9, -32 * 5. / 9, true}, {"degC", 1, 0, true}, {"degF", 5. / 9, -32 * 5. / 9, true}}}
	// Sections of one wire parse to m².
	Sections = &Measure{Name: "the section of a wire", units: []Unit{{"mm2", 1e-6, 0, false}, {"gauge AWG", math.NaN(), 0, false}, {"in2", inchM * inchM, 0, true}, {"AWG", math.NaN(), 0, true}, {"gauge", math.NaN(), 0, true}, {"awg gauge", math.NaN(), 0, true}}}
	// Durations parse to s.
	Durations = &Measure{Name: "a time", units: []Unit{{"s", 1, 0, false}, {"min", 60, 0, false}, {"h", 3600, 0, false}, {"days", 86400, 0, false}, {"day", 86400, 0, true}, {"d", 86400, 0, true}, {"sec", 1, 0, true}, {"seconds", 1, 0, true}, {"minutes", 60, 0, true}, {"hour", 3600, 0, true}, {"hours", 3600, 0, true}}}
	// HourCounts parse to h.
	HourCounts = &Measure{Name: "a number of hours", Bare: true, units: []Unit{{"h", 1, 0, false}, {"min", 1. / 60, 0, false}, {"days", 24, 0, false}, {"hours", 1, 0, true}, {"hour", 1, 0, true}, {"day", 24, 0, true}, {"h/year", 1, 0, true}}}
	// DayCounts parse to days and takes a bare number.
	DayCounts = &Measure{Name: "a number of days", Bare: true, units: []Unit{{"days", 1, 0, false}, {"h", 1. / 24, 0, false}, {"day", 1, 0, true}, {"d", 1, 0, true}, {"weeks", 7, 0, true}}}
	// YearCounts parse to years and takes a bare number.
	YearCounts = &Measure{Name: "a number of years", Bare: true, units: []Unit{{"years", 1, 0, false}, {"year", 1, 0, true}, {"y", 1, 0, true}, {"a", 1, 0, true}}}
	// FuelPerEnergy parse to L per kWh.
	FuelPerEnergy = &Measure{Name: "fuel for energy", units: []Unit{{"L/kWh", 1, 0, false}, {"gal/kWh", GallonL, 0, false}}}
	// FuelRates parse to L/h.
	FuelRates = &Measure{Name: "fuel an hour", units: []Unit{{"L/h", 1, 0, false}, {"gal/h", GallonL, 0, false}}}

	// CycleCounts parse to a plain number.
	CycleCounts = &Measure{Name: "a number of cycles", Bare: true, units: []Unit{{"cycles", 1, 0, false}}}

	// Capacities parse to Wh, or to Ah where the unit says so.
	Capacities = &Measure{Name: "a capacity", units: []Unit{{"kWh", 1e3, 0, false}, {"Wh", 1, 0, false}, {"Ah", 1, 0, false}}}
	// PowersOrCurrents parse to W, or to A where the unit says so.
	PowersOrCurrents = &Measure{Name: "a power or a current", units: []Unit{{"W", 1, 0, false}, {"kW", 1e3, 0, false}, {"A", 1, 0, false}}}
)
