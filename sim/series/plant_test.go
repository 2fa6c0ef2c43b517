package series_test

import (
	"reflect"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// Years that are given another creek, pipe, head or valve are, to the last bit,
// those that are made of that homestead from nothing.
func TestWateredYearsAreTheHomesteadsOwn(t *testing.T) {
	s, err := site.LoadFS(site.DemoFS(), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	years := h.Years()[:2]
	held := series.Held(years, h)
	wide := h.Machine.Plant
	wide.Penstock = wide.Penstock.OfBore(0.07)
	for name, o := range map[string]*series.Homestead{
		"more water": h.WithWater(1.3), "a wider pipe": h.WithPlant(wide), "more head": h.WithHead(1.2),
		"another valve": h.WithValve(series.Valve{Open: &site.Date{Month: time.December, Day: 1}}), "an open valve": h.WithValve(series.Valve{}), "a shut valve": h.WithValve(series.Valve{Shut: true}),
	} {
		got, want := series.Watered(held, years, o), series.Held(years, o)
		for i := range got {
			if !reflect.DeepEqual(got[i], want[i]) {
				t.Errorf("%s, year %d: not the same", name, i)
			}
			if name != "a shut valve" && reflect.DeepEqual(got[i].W(sim.Creek), held[i].W(sim.Creek)) {
				t.Errorf("%s, year %d: nothing is otherwise", name, i)
			}
		}
	}
}
