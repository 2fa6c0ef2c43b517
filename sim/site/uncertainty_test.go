package site_test

import (
	"testing"

	"sunrill/sim/measure"
	"sunrill/sim/site"
)

// What is not told of a doubt is told as a default with its reason, once the site
// has what it is a doubt of; what is told is taken, none included.
func TestUncertainty(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	if want := (site.Uncertainty{Sun: 0.08, Head: 0.05, Flow: 0.1, Efficiency: 0.1, Loads: 0.15, Prices: 0.15}); s.Uncertainty != want {
		t.Errorf("by default %+v, want %+v", s.Uncertainty, want)
	}
	told := map[string]bool{}
	for _, d := range s.Defaults {
		if _, reason := d.In(measure.Metric); reason != "" {
			told[d.Key] = true
		}
	}
	for _, key := range []string{"sun", "head", "flow", "efficiency", "loads", "prices"} {
		if !told["uncertainty."+key] {
			t.Errorf("uncertainty.%s is no default with a reason", key)
		}
	}
	toml := folder(nil)["site.toml"].Data
	with := func(table string) map[string]string { return map[string]string{"site.toml": string(toml) + table} }
	s = mustLoad(t, folder(with("[uncertainty]\nsun = \"1 %\"\nloads = \"0 %\"\n")), site.Options{})
	if want := (site.Uncertainty{Sun: 0.01}); s.Uncertainty != want {
		t.Errorf("as told, without water and prices: %+v, want %+v", s.Uncertainty, want)
	}
	mustRefuse(t, folder(with("[uncertainty]\nhead = 5\nloads = \"500 %\"\nheads = \"2 %\"\n")), "uncertainty.head", "uncertainty.loads", "heads")
}
