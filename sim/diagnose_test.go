package sim_test

import (
	"context"
	"math"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/storage"
)

// steady is a sound year: sun enough each day for a steady house.
func steady() (*sim.Input, sim.Bus) {
	const hours = 8760
	in := &sim.Input{Start: time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC), Sources: sim.PanelsAndCreek(make([]float64, hours), make([]float64, hours)), DemandW: make([]float64, hours)}
	for h := range hours {
		if hour := h % 24; hour >= 8 && hour < 16 {
			in.W(sim.Panels)[h] = 1000
		}
		in.DemandW[h] = 200
	}
	bank, _ := storage.Preset("lfp", 10_000, 48)
	return in, sim.Bus{Bank: bank, DumpW: 1000}
}

// A site with one planted cause is told that cause, and that nothing is left
// without it; with two, both.
func TestDiagnoseFindsThePlantedCause(t *testing.T) {
	for name, c := range map[string]struct {
		plant func(in *sim.Input, b *sim.Bus)
		want  []sim.Limit
	}{
		"a small inverter": {func(in *sim.Input, b *sim.Bus) {
			in.OverW = make([]float64, in.Hours())
			for h := range in.OverW {
				if h%24 == 19 {
					in.DemandW[h], in.OverW[h] = 900, 200
				}
			}
		}, []sim.Limit{sim.InverterLimit}},
		"frozen cells": {func(in *sim.Input, b *sim.Bus) { b.Bank.IndoorC = -5 }, []sim.Limit{sim.ColdLimit}},
		"a cold shed in winter": {func(in *sim.Input, b *sim.Bus) {
			in.BankC = make([]float64, in.Hours())
			for h := range in.BankC {
				in.BankC[h] = 8 - 12*math.Cos(2*math.Pi*float64(h-2500)/8760)
			}
		}, []sim.Limit{sim.ColdLimit}},
		"a weak charger":   {func(in *sim.Input, b *sim.Bus) { b.Bank.MaxChargeW = 200 }, []sim.Limit{sim.RateLimit}},
		"a small bank":     {func(in *sim.Input, b *sim.Bus) { b.Bank = b.Bank.Scaled(2500) }, []sim.Limit{sim.SizeLimit}},
		"panels too small": {func(in *sim.Input, b *sim.Bus) { scale(in.W(sim.Panels), 0.55) }, []sim.Limit{sim.SourceLimit}},
		"panels too small and a small inverter": {func(in *sim.Input, b *sim.Bus) {
			scale(in.W(sim.Panels), 0.55)
			in.OverW = make([]float64, in.Hours())
			for h := range in.OverW {
				if h%24 >= 17 && h%24 < 20 {
					in.DemandW[h], in.OverW[h] = 220, 20
				}
			}
		}, []sim.Limit{sim.SourceLimit, sim.InverterLimit}},
	} {
		in, bus := steady()
		if y, err := sim.Run(in, bus); err != nil || y.Tally.UnmetHours > 0 {
			t.Fatalf("the sound year leaves %d hours, error %v", y.Tally.UnmetHours, err)
		}
		c.plant(in, &bus)
		y, err := sim.Run(in, bus)
		if err != nil {
			t.Fatal(err)
		}
		d, err := sim.Diagnose(context.Background(), sim.Held([]*sim.Input{in, in}), bus, true)
		if err != nil {
			t.Fatal(err)
		}
		if d.UnmetHours != float64(y.Tally.UnmetHours) || d.UnmetHours == 0 {
			t.Errorf("%s: %g hours, the run has %d", name, d.UnmetHours, y.Tally.UnmetHours)
		}
		var got []sim.Limit
		for _, l := range d.Causes {
			got = append(got, l.Limit)
		}
		same := len(got) == len(c.want)
		for i := range got {
			same = same && got[i] == c.want[i]
		}
		if !same || d.Causes[len(d.Causes)-1].UnmetHours > 0.02*d.UnmetHours {
			t.Errorf("%s: causes %+v, want %v and next to nothing left", name, d.Causes, c.want)
		}
		if left, tried := d.Without(c.want[0]); !tried || left != d.Causes[0].UnmetHours {
			t.Errorf("%s: alone %+v", name, d.Alone)
		}
	}
	in, bus := steady()
	if d, err := sim.Diagnose(context.Background(), sim.Held([]*sim.Input{in}), bus, true); err != nil || d.UnmetHours != 0 || d.Causes != nil {
		t.Errorf("a sound year: %+v, %v", d, err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := sim.Diagnose(stopped, sim.Held([]*sim.Input{in}), bus, true); err == nil {
		t.Error("it does not stop")
	}
}

func scale(v []float64, by float64) {
	for i := range v {
		v[i] *= by
	}
}
