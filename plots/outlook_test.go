package plots

import (
	"strings"
	"testing"
	"time"
)

func ahead() Ahead {
	start := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	fan := func(m float64) DayFan {
		v := DayFan{}
		for d := range 20 {
			x := m * (1 - 0.02*float64(d))
			v.P10, v.P20, v.P50, v.P80, v.P90 = append(v.P10, 0.5*x), append(v.P20, 0.7*x), append(v.P50, x), append(v.P80, 1.1*x), append(v.P90, 1.2*x)
		}
		return v
	}
	a := Ahead{Start: start, Charge: fan(0.6), FloorSoC: 0.2, Flow: fan(0.002), SetM3S: []float64{0.0008, 0.0032}}
	for _, name := range []string{"open now", "closed all the time"} {
		line := ChanceLine{Name: name}
		for d := range 20 {
			line.Chance = append(line.Chance, float64(d)/40)
		}
		a.Plans = append(a.Plans, line)
	}
	return a
}

// column finds a column of a chart's numbers.
func column(t *testing.T, c Chart, name string) []float64 {
	t.Helper()
	for _, n := range c.Numbers {
		if n.Name == name {
			return n.Values
		}
	}
	t.Fatalf("%s has no column %s", c.Name, name)
	return nil
}

func TestOutlookChartsDrawTheirNumbers(t *testing.T) {
	a := ahead()
	charge, creek, dark := ChargeAhead(a), CreekAhead(a), DarkAhead(a)
	if got := column(t, charge, "charge_pct_p50")[10]; got < 47.999 || got > 48.001 { // 60 % · 0.8
		t.Errorf("middling charge on day 11: %g %%, want 48", got)
	}
	if got := column(t, creek, "flow_lps_p90")[0]; got < 2.3999 || got > 2.4001 {
		t.Errorf("flow of 1 in 10 on day 1: %g L/s, want 2.4", got)
	}
	if got := column(t, dark, "chance_pct_2")[19]; got != 47.5 {
		t.Errorf("chance on day 20: %g %%, want 47.5", got)
	}
	if charge.Numbers[0].Texts[1] != "2026-11-26" {
		t.Errorf("second day is %s", charge.Numbers[0].Texts[1])
	}
	for _, c := range []Chart{charge, creek, dark} {
		for _, format := range Formats {
			var b strings.Builder
			if err := c.WriteTo(&b, format); err != nil || b.Len() == 0 {
				t.Errorf("%s as %s: %v", c.Name, format, err)
			}
		}
		if strings.Contains(c.Alt, "NaN") || c.Alt == "" {
			t.Errorf("%s: alt %q", c.Name, c.Alt)
		}
	}
	if !strings.Contains(charge.Alt, "37 %, on 14 December") { // 60·(1−0.02·19)
		t.Errorf("alt %q", charge.Alt)
	}
}

func TestReliabilityNumbers(t *testing.T) {
	c := ReliabilityOf(Reliability{Days: 14, Told: []float64{0.05, 0.8}, Came: []float64{0.04, 0.85}, Dates: []int{100, 20}})
	if got := column(t, c, "came_pct"); got[1] != 85 {
		t.Errorf("came %v", got)
	}
	if got := column(t, c, "dates"); got[0] != 100 {
		t.Errorf("dates %v", got)
	}
	if !strings.Contains(c.Alt, "120 dates") || !strings.Contains(c.Alt, "Told 80 %, came 85 %") {
		t.Error(c.Alt)
	}
}

// At most seven days are named, and each is the day that stands there.
func TestDayTicks(t *testing.T) {
	start := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	for _, days := range []int{1, 5, 7, 20, 60, 120} {
		ticks := dayTicks{start, days}.Ticks(0, float64(days))
		if len(ticks) < 2 || len(ticks) > 11 {
			t.Errorf("%d days: %d names", days, len(ticks))
		}
		for _, k := range ticks {
			if want := start.AddDate(0, 0, int(k.Value)).Format("2 Jan"); k.Label != want {
				t.Errorf("%d days: %q at day %g, want %q", days, k.Label, k.Value, want)
			}
		}
	}
}
