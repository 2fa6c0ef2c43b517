package hydro

import "math"

// gaugeAmps is what copper of a wire gauge may carry by [NEC] Table 310.16, at
// 75 °C of the conductor and 30 °C around it, at most three conductors
// together; 14, 12 and 10 gauge are held to what may protect them, 15, 20 and
// 30 A (section 240.4(D)). Other countries' tables differ (IEC 60364-5-52).
var gaugeAmps = []struct {
	gauge int
	amps  float64
}{
	{14, 15}, {12, 20}, {10, 30}, {8, 50}, {6, 65}, {4, 85}, {3, 100}, {2, 115}, {1, 130},
	{0, 150}, {-1, 175}, {-2, 200}, {-3, 230},
}

// continuous is by how much a wire's amps must lie above a current that flows
// for hours, as a turbine's does ([NEC] section 210.19(A)).
const continuous = 1.25

// Ampacity returns the current in A that copper of the given section may carry
// before its insulation grows too hot, by [NEC] Table 310.16 for 75 °C: 30 °C
// around it, at most three conductors. Between gauges it follows the power law
// through the two, beyond 4/0 that of the last two; below 14 gauge, which is no
// power cable, it falls with the section. Warmer places, more conductors
// together and lesser insulation carry less: local code decides.
func Ampacity(sectionM2 float64) float64 {
	thin := AWGSection(gaugeAmps[0].gauge)
	if sectionM2 <= thin {
		return gaugeAmps[0].amps * sectionM2 / thin
	}
	i := 1
	for i < len(gaugeAmps)-1 && sectionM2 > AWGSection(gaugeAmps[i].gauge) {
		i++
	}
	a, b := AWGSection(gaugeAmps[i-1].gauge), AWGSection(gaugeAmps[i].gauge)
	slope := math.Log(gaugeAmps[i].amps/gaugeAmps[i-1].amps) / math.Log(b/a)
	return gaugeAmps[i].amps * math.Pow(sectionM2/b, slope)
}

// SafeAmps returns the current in A that copper of the given section may carry
// all day: [Ampacity] less what a lasting current asks for.
func SafeAmps(sectionM2 float64) float64 { return Ampacity(sectionM2) / continuous }

// SectionFor returns the least copper section in m² that carries the current
// all day.
func SectionFor(amps float64) float64 {
	lo, hi := 0.0, AWGSection(gaugeAmps[0].gauge)
	for SafeAmps(hi) < amps {
		hi *= 2
	}
	for range 50 {
		if mid := (lo + hi) / 2; SafeAmps(mid) < amps {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
