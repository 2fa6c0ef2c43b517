package stream_test

import (
	"fmt"
	"testing"

	"sunrill/sources/stream"
)

func ExampleDuration() {
	d := stream.NewDuration([]float64{0.004, 0.001, 0.010, 0.002, 0.003}) // m³/s
	fmt.Printf("half of all days have more than %.0f L/s\n", 1000*d.FlowM3S(0.5))
	fmt.Printf("2.5 L/s are exceeded on %.0f %% of the days\n", 100*d.Exceeded(0.0025))
	fmt.Printf("at 2.5 L/s a 20 L bucket fills in %.0f s\n", stream.BucketSeconds(0.020, 0.0025))
	// Output:
	// half of all days have more than 3 L/s
	// 2.5 L/s are exceeded on 60 % of the days
	// at 2.5 L/s a 20 L bucket fills in 8 s
}

func TestDurationEnds(t *testing.T) {
	d := stream.NewDuration([]float64{3, 1, 2, 2})
	for _, c := range []struct{ got, want float64 }{
		{d.FlowM3S(0), 3}, {d.FlowM3S(1), 1}, {d.FlowM3S(-1), 3}, {d.FlowM3S(2), 1},
		{d.Exceeded(2), 0.25}, {d.Exceeded(0), 1}, {d.Exceeded(3), 0}, {d.Exceeded(9), 0},
		{stream.NewDuration(nil).FlowM3S(0.5), 0}, {stream.NewDuration(nil).Exceeded(1), 0},
	} {
		if c.got != c.want {
			t.Errorf("got %g, want %g", c.got, c.want)
		}
	}
}
