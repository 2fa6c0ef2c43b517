package measure

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Measure is a kind of quantity and the units in which people write it.
type Measure struct {
	Name  string // "a length"
	units []Unit // the first is the usual one
	Bare  bool   // a number without a unit is understood, in the first unit

	fraction bool    // people write the share 0.2 for 20 %
	small    float64 // what is written in % and lies below is hardly meant; 0: nothing is
}

// Example writes a number that was given without a unit as it is likely meant:
// "48 m", and "20 %" for a share of 0.2.
func (m *Measure) Example(number float64, text string) string {
	if m.fraction && math.Abs(number) < 1 && number != 0 {
		return Trim(100*number) + " " + m.Usual().Name
	}
	return text + " " + m.Usual().Name
}

// Least returns the share below which a written one is doubted.
func (m *Measure) Least() float64 { return m.small }

// Doubt returns what is likely meant by a share that was written in % and is
// so small that it hardly is: "20 %" for 0.2 %.
func (m *Measure) Doubt(value float64, u Unit) (meant string, doubt bool) {
	if u.Name != "%" || !(value > 0 && value < m.small) {
		return "", false
	}
	return Trim(1e4*value) + " %", true
}

// Unit is one way to write a quantity: SI = written × factor + offset.
type Unit struct {
	Name           string
	factor, offset float64
	silent         bool // another spelling: taken but not told
}

// Parse reads a quantity such as "48 m", "5/16 in" or "2 gauge AWG" and
// returns it in the measure's SI unit. The error tells the cause and the units
// that the measure takes.
func (m *Measure) Parse(text string) (float64, error) {
	v, _, err := m.ParseUnit(text)
	return v, err
}

// Units lists the units that the measure takes, for messages.
func (m *Measure) Units() string {
	var names []string
	for _, u := range m.units {
		if !u.silent {
			names = append(names, u.Name)
		}
	}
	return strings.Join(names, ", ")
}

// ParseUnit is [Measure.Parse], and returns the unit as well.
func (m *Measure) ParseUnit(text string) (value float64, u Unit, err error) {
	text = strings.TrimSpace(text)
	if len(text) > 60 {
		return 0, Unit{}, fmt.Errorf("%q… is too long for %s", text[:20], m.Name)
	}
	if m == Sections {
		if a, ok := ParseGauge(text); ok {
			return a, Unit{"AWG", math.NaN(), 0, true}, nil
		}
	}
	number, rest, err := leadingNumber(text)
	if err != nil {
		return 0, Unit{}, fmt.Errorf("%q %w", text, err)
	}
	written := plainUnit(rest)
	if written == "" && !m.Bare {
		return 0, Unit{}, fmt.Errorf("%q has no unit; write for example %q (%s takes %s)", text, m.Example(number, text), m.Name, m.Units())
	}
	if written == "" {
		written = m.units[0].Name
	}
	u, ok := m.find(written)
	if !ok {
		return 0, Unit{}, fmt.Errorf("%q has the unit %q; %s takes %s", text, rest, m.Name, m.Units())
	}
	if math.IsNaN(u.factor) {
		return 0, Unit{}, fmt.Errorf("%q is no wire gauge; write for example \"2 gauge AWG\" or \"2/0 gauge AWG\"", text)
	}
	value = u.SI(number)
	if math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, Unit{}, fmt.Errorf("%q is too large a number", text)
	}
	return value, u, nil
}

// Usual returns the unit that comes first to mind.
func (m *Measure) Usual() Unit { return m.units[0] }

// find returns the unit of that name: exactly, else whatever its capitals.
func (m *Measure) find(name string) (Unit, bool) {
	for _, u := range m.units {
		if u.Name == name {
			return u, true
		}
	}
	for _, u := range m.units {
		if strings.EqualFold(u.Name, name) {
			return u, true
		}
	}
	return Unit{}, false
}

// SI returns what is written in the unit in SI.
func (u Unit) SI(written float64) float64 { return written*u.factor + u.offset }

// Write writes an SI value in the given unit with few digits.
func (u Unit) Write(value float64) string {
	if math.IsNaN(u.factor) {
		return Trim(value*1e6) + " mm2"
	}
	n := Trim((value - u.offset) / u.factor)
	if u.Name == "" {
		return n
	}
	return n + " " + u.Name
}

// Trim writes a number with four digits and no unit, as a site file has it.
func Trim(v float64) string {
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

// ParseGauge reads a wire size by the American wire gauge, "6 gauge AWG",
// "2/0 AWG", and returns the section in m².
func ParseGauge(text string) (sectionM2 float64, ok bool) {
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
	d := awgDiameterMM(n) * 1e-3
	return math.Pi / 4 * d * d, true
}

// awgDiameterMM returns the diameter in mm of a wire of the American wire
// gauge, by the definition of the gauge (ASTM B258).
func awgDiameterMM(gauge int) float64 { return 0.127 * math.Pow(92, float64(36-gauge)/39) }
