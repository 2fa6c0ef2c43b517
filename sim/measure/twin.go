package measure

import "strconv"

// twinned are the measures that have US twins of metric units.
var twinned = []*Measure{Lengths, Areas, Volumes, Flows, Pressures, Temperatures, DepthRates, FuelPerEnergy, FuelRates}

// metricTwin names the metric unit that stands for a US one, of the same measure.
var metricTwin = map[string]string{
	"ft": "m", "in": "mm", "mi": "km", "in/day": "mm/day", "ft2": "m2", "acre": "ha", "mi2": "km2", "gal": "L", "ft3": "m3",
	"gal/min": "L/s", "gal/day": "L/day", "ft3/s": "L/s", "psi": "bar", "F": "C", "gal/kWh": "L/kWh", "gal/h": "L/h",
}

// Respell writes one quantity, such as "42 m", in the system's own units, to
// some digits; temperatures keep whole degrees. A text that is none, or whose
// unit serves both systems, stays as it is.
func (s System) Respell(text string, digits int) string {
	number, rest, err := leadingNumber(text)
	if err != nil {
		return text
	}
	for _, m := range twinned {
		u, ok := m.find(plainUnit(rest))
		if !ok {
			continue
		}
		twin, other := s.twin(m, u)
		if name, ok := metricTwin[u.Name]; ok && s == Metric {
			twin, other = m.find(name)
		}
		if !other {
			continue
		}
		v := (u.SI(number) - twin.offset) / twin.factor
		if twin.offset != 0 {
			return strconv.FormatFloat(v, 'f', 0, 64) + " " + twin.Name
		}
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
		return strconv.FormatFloat(v, 'f', -1, 64) + " " + twin.Name
	}
	return text
}
