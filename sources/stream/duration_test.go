package stream_test

import (
	"fmt"
	"testing"

	"sunrill/sources/stream"
)

func ExampleDuration() {
	d := stream.NewDuration([]float64{0.004, 0.001, 0.010, 0.002, 0.003}) // m³/s
	fmt.Printf("half of all days have more than %.0f L/s\n", 1000*d.FlowM3S(0.5))
	fmt.Printf("nine days in ten have more than %.1f L/s\n", 1000*d.FlowM3S(0.9))
	// Output:
	// half of all days have more than 3 L/s
	// nine days in ten have more than 1.4 L/s
}

func TestDurationEnds(t *testing.T) {
	d := stream.NewDuration([]float64{3, 1, 2, 2})
	for _, c := range []struct{ got, want float64 }{
		{d.FlowM3S(0), 3}, {d.FlowM3S(1), 1}, {d.FlowM3S(-1), 3}, {d.FlowM3S(2), 1},
		{stream.NewDuration(nil).FlowM3S(0.5), 0},
	} {
		if c.got != c.want {
			t.Errorf("got %g, want %g", c.got, c.want)
		}
	}
}
