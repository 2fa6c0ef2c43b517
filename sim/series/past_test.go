package series_test

import (
	"math"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/sources/stream"
	"sunrill/weather"
)

func demoHomestead(t *testing.T) *series.Homestead {
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

// The days ahead of a day of the record, as the record has them, are the same
// hours as those of the year that holds them.
func TestActualIsTheYear(t *testing.T) {
	h := demoHomestead(t)
	y := h.Years()[4]
	in := h.Open(y)
	const day, days = 40, 60
	f := h.Past(1, 0).Actual(y.Start.AddDate(0, 0, day), days).Worker()(0)
	for k := range 24 * (days - 1) { // the last evening cools towards a morning that is not known
		if d := math.Abs(f.In.W(sim.Panels)[k] - in.W(sim.Panels)[24*day+k]); d > 1e-6 {
			t.Fatalf("hour %d: panels %.3f W, in the year %.3f W", k, f.In.W(sim.Panels)[k], in.W(sim.Panels)[24*day+k])
		}
		if f.In.DemandW[k] != in.DemandW[24*day+k] {
			t.Fatalf("hour %d: demand %.3f W, in the year %.3f W", k, f.In.DemandW[k], in.DemandW[24*day+k])
		}
	}
	for d := range days {
		if math.Abs(f.FlowM3S[d]-in.FlowM3S[day+d]) > 1e-15 {
			t.Fatalf("day %d: creek %.6g m³/s, in the year %.6g", d, f.FlowM3S[d], in.FlowM3S[day+d])
		}
	}
}

// An hour of the day cuts the hours before it away.
func TestFuturesBeginAtTheHour(t *testing.T) {
	h := demoHomestead(t)
	p := h.Past(1, 0)
	midnight := time.Date(2012, 11, 25, 0, 0, 0, 0, h.Record().Start.Location())
	whole := p.Futures(series.Today{At: midnight, FlowM3S: math.NaN()}, 5, nil).Worker()(0)
	pv := append([]float64{}, whole.In.W(sim.Panels)...)
	later := p.Futures(series.Today{At: midnight.Add(18 * time.Hour), FlowM3S: math.NaN()}, 4, nil)
	cut := later.Worker()(0)
	if later.Hours != 96 || cut.In.Hours() != 96 {
		t.Fatalf("%d hours, want 96", later.Hours)
	}
	for k, w := range cut.In.W(sim.Panels) {
		if w != pv[18+k] {
			t.Fatalf("hour %d: %.3f W, want %.3f", k, w, pv[18+k])
		}
	}
}

// An outlook for a day of the record knows nothing of half a year to either
// side, has each past year's weather, and neighbours where the years are few.
func TestFuturesKnowNothingOfWhatCame(t *testing.T) {
	h := demoHomestead(t)
	p := h.Past(1, 0)
	at := time.Date(2012, 11, 25, 0, 0, 0, 0, h.Record().Start.Location())
	f := p.Futures(series.Today{At: at, FlowM3S: math.NaN()}, 60, nil)
	if len(f.Years) != 11 || f.Weathers() < 30 {
		t.Errorf("%d past years and %d weathers; want 11 (twelve without its own) and 30 or more", len(f.Years), f.Weathers())
	}
	for _, y := range f.Years {
		if y == 2012 {
			t.Error("the year itself is among the past")
		}
	}
	actual := p.Actual(at, 60).Worker()(0)
	rain := append([]float64{}, actual.In.RainMM...)
	next := f.Worker()
	for i := range f.N() {
		same := 0
		for d, mm := range next(i).In.RainMM {
			if mm == rain[d] {
				same++
			}
		}
		if same == len(rain) {
			t.Errorf("future %d has the rain that came", i)
		}
	}
}

// A reading moves the creek: on a first day without rain it gives what was
// read; a smaller one gives less water on every day.
func TestReadingMovesTheCreek(t *testing.T) {
	h := demoHomestead(t)
	p := h.Past(3, 1)
	at := time.Date(2012, 11, 25, 0, 0, 0, 0, h.Record().Start.Location())
	flows := func(read float64) ([][]float64, stream.Today) {
		f := p.Futures(series.Today{At: at, FlowM3S: read, ErrorM3S: 0.02 * read}, 30, nil)
		var all [][]float64
		next := f.Worker()
		for i := range f.N() {
			all = append(all, append([]float64{}, next(i).FlowM3S...))
		}
		return all, f.Creek
	}
	low, told := flows(0.0009)
	high, _ := flows(0.0014)
	if told.From != stream.FromRecord || math.Abs(told.GivesM3S-0.0009) > 1e-8 {
		t.Errorf("%+v: want the record's state moved to 0.9 L/s", told)
	}
	for i := range low {
		for d := range low[i] {
			if low[i][d] > high[i][d]+1e-12 {
				t.Fatalf("future %d, day %d: %.3g m³/s from the smaller reading, %.3g from the greater", i, d, low[i][d], high[i][d])
			}
		}
	}
	// Another creek starts from the same reading and falls or rises otherwise.
	last := len(low[0]) - 1
	if math.Abs(low[1][last]/low[0][last]-1) < 1e-3 {
		t.Errorf("after a month %.4g and %.4g m³/s: the creek is not drawn", low[0][last], low[1][last])
	}
	if low[0][0] == low[1][0] || math.Abs(low[1][0]/low[0][0]-1) > 0.2 {
		t.Errorf("first days %.4g and %.4g m³/s: the reading's own error of 2 %% is not drawn", low[0][0], low[1][0])
	}
}

// Beyond the record's end the creek stands as past years have it, and a
// forecast takes the place of the first days.
func TestFuturesBeyondTheRecord(t *testing.T) {
	h := demoHomestead(t)
	p := h.Past(1, 0)
	zone := h.Record().Start.Location()
	end := h.Record().Start.AddDate(0, 0, h.Record().Days())
	if f := p.Futures(series.Today{At: end.AddDate(0, 0, 20), FlowM3S: math.NaN()}, 30, nil); f.Creek.From != stream.FromGap {
		t.Errorf("20 days after the end: %+v", f.Creek)
	}
	at := time.Date(2031, 11, 25, 0, 0, 0, 0, zone)
	f := p.Futures(series.Today{At: at, FlowM3S: math.NaN()}, 30, nil)
	if f.Creek.From != stream.FromSeasons || len(f.Years) != 12 {
		t.Errorf("years later: %+v, %d years", f.Creek, len(f.Years))
	}
	fc := &series.Forecast{RainMM: []float64{7, math.NaN(), 0}, SunFraction: []float64{1, 0.1, math.NaN()}}
	told := p.Futures(series.Today{At: at, FlowM3S: math.NaN()}, 30, fc)
	next, plain := told.Worker(), f.Worker()
	for i := range told.N() {
		a, b := next(i), plain(i)
		if a.In.RainMM[0] != 7 || a.In.RainMM[2] != 0 || a.In.RainMM[1] != b.In.RainMM[1] || a.In.RainMM[3] != b.In.RainMM[3] {
			t.Fatalf("future %d: rain %v, without the forecast %v", i, a.In.RainMM[:4], b.In.RainMM[:4])
		}
		if a.In.SunHours[1] >= a.In.SunHours[0]/3 || a.In.SunHours[2] != b.In.SunHours[2] {
			t.Fatalf("future %d: sun hours %v, without the forecast %v", i, a.In.SunHours[:4], b.In.SunHours[:4])
		}
	}
}

// The valve is open on the days on which the year's hours have it open.
func TestOpenOn(t *testing.T) {
	date := func(m time.Month, d int) *site.Date { return &site.Date{Month: m, Day: d} }
	for _, v := range []series.Valve{
		{}, {Open: date(11, 5), Close: date(4, 20)}, {Open: date(11, 5)}, {Close: date(4, 20)},
		{Open: date(8, 1), Close: date(3, 1)}, {Open: date(11, 5), Close: date(10, 1)},
	} {
		h := demoHomestead(t).WithValve(v)
		y := weather.Year{Start: h.Years()[2].Start, Days: h.Years()[2].Days}
		in, open := h.Input(y), h.Open(y)
		for d := range y.Days {
			k := 24*d + 12
			if open.W(sim.Creek)[k] == 0 {
				continue
			}
			if is := v.OpenOn(y.Start.AddDate(0, 0, d), h.Site.YearMonth, h.Site.YearDay); is != (in.W(sim.Creek)[k] > 0) {
				t.Fatalf("%+v: open on day %d: %v, the year has %.0f W", v, d, is, in.W(sim.Creek)[k])
			}
		}
	}
}

// Beside sky and creek the draws differ in head, machine, sun hours and loads,
// by the same values as the draws of whole years; without a seed in the sky alone.
// What the house asks without a use left out is what the future asks.
func TestFuturesOfDraws(t *testing.T) {
	h := demoHomestead(t)
	at := time.Date(2012, 11, 25, 0, 0, 0, 0, h.Record().Start.Location())
	today := series.Today{At: at, FlowM3S: math.NaN()}
	open := func(int) bool { return true }
	var demand, watts [2][3]float64
	for s, seed := range []uint64{0, 1} {
		f := h.Past(3, seed).Futures(today, 30, nil)
		next, asked := f.Worker(), f.DemandW(h.Site.Appliances)
		for i := range 3 {
			fu := next(i)
			for k, w := range asked(i).DemandW {
				if w != fu.In.DemandW[k] {
					t.Fatalf("future %d, hour %d: asks %g W, by the list %g W", i, k, fu.In.DemandW[k], w)
				}
			}
			steady := *fu
			steady.FlowM3S = make([]float64, len(fu.FlowM3S))
			for d := range steady.FlowM3S {
				steady.FlowM3S[d] = 0.0015
			}
			w, _ := steady.Hydro(nil, open)
			demand[s][i], watts[s][i] = total(fu.In.DemandW), total(w)
		}
	}
	for i := 1; i < 3; i++ {
		if demand[0][i] != demand[0][0] || watts[0][i] != watts[0][0] {
			t.Errorf("draws of skies alone: demands %v, creek %v", demand[0], watts[0])
		}
		if demand[1][i] == demand[1][0] || watts[1][i] == watts[1][0] {
			t.Errorf("draw %d is not drawn: demands %v, creek %v", i, demand[1], watts[1])
		}
		drawn := h.Draw(sim.DrawsTo(2)[i-1], 1)
		y := h.Years()[5]
		if want := total(drawn.Input(y).DemandW) / total(h.Input(y).DemandW); math.Abs(demand[1][i]/demand[1][0]/want-1) > 0.02 {
			t.Errorf("draw %d asks %.3f times what is told, in years %.3f", i, demand[1][i]/demand[1][0], want)
		}
	}
	p := h.Past(3, 1)
	if read, model := p.Some(2).Reading(at), p.Some(2).Futures(today, 7, nil).Creek.ModelM3S; read != model || read == p.Reading(at) {
		t.Errorf("a bucket reads %g m³/s, the creek of that draw gives %g, the site's own %g", read, model, p.Reading(at))
	}
}

// A creek of a fit has its daily error ahead too: none on the day of a reading,
// as much as the readings showed after weeks. What came under a draw is the flow
// that the draw has in whole years, and a bucket reads it.
func TestFuturesHaveTheDailyError(t *testing.T) {
	past := func(sd float64) (*series.Homestead, *series.Past) {
		s, err := site.Demo()
		if err != nil {
			t.Fatal(err)
		}
		s.Stream.Draws = []stream.Draw{{Model: *s.Stream.Curve, Error: stream.DailyError{SD: sd, Correlation: 0.9, ReferenceM3S: 1e-3}}}
		h, err := series.New(s)
		if err != nil {
			t.Fatal(err)
		}
		return h, h.Past(2, 1).Some(1)
	}
	h, strays := past(0.2)
	_, exact := past(0)
	at := time.Date(2012, 11, 25, 0, 0, 0, 0, h.Record().Start.Location())
	for _, read := range []float64{0.001, math.NaN()} {
		a := strays.Futures(series.Today{At: at, FlowM3S: read, ErrorM3S: 0.02 * read}, 40, nil)
		b := exact.Futures(series.Today{At: at, FlowM3S: read, ErrorM3S: 0.02 * read}, 40, nil)
		first, last := 0.0, 0.0 // mean squares of the logarithm
		nextA, nextB := a.Worker(), b.Worker()
		for i := range a.N() {
			x, y := nextA(i).FlowM3S, nextB(i).FlowM3S
			first += math.Pow(math.Log(x[0]/y[0]), 2) / float64(a.N())
			last += math.Pow(math.Log(x[39]/y[39]), 2) / float64(a.N())
		}
		first, last = math.Sqrt(first), math.Sqrt(last)
		if math.Abs(last/0.2-1) > 0.4 || math.IsNaN(read) != (first > 0.1) || !math.IsNaN(read) && first != 0 {
			t.Errorf("read %g: the creek strays by %.3f on the first day, %.3f on the last; want 0 after a reading, and 0.2", read, first, last)
		}
	}
	var d sim.Draw
	d[sim.TheCreek] = 1
	whole, day := h.Draw(d, 1).FlowM3S(), h.Record().Index(at)
	for k, q := range strays.Actual(at, 30).Worker()(0).FlowM3S {
		if math.Abs(q/whole[day+k]-1) > 1e-9 {
			t.Fatalf("day %d: %g m³/s came, the draw of the years has %g", k, q, whole[day+k])
		}
	}
	dry := at
	for h.Record().RainMM[h.Record().Index(dry)] > 0 {
		dry = dry.AddDate(0, 0, 1)
	}
	if read, want := strays.Reading(dry), whole[h.Record().Index(dry)]; math.Abs(read/want-1) > 0.02 {
		t.Errorf("on a dry day a bucket reads %g m³/s of %g", read, want)
	}
}
