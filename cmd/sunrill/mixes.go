package main

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/worth"
	"sunrill/sources/solar"
)

// wanted is the light and the fuel as the command line tells them.
type wanted struct {
	target, fuel string
	scratch      bool
}

// read turns what was told into a target.
func (w wanted) read() (worth.Target, error) {
	t := worth.Target{FuelL: math.Inf(1)}
	if w.target != "" {
		h, err := measure.HourCounts.Parse(w.target)
		if err != nil || !(h >= 0) || h > 8784 {
			return t, usageError{fmt.Sprintf("--target: %q is no number of unmet hours a year; write --target \"20 h\"", w.target)}
		}
		t.UnmetHours, t.Told = h, true
	}
	switch fuel := strings.TrimSpace(w.fuel); fuel {
	case "":
	case "none":
		t.FuelL = 0
	default:
		m3, err := measure.Volumes.Parse(fuel)
		if err != nil || !(m3 >= 0) {
			return t, usageError{fmt.Sprintf("--fuel: %q is no volume of fuel; write --fuel \"50 L\", or none", w.fuel)}
		}
		t.FuelL = m3 * 1000
	}
	return t, nil
}

// withPanels gives a house without panels some to run, and returns their W; one
// that has panels is returned as it is, with 0.
func withPanels(h *series.Homestead) (*series.Homestead, float64, error) {
	if len(h.Site.Arrays) > 0 || h.Site.Sun.OnPanel {
		return h, 0, nil
	}
	s := *h.Site
	a := s.UsualArray()
	s.Arrays = []solar.Array{a}
	other, err := series.New(&s)
	return other, a.PowerW, err
}
