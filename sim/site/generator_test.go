package site_test

import (
	"fmt"
	"strings"
	"testing"

	"sunrill/sim/site"
)

func generatorSite(floor, more string) map[string]string {
	toml := strings.Replace(string(folder(nil)["site.toml"].Data), "[loads]", "floor = \""+floor+"\"\n[generator]\nrated = \"2 kW\"\n"+more+"\n[loads]", 1)
	return map[string]string{"site.toml": toml}
}

// Whatever floor and stop are, a default start lies between them and is not
// warned of.
func TestGeneratorStartsAboveTheFloor(t *testing.T) {
	for tenth := 0; tenth <= 950; tenth += 7 {
		floor := float64(tenth) / 1000
		for _, stop := range []float64{0, floor + 0.002, floor + 0.03, 1} {
			more := ""
			if stop > 0 {
				more = fmt.Sprintf("stop_soc = \"%.1f %%\"", 100*min(1, stop))
			}
			if stop == floor+0.002 && floor < 0.009 {
				continue // below the least that stop_soc may be
			}
			s := mustLoad(t, folder(generatorSite(fmt.Sprintf("%.1f %%", 100*floor), more)), site.Options{})
			if g := s.Generator; g.StartSoC <= floor || g.StopSoC <= g.StartSoC || g.StartSoC > floor+0.11 || len(s.Warnings) > 0 && !strings.Contains(s.Warnings[0], "is less than 1 %") {
				t.Errorf("floor %.3f, stop_soc %.3f: starts at %g, stops at %g, warnings %q", floor, stop, g.StartSoC, g.StopSoC, s.Warnings)
			}
		}
	}
	for _, c := range []struct {
		floor, more string
		start, stop float64
	}{
		{"50 %", "", 0.6, 0.8}, {"20 %", "", 0.3, 0.8}, {"80 %", "", 0.85, 0.9}, {"95 %", "", 0.96, 0.98},
		{"20 %", `start_soc = "90 %"`, 0.9, 0.95}, {"20 %", `stop_soc = "30 %"`, 0.25, 0.3},
	} {
		s := mustLoad(t, folder(generatorSite(c.floor, c.more)), site.Options{})
		if g := s.Generator; fmt.Sprintf("%.3f %.3f", g.StartSoC, g.StopSoC) != fmt.Sprintf("%.3f %.3f", c.start, c.stop) {
			t.Errorf("floor %s, %q: starts at %g, stops at %g, want %g and %g", c.floor, c.more, g.StartSoC, g.StopSoC, c.start, c.stop)
		}
	}
	mustRefuse(t, folder(generatorSite("50 %", `stop_soc = "40 %"`)), "site.toml:15:", "40 % is not above the bank's floor, 50 %", "lower the floor")
	mustRefuse(t, folder(generatorSite("50 %", "start_soc = \"70 %\"\nstop_soc = \"65 %\"")), "65 % is not above start_soc, 70 %")
}
