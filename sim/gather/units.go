package gather

import (
	"strings"
	"sunrill/sim/measure"
)

// unit is a unit as files write it: canonical = raw × factor + offset.
type unit struct {
	name   string
	kind   string // depth, temp, sun, day sun, power, energy, flow, share, volume, time
	factor float64
	offset float64
}

const (
	inchMM    = measure.MMPerInch
	gallonL   = measure.GallonL
	footM     = measure.FootM
	langleyMJ = 0.04184        // 1 cal/cm², MJ/m², thermochemical calorie (NIST SP 811)
	gpmLPS    = gallonL / 60   // L/s
	cfsLPS    = 28.316846592   // L/s, a cubic foot is 28.316846592 L
	mjPerKWh  = 3.6            // exact
	btuFt2Wh  = 0.003154590745 // kWh/m² in a Btu/ft² (NIST SP 811)
)

// units by the ways in which files spell them.
var units = unitTable()

func unitTable() map[string]unit {
	table := map[string]unit{}
	for _, u := range []struct {
		unit
		spellings string
	}{
		{unit{"mm", "depth", 1, 0}, "mm millimeter millimeters millimetre millimetres l/m2 l/m² mm/day mm/d mm/h mm/hr"},
		{unit{"cm", "depth", 10, 0}, "cm centimeter centimeters centimetre centimetres"},
		{unit{"inches", "depth", inchMM, 0}, "in in. inch inches \" ″ in/day in/hr"},
		{unit{"tenths of mm", "depth", 0.1, 0}, "0.1mm 1/10mm .1mm tenthsmm tenthsofmm mm/10 mm*10"},
		{unit{"hundredths of an inch", "depth", inchMM / 100, 0}, "0.01in 1/100in .01in hundredthsin hundredthsofinches hundredths"},
		{unit{"°C", "temp", 1, 0}, "°c ºc c degc deg.c celsius degreesc degreescelsius oc ℃"},
		{unit{"°F", "temp", 5.0 / 9, -160.0 / 9}, "°f ºf f degf deg.f fahrenheit degreesf degreesfahrenheit of ℉"},
		{unit{"K", "temp", 1, -273.15}, "k kelvin"},
		{unit{"tenths of °C", "temp", 0.1, 0}, "0.1°c 0.1c 1/10°c tenthsofdegreesc"},
		{unit{"W/m²", "sun", 1, 0}, "w/m2 w/m² w/m^2 wm-2 w/sq.m w/sqm watt/m2 watts/m2 wh/m2 wh/m² wh/m^2 w-hr/m2 w·h/m² w/m"},
		{unit{"kW/m²", "sun", 1000, 0}, "kw/m2 kw/m²"},
		{unit{"kWh/m² a day", "day sun", 1, 0}, "kwh/m2/day kwh/m²/day kwh/m2/d kwh/m²/d kwh/m^2/day kwh/m2 kwh/m² kw-hr/m^2/day kwh/m2day sunhours peaksunhours psh"},
		{unit{"MJ/m² a day", "day sun", 1 / mjPerKWh, 0}, "mj/m2/day mj/m²/day mj/m2/d mj/m2 mj/m² mj/m^2 mj/m^2/day mjm-2 mjm-2day-1 mj/sqm"},
		{unit{"langleys a day", "day sun", langleyMJ / mjPerKWh, 0}, "ly ly/day langley langleys langleys/day cal/cm2 cal/cm2/day"},
		{unit{"Btu/ft² a day", "day sun", btuFt2Wh, 0}, "btu/ft2 btu/ft2/day btu/ft²"},
		{unit{"W", "power", 1, 0}, "w watt watts"},
		{unit{"kW", "power", 1000, 0}, "kw kilowatt kilowatts"},
		{unit{"Wh", "energy", 1, 0}, "wh w-hr whr watthours"},
		{unit{"kWh", "energy", 1000, 0}, "kwh kw-hr kilowatthours"},
		{unit{"L/s", "flow", 1, 0}, "l/s lps l/sec liters/second litres/second ls-1 l/second"},
		{unit{"L/min", "flow", 1.0 / 60, 0}, "l/min lpm litres/minute liters/minute"},
		{unit{"m³/s", "flow", 1000, 0}, "m3/s m³/s cumec cumecs m3/sec cms m^3/s m3s-1"},
		{unit{"m³/h", "flow", 1000.0 / 3600, 0}, "m3/h m³/h m3/hr"},
		{unit{"m³/day", "flow", 1000.0 / 86400, 0}, "m3/d m3/day m³/d"},
		{unit{"ft³/s", "flow", cfsLPS, 0}, "cfs ft3/s ft³/s cuft/s ft^3/s cubicfeet/s cubicfeetpersecond"},
		{unit{"gal/min", "flow", gpmLPS, 0}, "gpm gal/min gallons/minute gallonsperminute usgpm"},
		{unit{"%", "share", 1, 0}, "% percent pct"},
		{unit{"L", "volume", 1, 0}, "l liter liters litre litres"},
		{unit{"gal", "volume", gallonL, 0}, "gal gallon gallons"},
		{unit{"s", "time", 1, 0}, "s sec secs second seconds"},
	} {
		for _, s := range strings.Fields(u.spellings) {
			table[s] = u.unit
		}
	}
	return table
}

// unitOf finds a unit by its spelling.
func unitOf(text string) (unit, bool) {
	key := strings.ToLower(strings.NewReplacer(" ", "", "\u00a0", "", "[", "", "]", "", "(", "", ")", "", "_", "", "−", "-", "⁻", "-").Replace(text))
	key = strings.TrimSuffix(key, ":")
	if u, ok := units[key]; ok {
		return u, true
	}
	u, ok := units[strings.TrimSuffix(key, ".")]
	return u, ok
}

// inHeader finds a unit in the name of a column: in brackets, behind a comma or
// as its last word.
func inHeader(header string, kinds ...string) (unit, bool) {
	is := func(u unit) bool {
		for _, k := range kinds {
			if u.kind == k {
				return true
			}
		}
		return false
	}
	text := header
	for len(text) > 0 {
		i := strings.IndexAny(text, "([{")
		if i < 0 {
			break
		}
		j := strings.IndexAny(text[i:], ")]}")
		if j < 0 {
			j = len(text) - i
		}
		if u, ok := unitOf(text[i+1 : i+j]); ok && is(u) {
			return u, true
		}
		text = text[min(i+j+1, len(text)):]
	}
	// "Rain in mm", "rain_mm", "Rain, mm", "wind m/s".
	words := strings.FieldsFunc(header, func(r rune) bool {
		return r == ' ' || r == '_' || r == ',' || r == ':' || r == '\u00a0' || r == '(' || r == ')'
	})
	for n := min(3, len(words)-1); n >= 1; n-- {
		for _, glue := range []string{"", "/"} {
			if u, ok := unitOf(strings.Join(words[len(words)-n:], glue)); ok && is(u) {
				return u, true
			}
		}
	}
	return unit{}, false
}

func unitNamed(name string) unit {
	for _, u := range units {
		if u.name == name {
			return u
		}
	}
	panic("gather: no unit " + name)
}
