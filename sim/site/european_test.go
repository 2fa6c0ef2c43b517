package site_test

import (
	"math"
	"testing"

	"sunrill/sim/site"
)

// In a file whose columns are separated by semicolons a comma is decimal,
// also where a cell holds several numbers.
func TestEuropeanSpreadsheet(t *testing.T) {
	s, err := site.Load("../../testdata/european", site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%s is %g, want %g", what, got, want)
		}
	}
	if len(s.Gaugings) != 3 || len(s.Appliances) != 3 {
		t.Fatalf("%d readings, %d appliances", len(s.Gaugings), len(s.Appliances))
	}
	// The flow is the volume over the mean time.
	near("three timings of 20 L", s.Gaugings[0].FlowM3S, 0.020*3/(14.2+13.8+14.5))
	near("one timing of 7.5 L", s.Gaugings[1].FlowM3S, 0.0075/9.4)
	near("a float's flow", s.Gaugings[2].FlowM3S, 0.00275)
	if n := s.Gaugings[1].Note; n != "0,2 m lower" {
		t.Errorf("the note has become %q", n)
	}
	if n := s.Appliances[0].Name; n != "pump, of the well" {
		t.Errorf("the name has become %q", n)
	}
	near("half an hour a day", s.Appliances[0].HoursPerDay, 0.5)
	near("watts", s.Appliances[1].Watts, 8.5)
	near("an hour and a half a week, on two days", s.Appliances[2].HoursPerDay, 0.75)
	near("sun hours", s.Sun.SunHours[0], 1.3)
	near("rain", s.Rain.RainMM[1], 7.5)
}
