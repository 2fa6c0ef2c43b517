package stream_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/sources/stream"
)

// A US gallon is 3.785411784 L by definition: 5 gal in 6 s are 50 gal/min.
func TestBucketFiveGallons(t *testing.T) {
	const galM3 = 3.785411784e-3
	r, err := stream.Bucket(5*galM3, []float64{6})
	if err != nil {
		t.Fatal(err)
	}
	if got := r.FlowM3S / galM3 * 60; math.Abs(got-50) > 1e-9 {
		t.Errorf("%g gal/min, want 50", got)
	}
}

func ExampleBucket() {
	r, _ := stream.Bucket(0.020, []float64{14.2, 13.8, 14.5})
	fmt.Printf("%.2f ± %.2f L/s\n", 1000*r.FlowM3S, 1000*r.ErrorM3S)
	// Output:
	// 1.41 ± 0.03 L/s
}

// A hand's 0.2 s are 6.7 % of 3 s.
func TestBucketErrorOfOneQuickFill(t *testing.T) {
	r, err := stream.Bucket(0.010, []float64{3})
	if err != nil {
		t.Fatal(err)
	}
	want := math.Hypot(0.2/3, 0.02)
	if got := r.ErrorM3S / r.FlowM3S; math.Abs(got-want) > 1e-12 {
		t.Errorf("error %.4f of the flow, want %.4f", got, want)
	}
	if len(r.Cautions) != 1 {
		t.Errorf("cautions %q, want one about a single timing", r.Cautions)
	}
}

func TestFloat(t *testing.T) {
	// Section: 1 m wide, 20, 30, 20 cm deep at the quarters: 0.175 m².
	r, err := stream.Float(stream.FloatRun{WidthM: 1, DepthsM: []float64{0.2, 0.3, 0.2},
		DistanceM: 5, Seconds: []float64{20, 20, 20}, Bed: "rocky"})
	if err != nil {
		t.Fatal(err)
	}
	if want := 0.175 * 0.8 * 0.25; math.Abs(r.FlowM3S-want) > 1e-12 {
		t.Errorf("%g m³/s, want %g", r.FlowM3S, want)
	}
	if fraction := r.ErrorM3S / r.FlowM3S; fraction < 0.20 || fraction > 0.21 {
		t.Errorf("error %.3f of the flow", fraction)
	}
}

func TestImpossibleReadings(t *testing.T) {
	bucket := func(v float64, s ...float64) error { _, err := stream.Bucket(v, s); return err }
	weir := func(w stream.Weir) error { _, err := w.Gauge(); return err }
	float := func(f stream.FloatRun) error { _, err := stream.Float(f); return err }
	for _, c := range []struct {
		err  error
		want string
	}{
		{bucket(0.02, 14, 0), "0 s is not possible"},
		{bucket(0.02, math.NaN()), "not possible"},
		{bucket(0.02), "no timing"},
		{bucket(0, 14), "volume"},
		{bucket(math.Inf(1), 14), "volume"},
		{weir(stream.Weir{}), "needs the angle"},
		{weir(stream.Weir{NotchDeg: 90, WidthM: 1, HeadM: 0.1}), "angle or the width"},
		{weir(stream.Weir{NotchDeg: 120, HeadM: 0.1}), "25° to 100°"},
		{weir(stream.Weir{NotchDeg: 90, HeadM: 0.03}), "too shallow"},
		{weir(stream.Weir{NotchDeg: 90, HeadM: 0.12, BelowTold: true}), "drowned"},
		{weir(stream.Weir{WidthM: 0.3, HeadM: 0.2}), "widen the notch"},
		{weir(stream.Weir{WidthM: 0.3, HeadM: 0.1, PoolWidthM: 0.2}), "narrower"},
		{weir(stream.Weir{NotchDeg: 90, HeadM: math.NaN()}), "no measure"},
		{float(stream.FloatRun{WidthM: 1, DepthsM: []float64{0.1}, DistanceM: 5, Seconds: []float64{9}, Bed: "mud"}), "rocky, gravel or smooth"},
		{float(stream.FloatRun{WidthM: 0, DepthsM: []float64{0.1}, DistanceM: 5, Seconds: []float64{9}, Bed: "rocky"}), "width"},
		{float(stream.FloatRun{WidthM: 1, DistanceM: 5, Seconds: []float64{9}, Bed: "rocky"}), "no depth"},
		{float(stream.FloatRun{WidthM: 1, DepthsM: []float64{0, 0}, DistanceM: 5, Seconds: []float64{9}, Bed: "rocky"}), "every depth"},
		{float(stream.FloatRun{WidthM: 1, DepthsM: []float64{-1}, DistanceM: 5, Seconds: []float64{9}, Bed: "rocky"}), "depth"},
		{float(stream.FloatRun{WidthM: 1, DepthsM: []float64{1}, DistanceM: 5, Seconds: []float64{-9}, Bed: "rocky"}), "timing"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("error %v, want one that says %q", c.err, c.want)
		}
	}
}

func TestDisagreements(t *testing.T) {
	day := time.Date(2016, 11, 5, 0, 0, 0, 0, time.UTC)
	gs := []stream.Gauging{
		{Date: day, Method: "bucket", FlowM3S: 0.0010},
		{Date: day.Add(9 * time.Hour), Method: "float", FlowM3S: 0.0020},
		{Date: day, Method: "bucket", FlowM3S: 0.0030}, // same method: the creek may have risen
		{Date: day, Method: "weir", FlowM3S: 0.00104},
		{Date: day.AddDate(0, 0, 1), Method: "float", FlowM3S: 0.0090},
	}
	var got []string
	for _, d := range stream.Disagreements(gs) {
		got = append(got, fmt.Sprintf("%s %.2f %s %.2f", d.A.Method, 1000*d.A.FlowM3S, d.B.Method, 1000*d.B.FlowM3S))
	}
	want := "bucket 1.00 float 2.00|float 2.00 bucket 3.00|float 2.00 weir 1.04|bucket 3.00 weir 1.04"
	if strings.Join(got, "|") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, "|"), want)
	}
}
