package scenario_test

import (
	"testing"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/weather"
)

// A record that the synthetic years are made from lies within what as many of them
// leave; where the synthetic years get another house (a tenth more demand, a creek
// that gives less), the table says that they do not fit.
func TestRecordBesideSyntheticYears(t *testing.T) {
	h := homestead(14)
	h.MinM3S = 30 // in the invented creek's own unit
	flows := func(next scenario.Worker) scenario.Worker {
		return func(r weather.Record, fromDay int) func(weather.Year) *sim.Input {
			year := next(r, fromDay)
			return func(y weather.Year) *sim.Input {
				in := year(y)
				in.FlowM3S = make([]float64, y.Days)
				for d := range in.FlowM3S {
					in.FlowM3S[d] = in.W(sim.Creek)[24*d] / 2
				}
				return in
			}
		}
	}
	h.NewWorker = func() scenario.Worker { return flows(worker()) }
	same := dryWinter(t, h, scenario.Options{Synthetic: 400, Factors: []float64{}, Weeks: []int{}})
	h.Over = func(*weather.Generator) func() scenario.Worker {
		return func() scenario.Worker {
			next := flows(worker())
			return func(r weather.Record, fromDay int) func(weather.Year) *sim.Input {
				year := next(r, fromDay)
				return func(y weather.Year) *sim.Input {
					in := year(y)
					for h := range in.DemandW {
						in.DemandW[h] *= 1.6
					}
					for d := range in.FlowM3S {
						in.FlowM3S[d] *= 0.2
					}
					return in
				}
			}
		}
	}
	other := dryWinter(t, h, scenario.Options{Synthetic: 400, Factors: []float64{}, Weeks: []int{}})
	if n := len(same.Synthetic.Beside); n != 7 {
		t.Fatalf("%d figures stand beside each other, want 4 with the creek and 3 without", n)
	}
	misfits := 0
	for i, b := range same.Synthetic.Beside {
		if !b.Fits() {
			t.Errorf("figure %d, hydro %v: the record's %.1f lies outside of %.1f to %.1f", b.Figure, b.Hydro, b.Record, b.Low, b.High)
		}
		if o := other.Synthetic.Beside[i]; o.Record != b.Record {
			t.Errorf("figure %d: the record has %.1f and %.1f", b.Figure, b.Record, o.Record)
		} else if !o.Fits() {
			misfits++
		}
	}
	if misfits < 5 {
		t.Errorf("%d of 7 figures of another house do not fit", misfits)
	}
	record := same.Find("record").Best()
	if b := same.Synthetic.Beside[0]; b.Record != record.UnmetMean {
		t.Errorf("the record's mean is %.2f beside, %.2f in its row", b.Record, record.UnmetMean)
	}
	if !(record.P80Range.Low <= record.UnmetP80 && record.UnmetP80 <= record.P80Range.High && record.WorstRange.High == record.UnmetWorst) {
		t.Errorf("ranges of the record: %+v", *record)
	}
}

// A house that asks for a hundred megawatts falls as deep as it must, in as much
// memory as any.
func TestDeficitsWithoutBottom(t *testing.T) {
	h := homestead(3)
	h.NewWorker = func() scenario.Worker {
		next := worker()
		return func(r weather.Record, fromDay int) func(weather.Year) *sim.Input {
			year := next(r, fromDay)
			return func(y weather.Year) *sim.Input {
				in := year(y)
				for h := range in.DemandW {
					in.DemandW[h] *= 1e6
				}
				return in
			}
		}
	}
	r := dryWinter(t, h, scenario.Options{Synthetic: 20, Factors: []float64{}, Weeks: []int{}})
	for _, b := range r.Synthetic.Beside {
		if b.Figure == scenario.DeepestDeficit && !(b.Low > 1e11 && b.Low <= b.High) {
			t.Errorf("a deficit of %g to %g Wh", b.Low, b.High)
		}
	}
}
