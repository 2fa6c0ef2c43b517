package series_test

import (
	"math"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

func demo(t *testing.T) *series.Homestead {
	t.Helper()
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func last(h *series.Homestead) weather.Year { return h.Years()[len(h.Years())-1] }

func total(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum
}

// The month's sun hours, mean over the record, are those of sun.csv: the
// design's 0.5 %.
func TestSunHoursKeepTheTable(t *testing.T) {
	h := demo(t)
	var sum, days [12]float64
	for _, y := range h.Years() {
		for d, kWh := range h.Input(y).SunHours {
			m := y.Start.AddDate(0, 0, d).Month() - 1
			sum[m] += kWh
			days[m]++
		}
	}
	for m, want := range h.Site.Sun.SunHours {
		if got := sum[m] / days[m]; math.Abs(got/want-1) > 0.005 {
			t.Errorf("%s: %.4f sun hours, the table says %g", time.Month(m+1), got, want)
		}
	}
}

// Outside the valve's dates there is nothing; inside them the turbine takes no
// more than the creek and its forebay have.
func TestValveDates(t *testing.T) {
	h := demo(t)
	y := last(h)
	for _, dates := range []struct {
		valve    series.Valve
		from, to int // days of the water year from 1 October
	}{
		{series.Valve{Open: &site.Date{Month: 11, Day: 5}, Close: &site.Date{Month: 4, Day: 20}}, 35, 35 + 26 + 31 + 31 + 28 + 31 + 19},
		{series.Valve{Open: &site.Date{Month: 11, Day: 5}}, 35, 365},
		{series.Valve{Close: &site.Date{Month: 11, Day: 5}}, 0, 35},
		{series.Valve{}, 0, 365},
		{series.Valve{Open: &site.Date{Month: 10, Day: 1}, Close: &site.Date{Month: 10, Day: 1}}, 0, 365},
	} {
		in := h.WithValve(dates.valve).Input(weather.Year{Start: y.Start, Days: 365})
		ran := false
		for hour, w := range in.W(sim.Creek) {
			if inside := dates.from*24 <= hour && hour < dates.to*24; !inside && (w != 0 || in.TurbineM3S[hour] != 0) {
				t.Fatalf("valve %v, hour %d: %g W behind a shut valve", dates.valve, hour, w)
			}
			ran = ran || w > 0
		}
		if maximum := max(0, dates.to-dates.from) > 40; maximum && !ran {
			t.Errorf("valve %v: the turbine never runs", dates.valve)
		}
		for _, s := range in.DryStopHour {
			if s < dates.from*24 || s >= dates.to*24 {
				t.Errorf("valve %v: a dry-pipe stop in hour %d, outside the dates", dates.valve, s)
			}
		}
		if dates.from > 0 && in.OpenHour != dates.from*24 || in.CloseHour != dates.to*24 {
			t.Errorf("valve %v: open from hour %d to %d, want %d to %d", dates.valve, in.OpenHour, in.CloseHour, dates.from*24, dates.to*24)
		}
	}
}

// A wet season that crosses the year's start: open in May, closed in October,
// in a year from July.
func TestValveAcrossTheYearsStart(t *testing.T) {
	h := demo(t)
	y := weather.Year{Start: time.Date(2012, 7, 1, 0, 0, 0, 0, h.Record().Start.Location()), Days: 365}
	valve := series.Valve{Open: &site.Date{Month: 5, Day: 1}, Close: &site.Date{Month: 10, Day: 1}}
	open, in := h.Open(y), h.WithValve(valve).Input(y)
	ran := map[time.Month]bool{}
	for hour, w := range in.W(sim.Creek) {
		m := y.Time(hour).Month()
		ran[m] = ran[m] || w > 0
		switch {
		case m >= 10 || m <= 4:
			if w != 0 {
				t.Fatalf("%s: %g W behind a shut valve", y.Time(hour), w)
			}
		case m >= 7 && w != open.W(sim.Creek)[hour]:
			t.Fatalf("%s: %g W, want those of a valve that is open from the year's start, %g", y.Time(hour), w, open.W(sim.Creek)[hour])
		}
	}
	if !ran[5] {
		t.Error("opened in May, the turbine does not run")
	}
}

// Under its own record a worker, with its memory used over and over, gives what
// the homestead gives.
func TestWorkerGivesTheSame(t *testing.T) {
	h := demo(t)
	worker := h.Worker()
	years := h.Years()
	worker(weather.Scaled(h.Record(), 0.5), 3)(years[0]) // leaves its traces
	for _, y := range []weather.Year{years[2], years[0], last(h)} {
		got, want := worker(h.Record(), 0)(y), h.Input(y)
		for name, pair := range map[string][2][]float64{
			"panels": {got.W(sim.Panels), want.W(sim.Panels)}, "hydro": {got.W(sim.Creek), want.W(sim.Creek)}, "demand": {got.DemandW, want.DemandW},
			"flexible": {got.FlexibleW, want.FlexibleW}, "flow": {got.FlowM3S, want.FlowM3S}, "sun": {got.SunHours, want.SunHours}, "air": {got.AirC, want.AirC},
		} {
			if len(pair[0]) != len(pair[1]) {
				t.Fatalf("%d: %s has %d values, want %d", y.Number(), name, len(pair[0]), len(pair[1]))
			}
			for i := range pair[0] {
				if pair[0][i] != pair[1][i] {
					t.Fatalf("%d: %s differs at %d: %g, want %g", y.Number(), name, i, pair[0][i], pair[1][i])
				}
			}
		}
	}
}

// Less rain, less creek and more sun.
func TestDryWeatherIsSunnier(t *testing.T) {
	h := demo(t)
	dry := h.Worker()(weather.Scaled(h.Record(), 0.5), 0)
	for _, y := range h.Years() {
		was, is := h.Open(y), dry(y)
		if total(is.FlowM3S) >= total(was.FlowM3S) {
			t.Errorf("%d: half the rain gives %g of the flow", y.Number(), total(is.FlowM3S)/total(was.FlowM3S))
		}
		if total(is.SunHours) <= total(was.SunHours) {
			t.Errorf("%d: half the rain gives %g of the sun", y.Number(), total(is.SunHours)/total(was.SunHours))
		}
	}
}

// Without takes the water and nothing else.
func TestWithoutHydro(t *testing.T) {
	h := demo(t)
	in := h.Input(last(h))
	out := sim.Variant{Hydro: sim.HydroOff}.Of(in)
	if total(out.W(sim.Creek)) != 0 || out.DryStopHour != nil || out.TurbineM3S != nil {
		t.Error("there is water left")
	}
	if total(in.W(sim.Creek)) == 0 || total(out.W(sim.Panels)) != total(in.W(sim.Panels)) || total(out.FlowM3S) != total(in.FlowM3S) {
		t.Error("something else changed")
	}
}
