package plots_test

import (
	"bytes"
	"strings"
	"testing"

	"sunrill/plots"
	"sunrill/sim/measure"
)

// pipePower is the power behind a pipe that loses head with the flow squared:
// it peaks where a third of the head is lost.
func pipePower(n int, maxM3S float64) (flow, watts []float64) {
	for i := range n {
		q := maxM3S * float64(i) / float64(n-1)
		flow = append(flow, q)
		watts = append(watts, 0.5*9810*q*(40-4e6*q*q))
	}
	return flow, watts
}

func TestFlowToWatts(t *testing.T) {
	v := plots.Power{CutoffM3S: 0.0006}
	v.FlowM3S, v.PowerW = pipePower(100, 0.0025)
	v.Sets = []plots.PowerSet{{"7 mm", 0.00095, 168.5}, {"9 mm", 0.0015, 228}}
	c := plots.FlowToWatts(v)
	// Q = √(40/3/4e6) m³/s.
	if !strings.Contains(c.Caption, "Beyond 1.82 L/s") && !strings.Contains(c.Caption, "Beyond 1.84 L/s") {
		t.Errorf("the caption does not tell the peak at 1.83 L/s: %s", c.Caption)
	}
	if !strings.Contains(c.Alt, "9 mm: 228 W at 1.50 L/s") {
		t.Errorf("the text does not tell the nozzles: %s", c.Alt)
	}
	v.FlowM3S, v.PowerW = pipePower(100, 0.0012)
	v.FlowScale = measure.Scale{Unit: "gal/min", Factor: 15850.3}
	us := plots.FlowToWatts(v)
	if strings.Contains(us.Caption, "Beyond") {
		t.Errorf("a peak is told where the power still rises: %s", us.Caption)
	}
	for _, c := range []plots.Chart{c, us, plots.FlowToWatts(plots.Power{})} {
		var svg bytes.Buffer
		if err := c.WriteTo(&svg, "svg"); err != nil {
			t.Error(err)
		}
	}
}
