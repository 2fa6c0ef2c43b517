package site_test

import (
	"strings"
	"testing"

	"sunrill/sim/site"
	"sunrill/sources/hydro"
)

// visited is a site with hydro and with these lines on its visits.
func visited(turbine, visits string) map[string]string {
	return map[string]string{"site.toml": string(folder(nil)["site.toml"].Data) + `
[stream]
model = "curve"
recession_days = 30
gain = "1 L/s"

[penstock]
gross_head = "40 m"
length = "120 m"
bore = "60 mm"

[turbine]
nozzles = ["6 mm"]
` + turbine + "\n" + visits + "\n"}
}

// When somebody walks up: as written, or by defaults that are told.
func TestVisits(t *testing.T) {
	for _, c := range []struct {
		written string
		want    hydro.Visits
		told    string // the keys whose defaults are told
	}{
		{"", hydro.Visits{EveryDays: 7, AfterStop: true, AfterRainMM: 20}, "every after_stop after_rain"},
		{"[visits]\nevery = \"14 days\"", hydro.Visits{EveryDays: 14, AfterStop: true, AfterRainMM: 20}, "after_stop after_rain"},
		{"[visits]\nevery = \"1 day\"\nafter_stop = false\nafter_rain = \"0.5 in\"", hydro.Visits{EveryDays: 1, AfterRainMM: 12.7}, ""},
		{"[visits]\nevery = \"2 weeks\"\nafter_rain = \"never\"", hydro.Visits{EveryDays: 14, AfterStop: true}, "after_stop"},
		{"[visits]\nevery = \"never\"\nafter_stop = false\nafter_rain = \"Never\"", hydro.Visits{}, ""},
	} {
		s := mustLoad(t, folder(visited("", c.written)), site.Options{})
		if s.Hydro.Visits != c.want {
			t.Errorf("%q is %+v, want %+v", c.written, s.Hydro.Visits, c.want)
		}
		var told []string
		for _, d := range s.Defaults {
			if key, ok := strings.CutPrefix(d.Key, "visits."); ok {
				told = append(told, key)
			}
		}
		if got := strings.Join(told, " "); got != c.told {
			t.Errorf("%q: the defaults told are %q, want %q", c.written, got, c.told)
		}
	}
}

// What cannot be a visit is refused with its cure, and so is the older way to
// write it.
func TestVisitsRefused(t *testing.T) {
	for written, says := range map[string]string{
		"[visits]\nevery = \"often\"":       "visits.every",
		"[visits]\nevery = \"1.5 days\"":    "is no whole number of days",
		"[visits]\nevery = \"0 days\"":      "is outside",
		"[visits]\nafter_stop = \"yes\"":    "write true or false",
		"[visits]\nafter_rain = \"20 L/s\"": "a depth of water takes",
		"[visits]\nafter_snow = true":       "unknown key",
	} {
		mustRefuse(t, folder(visited("", written)), says)
	}
	for adjust, cure := range map[string]string{"daily": `every = "1 day"`, "weekly": `every = "7 days"`, "never": `after_rain = "never"`} {
		mustRefuse(t, folder(visited("adjust = \""+adjust+"\"", "")), "turbine.adjust: is told in [visits] now", cure)
	}
}
