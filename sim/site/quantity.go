package site

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"sunrill/sources/hydro"
)

// Measure is a kind of quantity and the units in which people write it.
type Measure struct {
	name  string // "a length"
	units []unit // the first is the usual one
	bare  bool   // a number without a unit is understood, in the first unit
}

// unit is one way to write a quantity: SI = written × factor + offset.
type unit struct {
	name           string
	factor, offset float64
	silent         bool // another spelling: taken but not told
}

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

// Parse reads a quantity such as "48 m", "5/16 in" or "2 gauge AWG" and
// returns it in the measure's SI unit. The error tells the cause and the units
// that the measure takes.
func (m *Measure) Parse(text string) (float64, error) {
	v, _, err := m.parse(text)
	return v, err
}

// Units lists the units that the measure takes, for messages.
func (m *Measure) Units() string {
	var names []string
	for _, u := range m.units {
		if !u.silent {
			names = append(names, u.name)
		}
	}
	return strings.Join(names, ", ")
}

func (m *Measure) parse(text string) (value float64, u unit, err error) {
	text = strings.TrimSpace(text)
	if len(text) > 60 {
		return 0, unit{}, fmt.Errorf("%q… is too long for %s", text[:20], m.name)
	}
	if m == Section {
		if a, ok := gauge(text); ok {
			return a, unit{"AWG", math.NaN(), 0, true}, nil
		}
	}
	number, rest, err := leadingNumber(text)
	if err != nil {
		return 0, unit{}, fmt.Errorf("%q %w", text, err)
	}
	written := plainUnit(rest)
	if written == "" && !m.bare {
		return 0, unit{}, fmt.Errorf("%q has no unit; write for example %q (%s takes %s)", text, text+" "+m.units[0].name, m.name, m.Units())
	}
	if written == "" {
		written = m.units[0].name
	}
	u, ok := m.find(written)
	if !ok {
		return 0, unit{}, fmt.Errorf("%q has the unit %q; %s takes %s", text, rest, m.name, m.Units())
	}
	if math.IsNaN(u.factor) {
		return 0, unit{}, fmt.Errorf("%q is no wire gauge; write for example \"2 gauge AWG\" or \"2/0 gauge AWG\"", text)
	}
	value = number*u.factor + u.offset
	if math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, unit{}, fmt.Errorf("%q is too large a number", text)
	}
	return value, u, nil
}

// find returns the unit of that name: exactly, else whatever its capitals.
func (m *Measure) find(name string) (unit, bool) {
	for _, u := range m.units {
		if u.name == name {
			return u, true
		}
	}
	for _, u := range m.units {
		if strings.EqualFold(u.name, name) {
			return u, true
		}
	}
	return unit{}, false
}

// format writes an SI value in the given unit with few digits.
func (u unit) format(value float64) string {
	if math.IsNaN(u.factor) {
		return trimNumber(value*1e6) + " mm2"
	}
	n := trimNumber((value - u.offset) / u.factor)
	if u.name == "" {
		return n
	}
	return n + " " + u.name
}

func trimNumber(v float64) string {
	if math.Abs(v) < 1e-12 {
		v = 0
	}
	if a := math.Abs(v); a >= 1000 && a <= 1e9 {
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', 4, 64)
}

var plainLetters = strings.NewReplacer("²", "2", "³", "3", "^2", "2", "^3", "3", "℃", "C", "℉", "F", "µ", "u", " / ", "/", " per ", "/")

func plainUnit(s string) string {
	return strings.Join(strings.Fields(plainLetters.Replace(s)), " ")
}

// leadingNumber splits "2.5 kW" into 2.5 and "kW". It takes plain fractions
// ("5/16", "1-1/4") as people write them for pipe and nozzles.
func leadingNumber(s string) (number float64, rest string, err error) {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	digits := func() int {
		from := i
		for i < len(s) && s[i] >= '0' && s[i] <= '9' {
			i++
		}
		return i - from
	}
	n := digits()
	whole := n > 0
	if i < len(s) && s[i] == '.' {
		i++
		n += digits()
		whole = false
	}
	if n == 0 {
		return 0, "", errors.New("does not begin with a number")
	}
	if i < len(s) && s[i] == ',' {
		return 0, "", errors.New("has a comma in its number; write a decimal point, and no thousands separator")
	}
	if i+1 < len(s) && (s[i] == 'e' || s[i] == 'E') && strings.ContainsAny(s[i+1:i+2], "0123456789+-") {
		mark := i
		i++
		if s[i] == '+' || s[i] == '-' {
			i++
		}
		if digits() == 0 {
			i = mark
		}
		whole = false
	}
	number, err = strconv.ParseFloat(s[:i], 64)
	if err != nil {
		return 0, "", errors.New("is too large a number")
	}
	if whole {
		if f, end, ok := fraction(s, i, number); ok {
			return f, strings.TrimSpace(s[end:]), nil
		}
	}
	return number, strings.TrimSpace(s[i:]), nil
}

// fraction reads the rest of "5/16" or "1-1/4" after its first whole number.
func fraction(s string, i int, first float64) (value float64, end int, ok bool) {
	whole := 0.0
	top := first
	j := i
	natural := func() (float64, bool) {
		from := j
		for j < len(s) && s[j] >= '0' && s[j] <= '9' {
			j++
		}
		if from == j || j-from > 6 {
			return 0, false
		}
		v, _ := strconv.ParseFloat(s[from:j], 64)
		return v, true
	}
	if j < len(s) && (s[j] == '-' || s[j] == ' ') {
		j++
		whole = first
		if top, ok = natural(); !ok {
			return 0, 0, false
		}
	}
	if j >= len(s) || s[j] != '/' {
		return 0, 0, false
	}
	j++
	bottom, ok := natural()
	if !ok || bottom == 0 {
		return 0, 0, false
	}
	if whole < 0 || strings.HasPrefix(s, "-") {
		top = -math.Abs(top)
	}
	return whole + top/bottom, j, true
}

// gauge reads a wire size by the American wire gauge, "6 gauge AWG",
// "2/0 AWG", and returns the section in m².
func gauge(text string) (sectionM2 float64, ok bool) {
	size, found := strings.CutSuffix(strings.ToLower(plainUnit(text)), "awg")
	if !found {
		if size, found = strings.CutSuffix(size, "gauge"); !found {
			return 0, false
		}
	}
	size = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(size), "gauge"))
	n := 0
	if zeros, isAught := strings.CutSuffix(size, "/0"); isAught {
		z, err := strconv.Atoi(zeros)
		if err != nil || z < 1 || z > 4 {
			return 0, false
		}
		n = 1 - z // 2/0 is gauge −1
	} else {
		v, err := strconv.Atoi(size)
		if err != nil || v < 0 || v > 40 {
			return 0, false
		}
		n = v
	}
	return hydro.AWGSection(n), true
}
