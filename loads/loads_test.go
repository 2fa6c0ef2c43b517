package loads_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/loads"
)

var october = time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC) // a Saturday

func always(name string, watts float64, fraction func(hour int) float64) loads.Appliance {
	a := loads.Appliance{Name: name, Watts: watts, Count: 1}
	for h := range a.HourFraction {
		a.HourFraction[h] = fraction(h)
	}
	for d := range a.Days {
		a.Days[d] = true
	}
	for m := range a.Months {
		a.Months[m] = true
	}
	return a
}

func between(from, to int) func(int) float64 {
	return func(h int) float64 {
		if h >= from && h < to {
			return 1
		}
		return 0
	}
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

// T. W. Murphy (2012), inverter of a measured off-grid house: marginal
// efficiency 0.885 and 20 W idle. The ratios follow from the two numbers.
func TestTwoNumberInverterPublished(t *testing.T) {
	inv := loads.Inverter{Efficiency: 0.885, IdleW: 20}
	for _, row := range []struct{ acW, eff float64 }{
		{20, .470}, {50, .654}, {100, .752}, {200, .813}, {400, .848}, {800, .866}, {1600, .875},
	} { // two of them lie just below a half of the last digit
		near(t, "efficiency", inv.EfficiencyAt(row.acW), row.eff, 0.00051)
	}
}

// Schmidt and Sauer (Sonnenenergie 4/1996), losses as a parabola through the
// efficiencies at 10, 50 and 100 %. Formula from memory, numbers worked out by
// an independent program.
func TestParabolaInverter(t *testing.T) {
	inv := loads.Inverter{RatedW: 1, Points: []loads.EfficiencyPoint{{.1, .85}, {.5, .92}, {1, .89}}}
	for _, row := range []struct{ p, eff float64 }{{.02, .547}, {.05, .748}, {.1, .85}, {.2, .905}, {.3, .919}, {.5, .92}, {.75, .907}, {1, .89}} {
		near(t, "efficiency", inv.EfficiencyAt(row.p), row.eff, 0.0005)
	}
	near(t, "idle", inv.Draw(0), 0.016504, 5e-7)
}

func TestInverterGoesThroughItsPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(t, "points")
		inv := loads.Inverter{RatedW: 2000, IdleW: rapid.SampledFrom([]float64{0, 12, 25}).Draw(t, "idle")}
		for i := range n {
			inv.Points = append(inv.Points, loads.EfficiencyPoint{
				Fraction:   float64(i+1) / float64(n),
				Efficiency: rapid.Float64Range(0.75, 0.96).Draw(t, "efficiency"),
			})
		}
		for _, p := range inv.Points {
			if got := inv.EfficiencyAt(p.Fraction * 2000); math.Abs(got-p.Efficiency) > 1e-9 {
				t.Fatalf("at %g of the rating %g, given %g", p.Fraction, got, p.Efficiency)
			}
		}
		for ac := 0.0; ac < 3000; ac += 50 {
			if got := inv.Draw(ac); got < ac-1e-9 {
				t.Fatalf("%g W out of %g W", ac, got)
			}
		}
	})
}

func TestStandbySleeps(t *testing.T) {
	inv := loads.Inverter{Efficiency: 0.9, IdleW: 20, Standby: true}
	near(t, "asleep", inv.Draw(0), 0, 0)
	near(t, "awake", inv.Draw(90), 120, 1e-9)
}

// US Department of Energy, worked examples: a computer of 120 + 150 W for 4 h
// on 365 days uses 394 kWh, a window fan of 200 W for 4 h on 120 days 96 kWh.
func TestYearlyUsePublished(t *testing.T) {
	pc := always("computer and screen", 270, between(9, 13))
	fan := always("window fan", 200, between(12, 16))
	for m := range fan.Months { // 30 + 31 + 31 + 28 of September: 120 days are not whole months
		fan.Months[m] = m >= 6 && m <= 9
	}
	uses := loads.Uses(october, 365, []loads.Appliance{pc, fan})
	near(t, "computer", uses[0].Wh/1000, 394, 0.5)
	near(t, "fan", uses[1].Wh/122*120/1000, 96, 1e-9)
}

func TestBuild(t *testing.T) {
	kettle := always("kettle", 1500, between(7, 8))
	saw := always("saw", 800, between(10, 12))
	for d := range saw.Days {
		saw.Days[d] = d == int(time.Saturday)
	}
	light := always("cabin light", 10, between(18, 24))
	light.DC, light.Count = true, 3
	heater := always("water heater", 500, func(int) float64 { return 2.0 / 24 })
	heater.Flexible, heater.HoursPerDay = true, 2
	pump := always("pump", 60, between(0, 24))
	for m := range pump.Months {
		pump.Months[m] = m >= 11 || m <= 3
	}
	inv := loads.Inverter{RatedW: 1000, Efficiency: 0.8, IdleW: 10}
	d := loads.Build(october, 40, []loads.Appliance{kettle, saw, light, heater, pump}, inv)

	near(t, "night", d.BusW[2], 10, 1e-12)
	near(t, "kettle", d.BusW[7], 10+1500/0.8, 1e-9)
	near(t, "kettle beyond the rating", d.OverW[7], 500/0.8, 1e-9)
	near(t, "saw on Saturday", d.BusW[10], 10+800/0.8, 1e-9)
	near(t, "no saw on Sunday", d.BusW[34], 10, 1e-12)
	near(t, "DC lights bypass the inverter", d.BusW[20], 10+30, 1e-12)
	near(t, "pump from November", d.BusW[31*24+2], 10+60/0.8, 1e-9)
	near(t, "heater takes its full power", d.FlexibleW[2], 500/0.8, 1e-9)
	near(t, "no room in the inverter", d.FlexibleW[7], 0, 0)
	near(t, "room beside the saw", d.FlexibleW[10], 200/0.8, 1e-9)
	near(t, "need of a day", d.FlexibleWh[39], 2*500/0.8, 1e-9)

	none := loads.Build(october, 1, nil, inv)
	if none.OverW != nil || none.FlexibleW != nil {
		t.Error("an empty list has neither flexible nor over-rating parts")
	}
	near(t, "idle alone", none.BusW[0], 10, 0)
}

func TestMeteredIsBuiltFromTheSameInverter(t *testing.T) {
	inv := loads.Inverter{RatedW: 1000, Efficiency: 0.8, IdleW: 10}
	d := loads.Metered(october, []float64{0, 500, 1200}, inv)
	for h, want := range []float64{10, 635, 1510} {
		near(t, "bus", d.BusW[h], want, 1e-9)
	}
	near(t, "over", d.OverW[2], 250, 1e-9)
}

func TestSeasons(t *testing.T) {
	lamp := always("lamp", 100, between(18, 20))
	for m := range lamp.Months {
		lamp.Months[m] = m == 12 || m <= 2
	}
	s := loads.Seasons(october, 365, []loads.Appliance{lamp})[0]
	if s[0].Months != [3]time.Month{12, 1, 2} || s[0].Days != 90 || s[2].Days != 92 {
		t.Errorf("quarters %+v", s)
	}
	near(t, "winter evening", s[0].W[18], 100, 1e-9)
	near(t, "summer evening", s[2].W[18], 0, 0)

	// Twice a week, from the middle of a quarter: 13 + 13 of its 91 days.
	washer := always("washer", 500, between(9, 10))
	for d := range washer.Days {
		washer.Days[d] = d == int(time.Tuesday) || d == int(time.Friday)
	}
	s = loads.Seasons(october, 365, []loads.Appliance{washer})[0]
	near(t, "washing day", s[3].W[9], 500*26.0/91, 1e-9)
	if none := loads.Seasons(october, 31, []loads.Appliance{lamp})[0]; none[0].Days != 0 || none[3].Days != 31 {
		t.Errorf("a month alone: %+v", none)
	}
}

func TestTypicals(t *testing.T) {
	seen := map[string]bool{}
	for _, a := range loads.Typicals() {
		if seen[a.Key] || a.Watts <= 0 || a.Count <= 0 || a.Hours == "" || a.Months == "" || a.Source == "" {
			t.Errorf("%+v", a)
		}
		seen[a.Key] = true
	}
	for _, key := range []string{"fridge", "laptop", "lights", "well-pump"} {
		if _, ok := loads.FindTypical(key); !ok {
			t.Errorf("no %s", key)
		}
	}
	if _, ok := loads.FindTypical("anvil"); ok {
		t.Error("an anvil draws nothing")
	}
}

// A year goes as its days do one by one, over month ends and a leap day, in
// memory that another year has used.
func TestHouseOfDays(t *testing.T) {
	every := func(months ...time.Month) (in [13]bool) {
		for _, m := range months {
			in[m] = true
		}
		return in
	}
	evening := [24]float64{18: 1, 19: 0.5}
	apps := []loads.Appliance{
		{Watts: 900, Count: 1, HourFraction: evening, Days: [7]bool{1: true, 4: true}, Months: every(2, 3, 12)},
		{Watts: 700, Count: 1, HourFraction: evening, Days: [7]bool{4: true, 6: true}, Months: every(1, 2)},
		{Watts: 200, Count: 1, HoursPerDay: 2, HourFraction: evening, Flexible: true, Days: [7]bool{0: true, 2: true}, Months: every(5, 6)},
		{Watts: 300, Count: 1, HoursPerDay: 1, HourFraction: evening, Flexible: true, Weekly: true, Days: [7]bool{0: true, 2: true}, Months: every(6, 7)},
	}
	inv := loads.Inverter{RatedW: 1000, IdleW: 10, Efficiency: 0.9}
	house := loads.NewHouse(apps, inv)
	var d loads.Demand
	for _, c := range []struct {
		from time.Time
		days int
	}{{time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC), 366}, {time.Date(2017, 1, 31, 0, 0, 0, 0, time.UTC), 40}, {time.Date(2016, 4, 1, 0, 0, 0, 0, time.UTC), 270}} {
		house.Demand(&d, c.from, c.days)
		need := 0.0
		for day := range c.days {
			one := loads.Build(c.from.AddDate(0, 0, day), 1, apps, inv)
			for _, s := range []struct {
				name      string
				year, day []float64
			}{{"bus", d.BusW, one.BusW}, {"over", d.OverW, one.OverW}, {"flexible", d.FlexibleW, one.FlexibleW}, {"weekly", d.WeeklyW, one.WeeklyW}} {
				got, want := make([]float64, 24), make([]float64, 24)
				copy(want, s.day)
				if s.year != nil {
					copy(got, s.year[24*day:])
				}
				if !slices.Equal(got, want) {
					t.Fatalf("%s on %s: %v, want %v", s.name, c.from.AddDate(0, 0, day).Format("2 January 2006"), got, want)
				}
			}
			if one.FlexibleWh != nil {
				need += one.FlexibleWh[0]
			}
		}
		got := 0.0
		for _, wh := range d.FlexibleWh {
			got += wh
		}
		if got != need || (need > 0) != (c.days > 40) {
			t.Errorf("from %s: flexible need %g Wh, of its days %g", c.from.Format("2006-01-02"), got, need)
		}
		if (d.OverW == nil) != (c.days == 270) || (d.WeeklyW == nil) != (c.days == 40) {
			t.Errorf("from %s: over %v, weekly %v", c.from.Format("2006-01-02"), d.OverW != nil, d.WeeklyW != nil)
		}
	}
}
