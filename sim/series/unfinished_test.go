package series_test

import (
	"slices"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/series"
	"sunrill/sim/site"
	"sunrill/weather"
)

// A season that the record breaks off is found after the last whole year, is
// none of the years, and goes as the whole year began: nobody at the intake
// knows that the record will end.
func TestUnfinishedSeason(t *testing.T) {
	s, err := site.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s.Rain = s.Rain.Slice(0, 3*365+1+92) // from October 2007: 2010 breaks off after December
	h, err := series.New(s)
	if err != nil {
		t.Fatal(err)
	}
	y, is := h.Unfinished()
	if !is || y.Number() != 2010 || y.Days != 92 || !y.Unfinished() {
		t.Fatalf("the season that is not over: %+v, %v; want 92 days from October 2010", y, is)
	}
	if ys := h.Years(); len(ys) != 3 || last(h).Number() != 2009 {
		t.Errorf("%d whole years, the last from %d; want 3 to 2009", len(ys), last(h).Number())
	}
	if y, is := demo(t).Unfinished(); is {
		t.Errorf("a record of whole years has the unfinished season %+v", y)
	}
	s.LastYear = 2009
	if chosen, err := series.New(s); err != nil {
		t.Fatal(err)
	} else if y, is := chosen.Unfinished(); is {
		t.Errorf("years to 2009 are asked for, and %+v is offered", y)
	}

	whole := last(h)
	date := func(m time.Month, d int) *site.Date { return &site.Date{Month: m, Day: d} }
	for name, c := range map[string]struct {
		valve       series.Valve
		days        int
		open, close int // days between which the valve is open
	}{
		"in mid-winter":                    {series.Valve{Open: date(11, 5), Close: date(4, 20)}, 92, 35, 92},
		"before the valve is opened":       {series.Valve{Open: date(11, 5)}, 20, 20, 20},
		"the same, shut at the year's end": {series.Valve{Open: date(11, 5), Close: date(10, 1)}, 20, 20, 20},
		"open across the year's start":     {series.Valve{Open: date(9, 5), Close: date(4, 20)}, 92, 0, 92},
		"shut before, opened after":        {series.Valve{Open: date(9, 5), Close: date(11, 10)}, 92, 0, 40},
		"no dates":                         {series.Valve{}, 92, 0, 92},
	} {
		g := h.WithValve(c.valve)
		cut, all := g.Input(weather.Year{Start: whole.Start, Days: c.days}), g.Input(whole)
		n := cut.Hours() - 24 // the last night cools towards a morning that the record does not know
		if n != 24*(c.days-1) || !slices.Equal(cut.W(sim.Creek), all.W(sim.Creek)[:n+24]) || !slices.Equal(cut.W(sim.Panels)[:n], all.W(sim.Panels)[:n]) || !slices.Equal(cut.DemandW[:n], all.DemandW[:n]) || !slices.Equal(cut.AirC[:n], all.AirC[:n]) {
			t.Errorf("%s: %d hours, not those with which the whole year begins", name, n)
		}
		if cut.OpenHour != 24*c.open || cut.CloseHour != 24*c.close {
			t.Errorf("%s: the valve is open from day %d to %d, want %d to %d", name, cut.OpenHour/24, cut.CloseHour/24, c.open, c.close)
		}
	}
}
