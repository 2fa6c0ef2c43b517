package series_test

import (
	"reflect"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/series"
	"sunrill/sim/site"
)

// A changed homestead that shares with another what the change leaves alone
// gives, to the last bit, what it gives prepared from nothing: whatever part
// was changed, and in whatever order the years were asked for.
func TestSharedPartsGiveEqualBytes(t *testing.T) {
	unsure := []files.Setting{}
	for _, text := range []string{"uncertainty.head=4 %", "uncertainty.flow=10 %", "uncertainty.sun=6 %", "uncertainty.loads=8 %", "uncertainty.efficiency=5 %"} {
		set, err := files.ParseSetting(text, text)
		if err != nil {
			t.Fatal(err)
		}
		unsure = append(unsure, set)
	}
	own, err := site.LoadFS(site.DemoFS(), site.Options{Set: unsure})
	if err != nil {
		t.Fatal(err)
	}
	plain, err := series.New(own)
	if err != nil {
		t.Fatal(err)
	}
	base := plain.Keep()
	for _, y := range base.Years() {
		base.Input(y)
	}
	draw := sim.DrawOf(3)
	drawn := base.Draw(draw, 1).Keep()
	for _, text := range []string{
		"bank.capacity=20 kWh", "bank.place=shed", "array.roof.tilt=70 deg", "array.woodshed.power=3 kW", "array.woodshed=", `array.barn={power="1 kW"}`,
		"loads.freezer.count=0", "inverter.idle=40 W", "penstock.bore=40 mm", "turbine.nozzles=[5 mm]", "turbine.open=12-01", "intake.house_water=900 L/day",
		"forebay.volume=3 m3", "visits.every=1 day", "stream.floor=0.5 L/s", "sun.seed=7", "sun.wet_day_share=0.5", "sun.surface=panel", "elevation=900 m", "latitude=50",
		"uncertainty.head=9 %", "uncertainty.loads=20 %", "year.start=09-01", "year.first=2012", "generator.rated=2 kW", "stream=",
	} {
		set, err := files.ParseSetting(text, text)
		if err != nil {
			t.Fatal(err)
		}
		o := site.Options{Set: append(unsure[:len(unsure):len(unsure)], set)}
		if text == "stream=" {
			for _, more := range []string{"turbine=", "penstock=", "intake=", "cable=", "visits="} {
				s, _ := files.ParseSetting(more, more)
				o.Set = append(o.Set, s)
			}
		}
		s, err := site.LoadFS(site.DemoFS(), o)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		fresh, err := series.New(s)
		if err != nil {
			t.Fatal(err)
		}
		shared, err := base.With(s)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(fresh.Years(), shared.Years()) || !reflect.DeepEqual(fresh.Bus(), shared.Bus()) {
			t.Errorf("%s: other years, or another bus", text)
		}
		freshDraw, sharedDraw := fresh.Draw(draw, 1), shared.DrawBeside(draw, 1, drawn)
		if y := fresh.Years()[0]; reflect.DeepEqual(*freshDraw.Input(y), *fresh.Input(y)) {
			t.Errorf("%s: a draw changes nothing", text)
		}
		for range 2 { // made, and then kept
			for i, y := range fresh.Years() {
				if i%4 != 0 && y.Days == 365 {
					continue
				}
				if got, want := sharedDraw.Input(y), freshDraw.Input(y); !reflect.DeepEqual(*got, *want) {
					t.Errorf("%s: the year %d under a draw differs: %s", text, y.Number(), differs(got, want))
				}
				got, want := shared.Input(y), fresh.Input(y)
				if !reflect.DeepEqual(*got, *want) {
					t.Errorf("%s: the year %d differs: %s", text, y.Number(), differs(got, want))
				}
			}
		}
	}
	if y := base.Years()[0]; !reflect.DeepEqual(*base.Input(y), *plain.Input(y)) {
		t.Error("the homestead that was shared has changed")
	}
}

// What a change leaves alone is not made again: another reading of the same
// folder takes the very same memory.
func TestPartsAreShared(t *testing.T) {
	base := demo(t).Keep()
	y := base.Years()[0]
	was := base.Input(y)
	set, err := files.ParseSetting("array.woodshed.tilt=70 deg", "")
	if err != nil {
		t.Fatal(err)
	}
	for name, o := range map[string]site.Options{"the same": {}, "an array": {Set: []files.Setting{set}}} {
		s, err := site.LoadFS(site.DemoFS(), o)
		if err != nil {
			t.Fatal(err)
		}
		h, err := base.With(s)
		if err != nil {
			t.Fatal(err)
		}
		is := h.Input(h.Years()[0])
		same := func(a, b []float64) bool { return &a[0] == &b[0] }
		if !same(is.AirC, was.AirC) || !same(is.Sources[0].PartsW[0], was.Sources[0].PartsW[0]) || !same(is.DemandW, was.DemandW) || !same(is.W(sim.Creek), was.W(sim.Creek)) {
			t.Errorf("%s changed: the year was made again", name)
		}
		if changed := name == "an array"; same(is.Sources[0].PartsW[1], was.Sources[0].PartsW[1]) == changed {
			t.Errorf("%s changed: its watts are shared: %t", name, changed)
		}
	}
}

// differs names the fields in which two inputs differ.
func differs(a, b *sim.Input) (names []string) {
	va, vb := reflect.ValueOf(*a), reflect.ValueOf(*b)
	for i := range va.NumField() {
		if va.Type().Field(i).IsExported() && !reflect.DeepEqual(va.Field(i).Interface(), vb.Field(i).Interface()) {
			names = append(names, va.Type().Field(i).Name)
		}
	}
	return names
}

// A year of a homestead that keeps its parts is soon had again.
func BenchmarkKeptYear(b *testing.B) {
	s, err := site.Demo()
	if err != nil {
		b.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		b.Fatal(err)
	}
	h = h.Keep()
	var m series.Maker
	y := h.Years()[0]
	m.Input(h, y)
	for b.Loop() {
		m.Input(h, y)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(time.Microsecond), "µs")
}
