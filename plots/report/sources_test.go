package report_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/plots"
	"sunrill/plots/report"
	"sunrill/sim"
)

// windmill is a source that no homestead has.
var windmill = sim.Kind{Key: "wind", Name: "windmill", From: "wind"}

// A third source is named beside the others wherever they are: who carries the
// house, what each could give, what was dumped, the months' table and their bars,
// the danger of running away, and its own meter.
func TestThirdSourceIsNamed(t *testing.T) {
	v := small(t, "lfp")
	in := v.Year.In
	wind := make([]float64, in.Hours())
	for h := range wind {
		wind[h] = 50
	}
	in.Set(windmill, wind)
	in.W(sim.Panels)[12] = 1000
	log := sim.Log{W: map[string][]float64{"wind": nil}}
	for h := range wind {
		log.Time = append(log.Time, in.Start.Add(time.Duration(h)*time.Hour))
		log.W["wind"] = append(log.W["wind"], 40)
	}
	y, err := sim.Run(in, sim.Bus{Bank: v.Year.Bus.Bank, DumpW: 100})
	if err != nil {
		t.Fatal(err)
	}
	v = report.Year{Year: y, Summary: sim.Summarize(y), Meters: report.Meters(y, log)}
	said := v.Verdict().Sentences
	wants(t, strings.Join(said, "\n"), "the turbine and the windmill gave more", "Sun, creek, wind and bank")
	energy := section(t, v, "energy")
	wants(t, text(energy), "The panels could give 1.00 kWh, the creek 73.6 kWh, the windmill 36.0 kWh.", "of the creek’s and the windmill’s went to the dump load",
		"Panels, creek and windmill: what they could give.", "|1.0|74|36|")
	if got := strings.Join(energy.Tables[0].Head, "|"); !strings.Contains(got, "|panels|creek|windmill|") {
		t.Errorf("the months' table is headed %s", got)
	}
	bars := ""
	for _, k := range energy.Figures[0].Legend {
		bars += k.Label + "|"
	}
	if !strings.HasPrefix(bars, "creek|windmill|panels|") || !strings.Contains(energy.Figures[0].Title, "sun, creek and wind") {
		t.Errorf("the bars are %s, under %q", bars, energy.Figures[0].Title)
	}
	wants(t, report.HazardYears([]report.YearLine{{Start: in.Start, Summary: v.Summary}}), "the turbine and the windmill gave more")
	wants(t, text(section(t, v, "meter")), "windmill|720|40 W|50 W|+10 W")
	if len(v.Meters) != 1 || v.Meters[0].What != plots.Other {
		t.Errorf("meters %v", v.Meters)
	}
}

// What a meter sees of two throttled sources is what was taken of each: of what
// is held back each bears its share.
func TestMeterOfTwoThrottledSources(t *testing.T) {
	more := sim.Kind{Key: "roof", Name: "roof", From: "sun", Throttled: true}
	in := &sim.Input{Start: time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC), Sources: sim.PanelsAndCreek([]float64{300, 100}, []float64{0, 0}), DemandW: []float64{100, 100}}
	in.Set(more, []float64{100, 0})
	y, err := sim.Run(in, sim.Bus{}) // no bank: of 400 W the house takes 100, of 100 all
	if err != nil {
		t.Fatal(err)
	}
	log := sim.Log{Time: []time.Time{in.Start, in.Start.Add(time.Hour)}, W: map[string][]float64{"pv": {75, 100}, "roof": {25, 0}}}
	for _, m := range report.Meters(y, log) {
		if math.Abs(m.Bias) > 1e-9 || math.Abs(m.MeanError) > 1e-9 || len(m.Hours) != 2 {
			t.Errorf("%s: off by %g W", m.Source.Name, m.MeanError)
		}
	}
}
