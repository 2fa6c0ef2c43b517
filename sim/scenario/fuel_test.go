package scenario_test

import (
	"math"
	"testing"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/weather"
)

// Fuel and hours of a generator are means of a year over all years, run one by one.
func TestFuelAgainstYearByYear(t *testing.T) {
	h := homestead(6)
	h.Bus.Generator = &sim.Generator{RatedW: 600, StartSoC: 0.5, StopSoC: 0.8, MinRunH: 2, FuelLPerKWh: 0.5, FuelIdleLH: 0.3}
	r := dryWinter(t, h, scenario.Options{Synthetic: -1, Factors: []float64{0.6}, Weeks: []int{4}})
	for name, of := range map[string]weather.Record{"record": h.Record, "rain × 0.6": weather.Scaled(h.Record, 0.6)} {
		var litres, hours [2]float64
		year := worker()(of, 0)
		for _, y := range h.Years {
			in := year(y)
			for k := range 2 {
				run, err := sim.Run(in, h.Bus)
				if err != nil {
					t.Fatal(err)
				}
				litres[k] += run.Tally.FuelL / float64(len(h.Years))
				hours[k] += float64(run.Tally.GeneratorHours) / float64(len(h.Years))
				in.Set(sim.Creek, make([]float64, in.Hours()))
			}
		}
		s := r.Find(name)
		for _, v := range []struct {
			what      string
			got, want float64
		}{
			{"litres with hydro", s.With.FuelL, litres[0]}, {"litres without", s.Without.FuelL, litres[1]},
			{"hours with hydro", s.With.GeneratorHours, hours[0]}, {"hours without", s.Without.GeneratorHours, hours[1]},
		} {
			if math.Abs(v.got-v.want) > 1e-5 || v.want == 0 {
				t.Errorf("%s, %s: %g, one by one %g", name, v.what, v.got, v.want)
			}
		}
	}
}
