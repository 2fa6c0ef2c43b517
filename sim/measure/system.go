package measure

import (
	"regexp"
	"strconv"
	"strings"
)

// usTwin names the US unit that stands for a metric one, of the same measure.
var usTwin = map[string]string{
	"m": "ft", "mm": "in", "cm": "in", "km": "mi", "mm/day": "in/day", "m2": "ft2", "ha": "acre", "km2": "mi2",
	"L": "gal", "m3": "ft3", "L/s": "gal/min", "L/min": "gal/min", "L/day": "gal/day", "bar": "psi", "kPa": "psi",
	"C": "F", "°C": "°F", "L/kWh": "gal/kWh", "L/h": "gal/h",
}

// Spell writes an SI value of a measure as site.toml takes it: in the given
// unit, or in its US twin.
func (s System) Spell(m *Measure, si float64, u Unit) string {
	twin, ok := s.twin(m, u)
	if !ok {
		return u.Write(si)
	}
	return twin.number(si) + " " + twin.Name
}

// twin returns the unit that a system has in place of u, if it has another.
func (s System) twin(m *Measure, u Unit) (Unit, bool) {
	name, ok := usTwin[u.Name]
	if !ok || s != US {
		return Unit{}, false
	}
	return m.find(name)
}

// number writes an SI value in the unit with two digits, temperatures whole.
func (u Unit) number(si float64) string {
	v := (si - u.offset) / u.factor
	if u.offset == 0 {
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64)
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', 0, 64)
}

// quantity is one that stands in braces in a text, "{20 m}" or "{0 to 60 °C}".
var quantity = regexp.MustCompile(`\{(-?[\d.]+)(?: to (-?[\d.]+))? ([^}]+)\}`)

// Prose returns a text with the quantities that stand in braces in it written
// in the system's units.
func (s System) Prose(text string) string {
	return quantity.ReplaceAllStringFunc(text, func(all string) string {
		part := quantity.FindStringSubmatch(all)
		for _, m := range []*Measure{Temperatures, Lengths} {
			u, ok := m.find(part[3])
			if !ok {
				continue
			}
			twin, other := s.twin(m, u)
			if !other {
				break
			}
			var written []string
			for _, n := range part[1:3] {
				if v, err := strconv.ParseFloat(n, 64); err == nil {
					written = append(written, twin.number(u.SI(v)))
				}
			}
			return strings.Join(written, " to ") + " " + twin.Name
		}
		return strings.Trim(all, "{}")
	})
}
