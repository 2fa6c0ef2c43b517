package site

import "math"

const (
	inchM   = 0.0254      // exact (international inch, 1959)
	footM   = 0.3048      // exact
	gallonL = 3.785411784 // US gallon, 231 cubic inches, exact
	acreM2  = 43560 * footM * footM
	psiPa   = 6894.757293168361 // lbf/in²
	waterPa = 9806.65           // a metre of water at 1000 kg/m³
	feetPa  = waterPa * footM
	yearH   = 24 * 365.25
)

// The measures. Each parses to the SI unit that its name tells, with the
// exceptions that package doc lists.
var (
	// Length parses to m.
	Length = &Measure{name: "a length", units: []unit{{"m", 1, 0, false}, {"mm", 1e-3, 0, false}, {"cm", 1e-2, 0, false}, {"km", 1e3, 0, false},
		{"in", inchM, 0, false}, {"ft", footM, 0, false}, {"inch", inchM, 0, true}, {"inches", inchM, 0, true}, {"feet", footM, 0, true}, {"foot", footM, 0, true}, {"mi", 5280 * footM, 0, true}}}
	// Depth of water on the ground parses to mm.
	Depth = &Measure{name: "a depth of water", units: []unit{{"mm", 1, 0, false}, {"cm", 10, 0, false}, {"in", 25.4, 0, false}, {"inch", 25.4, 0, true}, {"inches", 25.4, 0, true}}}
	// DepthRate parses to mm a day.
	DepthRate = &Measure{name: "a depth of water a day", units: []unit{{"mm/day", 1, 0, false}, {"in/day", 25.4, 0, false}, {"mm/d", 1, 0, true}}}
	// Area parses to m².
	Area = &Measure{name: "an area", units: []unit{{"m2", 1, 0, false}, {"ha", 1e4, 0, false}, {"km2", 1e6, 0, false}, {"ft2", footM * footM, 0, false}, {"acre", acreM2, 0, false}, {"acres", acreM2, 0, true}, {"mi2", 640 * acreM2, 0, false}}}
	// Volume parses to m³.
	Volume = &Measure{name: "a volume", units: []unit{{"L", 1e-3, 0, false}, {"m3", 1, 0, false}, {"gal", gallonL * 1e-3, 0, false}, {"ft3", footM * footM * footM, 0, false}, {"litre", 1e-3, 0, true}, {"litres", 1e-3, 0, true}, {"liter", 1e-3, 0, true}, {"liters", 1e-3, 0, true}, {"gallon", gallonL * 1e-3, 0, true}, {"gallons", gallonL * 1e-3, 0, true}, {"ml", 1e-6, 0, true}}}
	// Flow parses to m³/s.
	Flow = &Measure{name: "a flow", units: []unit{{"L/s", 1e-3, 0, false}, {"m3/s", 1, 0, false}, {"L/min", 1e-3 / 60, 0, false}, {"gal/min", gallonL * 1e-3 / 60, 0, false}, {"ft3/s", footM * footM * footM, 0, false}, {"L/day", 1e-3 / 86400, 0, false}, {"gal/day", gallonL * 1e-3 / 86400, 0, false},
		{"gpm", gallonL * 1e-3 / 60, 0, true}, {"cfs", footM * footM * footM, 0, true}, {"lps", 1e-3, 0, true}, {"lpm", 1e-3 / 60, 0, true}, {"L/h", 1e-3 / 3600, 0, true}, {"m3/h", 1. / 3600, 0, true}, {"m3/day", 1. / 86400, 0, true}, {"gal/h", gallonL * 1e-3 / 3600, 0, true}, {"L/d", 1e-3 / 86400, 0, true}, {"gal/d", gallonL * 1e-3 / 86400, 0, true}, {"gpd", gallonL * 1e-3 / 86400, 0, true}}}
	// Power parses to W.
	Power = &Measure{name: "a power", units: []unit{{"W", 1, 0, false}, {"kW", 1e3, 0, false}}}
	// Energy parses to Wh.
	Energy = &Measure{name: "an energy", units: []unit{{"Wh", 1, 0, false}, {"kWh", 1e3, 0, false}}}
	// EnergyPerDay parses to Wh a day.
	EnergyPerDay = &Measure{name: "an energy a day", units: []unit{{"Wh/day", 1, 0, false}, {"kWh/day", 1e3, 0, false}, {"Wh/d", 1, 0, true}, {"kWh/d", 1e3, 0, true}}}
	// Voltage parses to V.
	Voltage = &Measure{name: "a voltage", units: []unit{{"V", 1, 0, false}}}
	// Pressure parses to Pa.
	Pressure = &Measure{name: "a pressure", units: []unit{{"bar", 1e5, 0, false}, {"kPa", 1e3, 0, false}, {"psi", psiPa, 0, false}, {"m of water", waterPa, 0, false}, {"ft of water", feetPa, 0, false}, {"MPa", 1e6, 0, true}, {"Pa", 1, 0, true}, {"mH2O", waterPa, 0, true}, {"m-of-water", waterPa, 0, true}, {"ft-of-water", feetPa, 0, true}}}
	// Angle parses to degrees.
	Angle = &Measure{name: "an angle", units: []unit{{"deg", 1, 0, false}, {"rad", 180 / math.Pi, 0, true}, {"degrees", 1, 0, true}, {"°", 1, 0, true}}}
	// Coordinate parses to degrees and takes a bare number.
	Coordinate = &Measure{name: "a coordinate in degrees", bare: true, units: []unit{{"deg", 1, 0, false}, {"degrees", 1, 0, true}, {"°", 1, 0, true}}}
	// Share parses to 0 to 1.
	Share = &Measure{name: "a share", units: []unit{{"%", 1e-2, 0, false}}}
	// Factor parses to a plain number, "%" or bare.
	Factor = &Measure{name: "a number", bare: true, units: []unit{{"", 1, 0, true}, {"%", 1e-2, 0, false}}}
	// SharePerK parses to a share per K.
	SharePerK = &Measure{name: "a change with temperature", units: []unit{{"%/K", 1e-2, 0, false}, {"%/C", 1e-2, 0, false}, {"%/F", 1.8e-2, 0, false}, {"%/°C", 1e-2, 0, true}, {"%/°F", 1.8e-2, 0, true}}}
	// SharePerHour parses to a share an hour.
	SharePerHour = &Measure{name: "a share over time", units: []unit{{"%/month", 1e-2 / (yearH / 12), 0, false}, {"%/day", 1e-2 / 24, 0, false}, {"%/year", 1e-2 / yearH, 0, false}, {"%/h", 1e-2, 0, true}, {"%/d", 1e-2 / 24, 0, true}, {"%/week", 1e-2 / 168, 0, true}}}
	// Temperature parses to °C.
	Temperature = &Measure{name: "a temperature", units: []unit{{"C", 1, 0, false}, {"F", 5. / 9, -32 * 5. / 9, false}, {"°C", 1, 0, true}, {"°F", 5. / 9, -32 * 5. / 9, true}, {"degC", 1, 0, true}, {"degF", 5. / 9, -32 * 5. / 9, true}}}
	// Section of one wire parses to m².
	Section = &Measure{name: "the section of a wire", units: []unit{{"mm2", 1e-6, 0, false}, {"gauge AWG", math.NaN(), 0, false}, {"in2", inchM * inchM, 0, true}, {"AWG", math.NaN(), 0, true}, {"gauge", math.NaN(), 0, true}, {"awg gauge", math.NaN(), 0, true}}}
	// Duration parses to s.
	Duration = &Measure{name: "a time", units: []unit{{"s", 1, 0, false}, {"min", 60, 0, false}, {"h", 3600, 0, false}, {"days", 86400, 0, false}, {"day", 86400, 0, true}, {"d", 86400, 0, true}, {"sec", 1, 0, true}, {"seconds", 1, 0, true}, {"minutes", 60, 0, true}, {"hour", 3600, 0, true}, {"hours", 3600, 0, true}}}
	// Hours parses to h.
	Hours = &Measure{name: "a number of hours", bare: true, units: []unit{{"h", 1, 0, false}, {"min", 1. / 60, 0, false}, {"days", 24, 0, false}, {"hours", 1, 0, true}, {"hour", 1, 0, true}, {"day", 24, 0, true}, {"h/year", 1, 0, true}}}
	// Days parses to days and takes a bare number.
	Days = &Measure{name: "a number of days", bare: true, units: []unit{{"days", 1, 0, false}, {"h", 1. / 24, 0, false}, {"day", 1, 0, true}, {"d", 1, 0, true}, {"weeks", 7, 0, true}}}
	// Years parses to years and takes a bare number.
	Years = &Measure{name: "a number of years", bare: true, units: []unit{{"years", 1, 0, false}, {"year", 1, 0, true}, {"y", 1, 0, true}, {"a", 1, 0, true}}}
	// FuelPerEnergy parses to L per kWh.
	FuelPerEnergy = &Measure{name: "fuel for energy", units: []unit{{"L/kWh", 1, 0, false}, {"gal/kWh", gallonL, 0, false}}}
	// FuelRate parses to L/h.
	FuelRate = &Measure{name: "fuel an hour", units: []unit{{"L/h", 1, 0, false}, {"gal/h", gallonL, 0, false}}}

	// cycles parses to a plain number.
	cycles = &Measure{name: "a number of cycles", bare: true, units: []unit{{"cycles", 1, 0, false}}}

	// bankCapacity parses to Wh, or to Ah where the unit says so.
	bankCapacity = &Measure{name: "a capacity", units: []unit{{"kWh", 1e3, 0, false}, {"Wh", 1, 0, false}, {"Ah", 1, 0, false}}}
	// bankPower parses to W, or to A where the unit says so.
	bankPower = &Measure{name: "a power or a current", units: []unit{{"W", 1, 0, false}, {"kW", 1e3, 0, false}, {"A", 1, 0, false}}}
)
