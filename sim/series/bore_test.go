package series_test

import (
	"testing"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// A wider pipe is no worse, be it by chance of which set of nozzles it just no
// longer sustains: over the years of the record neither the turbine's energy nor
// the house's unmet hours get worse by more than 1 % from one bore to the next.
// (Unmet hours jump by whole hours: one a year is let pass.)
func TestWiderPipeIsNoWorse(t *testing.T) {
	const inch = 0.0254
	for _, folder := range []string{"../../testdata/us-site", ""} {
		lastWh, lastHours := 0.0, 1e9
		for _, bore := range []float64{2.0, 2.07, 2.2, 2.47, 3.04} {
			s, err := site.Demo()
			if folder != "" {
				s, err = site.Load(folder, site.Options{})
			}
			if err != nil {
				t.Fatal(err)
			}
			s.Hydro.Penstock.BoreM = bore * inch
			s.Hydro.Turbine.MaxPowerW = 0 // a wider pipe may lift a set above it
			s.Generator = nil             // which, started later, may leave more hours
			h, err := series.New(s)
			if err != nil {
				t.Fatal(err)
			}
			wh, hours, years := 0.0, 0.0, h.Years()
			for _, y := range years {
				year, err := sim.Run(h.Input(y), h.Bus())
				if err != nil {
					t.Fatal(err)
				}
				wh += year.In.Given().Of(sim.Creek) / float64(len(years))
				hours += float64(year.Tally.UnmetHours) / float64(len(years))
			}
			t.Logf("%s bore %.2f in: %.0f kWh, %.1f h", folder, bore, wh/1000, hours)
			if wh < 0.99*lastWh || hours > 1.01*lastHours+1 {
				t.Errorf("%s: a bore of %.2f in gives %.0f kWh a year and %.1f unmet hours, a narrower one %.0f and %.1f", folder, bore, wh/1000, hours, lastWh/1000, lastHours)
			}
			lastWh, lastHours = wh, hours
		}
	}
}
