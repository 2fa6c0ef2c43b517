package main

import (
	"fmt"
	"math"
	"strings"

	"sunrill/sim/measure"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sim/worth"
	"sunrill/sources/solar"
)

// wanted is the light and the fuel as the command line tells them.
type wanted struct {
	target, fuel string
	scratch      bool
}

// read turns what was told into a target; what was not told becomes what hydro
// as described leaves, if there is a comparison already.
func (w wanted) read(r *worth.Result) (worth.Target, error) {
	t := worth.Target{FuelL: math.Inf(1)}
	if r != nil {
		hydro := r.Way(worth.WithHydro)
		t.UnmetHours = math.Ceil(math.Max(hydro.UnmetP80, hydro.UnmetMean))
	}
	t.Default = "The light that is wanted was not told: it is what hydro as described leaves. --target \"20 h\" tells your own, --fuel \"50 L\" the fuel that you bear."
	if w.target != "" {
		h, err := measure.HourCounts.Parse(w.target)
		if err != nil || !(h >= 0) || h > 8784 {
			return t, usageError{fmt.Sprintf("--target: %q is no number of unmet hours a year; write --target \"20 h\"", w.target)}
		}
		t.UnmetHours, t.Default = h, ""
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

// mixes adds the cheapest mixes to a comparison, where there are prices enough.
func (w wanted) mixes(c *call, s *site.Site, p *worth.Plan, r *worth.Result) error {
	t, err := w.read(r)
	if err != nil {
		return err
	}
	if !r.Priced() {
		return nil
	}
	r.Mixes, err = worth.FindMixes(c.ctx, p, t, worth.NewGrid(p, s.MostPanelsW, w.scratch))
	return err
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
