package hydro_test

import (
	"math"
	"testing"

	"sunrill/sources/hydro"
)

// Wave speed and pressure per 1 m/s, by the published form with water's modulus
// 2.15 GPa and D/e = DR − 2, from independent arithmetic (moduli of the pipes
// from memory). The two values of psi per ft/s that handbooks of waterworks
// pipe print, 17.9 for DR 18 and 14.7 for DR 26 (from memory), lie within 2 %.
func TestJoukowsky(t *testing.T) {
	const rho, psiPerFtS = 1000, 6894.757 / 0.3048
	for _, row := range []struct {
		name                 string
		ratio, modulusPa     float64
		a, kPa, psi, psiDigs float64
	}{
		{"PVC DR18", 16, 2.76e9, 400, 399, 17.7, 0.1},
		{"PVC DR26", 24, 2.76e9, 331, 330, 14.6, 0.1},
		{"PE DR11", 9, 1e9, 325, 325, 14.4, 0.1},
		{"PE DR17", 15, 1e9, 254, 254, 11.2, 0.1},
		{"steel D/e 60", 60, 207e9, 1151, 1150, 50.9, 0.1},
		{"rigid", 0, 207e9, 1467, 1466, 64.8, 0.1},
	} {
		a := hydro.WaveSpeed(rho, row.ratio, row.modulusPa)
		dp := hydro.Joukowsky(rho, a, 1)
		within(t, row.name+": wave speed", a, row.a, 2e-3)
		within(t, row.name+": kPa", dp/1000, row.kPa, 3e-3)
		within(t, row.name+": psi per ft/s", dp/psiPerFtS, row.psi, 5e-3)
	}
}

func TestSurgeBySlowValve(t *testing.T) {
	p := hydro.Penstock{GrossHeadM: 50, LengthM: 400, BoreM: 0.08, Material: "PE", RatingPa: 7e5}
	w := hydro.WaterAt(10)
	v := 0.005 / (math.Pi / 4 * 0.08 * 0.08)
	fast := p.Surge(0.005, w)
	within(t, "static", fast.StaticPa, 4.9e5, 1e-3)
	within(t, "at once", fast.SurgePa, w.DensityKgM3*fast.WaveSpeedMS*v, 1e-12)
	p.CloseTimeS = fast.ReturnS
	within(t, "in the wave's return", p.Surge(0.005, w).SurgePa, fast.SurgePa, 1e-12)
	p.CloseTimeS = 2 * fast.ReturnS
	within(t, "in twice that", p.Surge(0.005, w).SurgePa, fast.SurgePa/2, 1e-12)
	p.CloseTimeS = fast.SlowS
	within(t, "in the time that the rating allows", p.Surge(0.005, w).PeakPa(), 7e5, 1e-9)
	p.WallM = 0.08 / 15 // DR 17
	if thin := p.Surge(0.005, w); thin.WaveSpeedMS >= fast.WaveSpeedMS {
		t.Errorf("the wave runs at %g m/s in a thin wall, %g in a thick one", thin.WaveSpeedMS, fast.WaveSpeedMS)
	}
}
