package hydro

import (
	"math"
	"slices"
	"strings"
)

// waterBulkPa is the bulk modulus of water; tables give 2.07 to 2.2 GPa.
const waterBulkPa = 2.15e9

// SurgeAllowance is the working pressure allowed as a fraction of the pipe's
// rating where nobody has reckoned the surge ([CPS430]: 72 %).
const SurgeAllowance = 0.72

// Material is what a pipe is made of.
type Material struct {
	Name          string
	RoughnessM    float64 // of a new pipe
	ModulusPa     float64 // Young's modulus, short term; from memory
	BoreWallRatio float64 // inside diameter over wall of a usual, rather thick series
}

// materials lists roughnesses as public tables give them (smooth plastic and
// drawn tube 0 to 0.0015 mm, steel 0.045, galvanised 0.15, cast iron 0.26,
// concrete 0.3 to 3, wood staves 0.18 to 0.9). Moduli are from memory. The walls
// are those of a thick series, since a stiffer pipe has the greater surge:
// polyethylene SDR 11, PVC DR 18.
var materials = []Material{
	{"pe", 0.0015e-3, 1.0e9, 9},
	{"pvc", 0.0015e-3, 2.76e9, 16},
	{"steel", 0.045e-3, 207e9, 60},
	{"galvanised", 0.15e-3, 207e9, 15},
	{"iron", 0.26e-3, 100e9, 30},
	{"concrete", 0.3e-3, 30e9, 10},
	{"wood", 0.18e-3, 10e9, 20},
}

// Materials returns the pipe materials known by name.
func Materials() []Material { return slices.Clone(materials) }

// MaterialOf returns the material of a name and whether it is known. Capital
// letters do not matter, and "hdpe", "poly" and "polyethylene" are "pe",
// "galvanized" is "galvanised", "cast iron" is "iron".
func MaterialOf(name string) (Material, bool) {
	name = strings.ToLower(strings.TrimSpace(name))
	switch name {
	case "hdpe", "poly", "polyethylene":
		name = "pe"
	case "galvanized":
		name = "galvanised"
	case "cast iron":
		name = "iron"
	}
	for _, m := range materials {
		if m.Name == name {
			return m, true
		}
	}
	return Material{}, false
}

// WaveSpeed returns the speed in m/s of a pressure wave in a full pipe,
//
//	a = √(K/ρ) / √(1 + K D/(E e))
//
// where D/e is the bore over the wall's thickness. Ref: [Wylie].
func WaveSpeed(densityKgM3, boreWallRatio, modulusPa float64) float64 {
	return math.Sqrt(waterBulkPa/densityKgM3) / math.Sqrt(1+waterBulkPa/modulusPa*boreWallRatio)
}

// Joukowsky returns the pressure rise in Pa where a flow is slowed at once,
// Δp = ρ a Δv. Ref: [Wylie].
func Joukowsky(densityKgM3, waveSpeedMS, slowedMS float64) float64 {
	return densityKgM3 * waveSpeedMS * slowedMS
}

// Surge is what shutting the valve does to the pipe.
type Surge struct {
	StaticPa    float64 // at the nozzle, no water moving
	WaveSpeedMS float64
	ReturnS     float64 // in which the wave is back: shutting faster gains nothing
	SurgePa     float64 // on top of the static pressure
	SlowS       float64 // closing time from which the pipe holds; 0 if it holds anyway or has no rating, +Inf if it never does
}

// PeakPa returns the greatest pressure.
func (s Surge) PeakPa() float64 { return s.StaticPa + s.SurgePa }

// Surge returns the pressures when a flow is shut off in p.CloseTimeS, 0: at
// once. Within the time 2L/a in which the wave comes back the full Joukowsky
// pressure builds up; a slower valve lowers it in proportion, Δp = 2 ρ L v/t
// (Michaud's formula, from memory).
func (p Penstock) Surge(flowM3S float64, w Water) Surge {
	mat, ok := MaterialOf(p.Material)
	if !ok {
		mat = Material{ModulusPa: 207e9, BoreWallRatio: 60} // as steel: cautious
	}
	ratio := mat.BoreWallRatio
	if p.WallM > 0 {
		ratio = p.BoreM / p.WallM
	}
	v := flowM3S / circle(p.BoreM)
	s := Surge{StaticPa: w.Pressure(p.GrossHeadM), WaveSpeedMS: WaveSpeed(w.DensityKgM3, ratio, mat.ModulusPa)}
	s.ReturnS = 2 * p.LengthM / s.WaveSpeedMS
	s.SurgePa = Joukowsky(w.DensityKgM3, s.WaveSpeedMS, v)
	slow := 2 * w.DensityKgM3 * p.LengthM * v // Pa·s
	if room := p.RatingPa - s.StaticPa; p.RatingPa > 0 && s.SurgePa > room {
		s.SlowS = math.Inf(1)
		if room > 0 {
			s.SlowS = slow / room
		}
	}
	if p.CloseTimeS > s.ReturnS {
		s.SurgePa = slow / p.CloseTimeS
	}
	return s
}

// Surge returns the pressures when the machine's greatest flow is shut off.
func (m *Machine) Surge() Surge { return m.Plant.Penstock.Surge(m.MaxFlow(), m.Water) }
