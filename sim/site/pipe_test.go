package site_test

import (
	"math"
	"strings"
	"testing"

	"sunrill/sim/measure"
	"sunrill/sim/site"
)

// piped is the small site with a creek record in place of a model, and the
// lines of a [penstock] and whatever follows it.
func piped(t *testing.T, penstock string) map[string]string {
	t.Helper()
	toml := string(folder(nil)["site.toml"].Data) + "[stream]\nmodel = \"record\"\n[turbine]\ndesign_flow = \"1 L/s\"\n[penstock]\n" + penstock
	return map[string]string{"site.toml": toml, "flow.csv": strings.Replace(string(folder(nil)["rain.csv"].Data), "rain_mm", "flow_lps", 1)}
}

// A gauge at the foot of the full pipe: 1 psi stands for 2.31 ft of water, as
// handbooks of plumbing have it, 1 bar for 10.2 m.
func TestHeadFromPressure(t *testing.T) {
	for text, wantM := range map[string]float64{"60 psi": 60 * 2.31 * 0.3048, "4.1 bar": 41.8, "42 m": 42, "410 kPa": 41.8, "138 ft": 42.06} {
		s := mustLoad(t, folder(piped(t, "gross_head = \""+text+"\"\nlength = \"200 m\"\nbore = \"60 mm\"\n")), site.Options{})
		if h := s.Hydro.Penstock.GrossHeadM; math.Abs(h-wantM) > 0.002*wantM {
			t.Errorf("%s is %.2f m of head, want %.2f", text, h, wantM)
		}
	}
}

func TestFittingsAreCounted(t *testing.T) {
	s := mustLoad(t, folder(piped(t, "gross_head = \"40 m\"\nlength = \"200 m\"\nbore = \"60 mm\"\nbends_90 = 3\nbends_45 = 2\nlong_bends = 1\nvalves = 2\nentrance = \"projecting\"\n")), site.Options{})
	if k, want := s.Hydro.Penstock.MinorLoss, 0.8+3*0.9+2*0.3+0.3+2*0.2; math.Abs(k-want) > 1e-12 {
		t.Errorf("K = %g, want %g", k, want)
	}
	told := false
	for _, d := range s.Defaults {
		value, _ := d.In(measure.Metric)
		told = told || d.Key == "penstock.minor_loss" && value == "4.8"
	}
	if !told {
		t.Errorf("the sum is not told: %+v", s.Defaults)
	}
	mustRefuse(t, folder(piped(t, "gross_head = \"40 m\"\nlength = \"200 m\"\nbore = \"60 mm\"\nbends_90 = 3\nminor_loss = 2\n")), "penstock.minor_loss: is given beside bends_90")
	mustRefuse(t, folder(piped(t, "gross_head = \"40 m\"\nlength = \"200 m\"\nbore = \"60 mm\"\nentrance = \"flsh\"\n")), `did you mean "flush"`)
}

func TestPipeInReaches(t *testing.T) {
	s := mustLoad(t, folder(piped(t, "gross_head = \"40 m\"\nreaches = [[\"120 m\", \"100 mm\"], [\"260 ft\", \"60 mm\"]]\n")), site.Options{})
	p := s.Hydro.Penstock
	if len(p.Reaches) != 2 || math.Abs(p.LengthM-(120+260*0.3048)) > 1e-9 || p.BoreM != 0.06 {
		t.Errorf("%+v", p)
	}
	mustRefuse(t, folder(piped(t, "gross_head = \"40 m\"\nreaches = [[\"120 m\"], [\"80 m\", \"60\"]]\nlength = \"200 m\"\n")),
		"penstock.length: is given beside reaches", "penstock.reaches[1]: is no pair of length and bore", `penstock.reaches[2][2]: "60" has no unit`)
}

// The feeder from dam to tank carries what its drop drives through it. By hand:
// 1.5 m of drop through 40 m of a smooth 100 mm pipe, entrance, one bend and the
// speed lost in the tank (K 0.5 + 0.9 + 1): with f = 0.0166, the friction factor
// of a smooth pipe at Re 159,000 by Moody's chart, v² = 2·9.81·1.5/(2.4 +
// 0.0166·400) = 3.25, so 14.2 L/s.
func TestFeederLimitsTheIntake(t *testing.T) {
	pipe := "gross_head = \"40 m\"\nlength = \"200 m\"\nbore = \"60 mm\"\n"
	feeder := "[feeder]\ndrop = \"1.5 m\"\nlength = \"40 m\"\nbore = \"100 mm\"\nbends_90 = 1\n"
	s := mustLoad(t, folder(piped(t, pipe+feeder)), site.Options{})
	if q := s.Hydro.Intake.LimitM3S; math.Abs(q-14.2e-3) > 0.3e-3 {
		t.Errorf("the feeder carries %.2f L/s, want 14.2", 1e3*q)
	}
	told := false
	for _, d := range s.Defaults {
		value, reason := d.In(measure.US)
		told = told || d.Key == "intake.limit" && strings.Contains(reason, "feeder") && value == "220 gal/min"
	}
	if !told {
		t.Error("the limit by the feeder is not told")
	}
	s = mustLoad(t, folder(piped(t, pipe+feeder+"[intake]\nlimit = \"3 L/s\"\n")), site.Options{})
	if s.Hydro.Intake.LimitM3S != 3e-3 {
		t.Errorf("the intake's own limit is lost: %g", s.Hydro.Intake.LimitM3S)
	}
	mustRefuse(t, folder(piped(t, pipe+"[feeder]\nlength = \"40 m\"\nbore = \"100 mm\"\n")), "feeder.drop: is missing")
}
