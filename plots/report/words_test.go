package report_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunrill/plots"
	"sunrill/plots/report"
	"sunrill/sim"
	"sunrill/storage"
)

// small runs 30 days in which 100 W of hydro meet a house of 40 W, except on
// four days, and 300 W from 06:00 to 10:00 on the 3rd and 4th of October.
func small(t *testing.T, chemistry string) report.Year {
	t.Helper()
	const n = 30 * 24
	in := &sim.Input{
		Start:   time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC),
		Sources: sim.PanelsAndCreek(make([]float64, n), make([]float64, n)), DemandW: make([]float64, n), OverW: make([]float64, n),
		FlowM3S: make([]float64, 30), TurbineM3S: make([]float64, n), RainMM: make([]float64, 30), SunHours: make([]float64, 30),
	}
	for h := range n {
		in.W(sim.Creek)[h], in.DemandW[h] = 100, 40
		if d := h / 24; (d == 2 || d == 3) && h%24 >= 6 && h%24 < 10 {
			in.W(sim.Creek)[h] = 300
		}
	}
	in.OverW[5*24+18], in.DemandW[5*24+18] = 60, 90
	bank, _ := storage.Preset(chemistry, 2000, 24)
	y, err := sim.Run(in, sim.Bus{Bank: bank, DumpW: 100})
	if err != nil {
		t.Fatal(err)
	}
	return report.Year{Year: y, Summary: sim.Summarize(y), UsefulHeatWhDay: 1000}
}

func text(s report.Section) string {
	all := strings.Join(s.Text, "\n")
	for _, t := range s.Tables {
		all += "\n" + t.Caption + "\n" + t.Note
		for _, row := range t.Rows {
			all += "\n" + strings.Join(row, "|")
		}
	}
	return all
}

func section(t *testing.T, v report.Year, id string) report.Section {
	t.Helper()
	for _, s := range v.Sections() {
		if s.ID == id {
			return s
		}
	}
	t.Fatalf("no chapter %q", id)
	return report.Section{}
}

func wants(t *testing.T, got string, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if !strings.Contains(got, part) {
			t.Errorf("no %q in\n%s", part, got)
		}
	}
}

// Hazard hours come first, with their dates; so do, further down, the hours
// beyond the inverter's rating.
func TestHazardsAreDated(t *testing.T) {
	v := small(t, "lfp")
	verdict, bad := both(v.Verdict())
	if !bad || !strings.HasPrefix(verdict[0], "Danger: in 8 hours") {
		t.Errorf("the verdict begins with %q", verdict[0])
	}
	wants(t, verdict[0], "3 Oct 2016 to 4 Oct 2016, first at 06:00")
	wants(t, strings.Join(verdict, "\n"), "In 1 hour the house asked for more than the inverter can carry: 6 Oct 2016.")
	// 300 W less 40 W to the house and 100 W to the dump load.
	wants(t, text(section(t, v, "hours")), "3 Oct 2016, 06:00|4|160|0.64", "4 Oct 2016, 06:00|4|160|0.64", "6 Oct 2016, 18:00|1|60|0.060")

	lines := []report.YearLine{{Start: v.Year.In.Start, Summary: v.Summary}, {Start: v.Year.In.Start.AddDate(1, 0, 0)}}
	wants(t, report.Years(lines, v.System, "").Text[0], "Danger", "(8 hours)")
}

// The tank takes 1 kWh of the day's dumped heat: 60 W a whole day long give
// 1.44 kWh, for 30 days.
func TestUsefulHeatIsTold(t *testing.T) {
	v := small(t, "lfp")
	wants(t, text(section(t, v, "energy")), "Useful heat: the dump load could give 30.0 kWh to a water tank that takes 1.00 kWh a day")
	verdict := v.Verdict().Sentences
	wants(t, strings.Join(verdict, "\n"), "30.0 kWh to the water tank")
	v.UsefulHeatWhDay = 0
	if strings.Contains(text(section(t, v, "energy")), "tank") {
		t.Error("heat for a tank that is not there")
	}
}

// A bank that stays half full.
func TestSeldomFullBankIsTold(t *testing.T) {
	for chemistry, warned := range map[string]bool{"flooded": true, "lfp": false} {
		v := small(t, chemistry)
		bank := v.Year.Bus.Bank
		bank.StartSoC, bank.MaxChargeW = 0.7, 0
		y, err := sim.Run(v.Year.In, sim.Bus{Bank: bank, DumpW: 100})
		if err != nil {
			t.Fatal(err)
		}
		v.Year, v.Summary = y, sim.Summarize(y)
		got := text(section(t, v, "bank"))
		wants(t, got, "In 4 weeks it never got full.", "years")
		if strings.Contains(got, "sulphates") != warned {
			t.Errorf("%s: %s", chemistry, got)
		}
	}
}

// A meter that saw 90 % of the turbine's power, one that went both ways, and
// one of the charge.
func TestMeterInWords(t *testing.T) {
	v := small(t, "lfp")
	y := v.Year
	beside := func(what plots.Quantity, of sim.Kind, model []float64, seen func(h int) float64) {
		r := sim.Reading{}
		for h := range model {
			r.Time = append(r.Time, y.In.Start.Add(time.Duration(h)*time.Hour))
			r.Values = append(r.Values, seen(h))
		}
		c := sim.CompareMeter(y.In.Start, model, r)
		v.Meters = append(v.Meters, report.Meter{Metered: plots.Metered{Start: y.In.Start, What: what, Simulated: model, Measured: c.Spread(len(model))}, Comparison: c, Source: of})
	}
	beside(plots.Hydro, sim.Creek, y.In.W(sim.Creek), func(h int) float64 { return 0.9 * y.In.W(sim.Creek)[h] })
	beside(plots.Panels, sim.Panels, y.In.W(sim.Panels), func(h int) float64 { return y.In.W(sim.Panels)[h] + 10*float64(h%2) - 5 })
	beside(plots.Bank, sim.Kind{}, y.SoC, func(h int) float64 {
		if h < 100 {
			return math.NaN()
		}
		return y.SoC[h] - 0.2
	})
	sec := section(t, v, "meter")
	if len(sec.Figures) != 3 || len(sec.Text) != 3 {
		t.Fatalf("%d charts, %q", len(sec.Figures), sec.Text)
	}
	wants(t, sec.Text[0], "Over 720 hours", "10 W too high", "11 % of what the meter saw", "goes one way", "nozzles")
	wants(t, sec.Text[1], "neither too high nor too low", "off by 5 W", "both ways")
	wants(t, sec.Text[2], "Over 620 hours", "20.0 points too high")
	wants(t, text(sec), "turbine|720|92 W|102 W|+10 W|10 W|10 W|1.00", "charge|620|80.0 %|100.0 %|+20.0 points|20.0 points|20.0 points|none")
}

// The table of uses adds up to what was asked of the bus; what is flexible
// counts in no sum and in no share.
func TestUsesAddUp(t *testing.T) {
	uses := []plots.Use{{Name: "hot water", Wh: 400_000, Flexible: true}, {Name: "lamps", Wh: 25_000}, {Name: "freezer", Wh: 75_000}}
	got := report.UseTable(uses, 100, 120_000)
	want := []string{"freezer|75|750|75 %", "lamps|25|250|25 %", "these together|100|1,000|", "the inverter, for itself|20|200|", "asked of bank and sources (bus)|120|1,200|", "hot water|400|4,000|flexible"}
	for i, row := range got.Rows {
		if i >= len(want) || strings.Join(row, "|") != want[i] {
			t.Fatalf("row %d: %q, want %q", i, row, want)
		}
	}
}

// What flexible uses got has its column, month by month, and its bars.
func TestMonthsTellWhatFlexibleUsesGot(t *testing.T) {
	v := small(t, "lfp")
	if strings.Contains(strings.Join(section(t, v, "energy").Tables[0].Head, "|"), "flexible") {
		t.Error("a column for flexible uses, of which there are none")
	}
	in := *v.Year.In
	in.FlexibleW, in.FlexibleWh = make([]float64, in.Hours()), make([]float64, in.Hours()/24)
	for h := range in.FlexibleW {
		in.FlexibleW[h] = 50
	}
	for d := range in.FlexibleWh {
		in.FlexibleWh[d] = 1000
	}
	y, err := sim.Run(&in, v.Year.Bus)
	if err != nil {
		t.Fatal(err)
	}
	v.Year, v.Summary = y, sim.Summarize(y)
	sec := section(t, v, "energy")
	head, row := sec.Tables[0].Head, sec.Tables[0].Rows[0]
	col := slices.Index(head, "flexible uses")
	if col < 0 || len(row) != len(head) {
		t.Fatalf("%q under %q", row, head)
	}
	// 100 W of hydro less 40 W: 50 W of what is left, 20 hours a day, for 30
	// days make 30 kWh, but for the hours in which the bank is filled first.
	kWh, err := strconv.ParseFloat(row[col], 64)
	if err != nil || kWh < 28 || kWh > 30 {
		t.Errorf("flexible uses got %q", row[col])
	}
	if !strings.Contains(sec.Figures[0].Alt, "Flexible uses got "+row[col]+" kWh") {
		t.Errorf("%q", sec.Figures[0].Alt)
	}
}

// A dry-pipe stop is told, and no cure that has not been tried: a smaller
// nozzle can make the stops more.
func TestDryPipeStopsWithoutUntriedAdvice(t *testing.T) {
	v := small(t, "lfp")
	v.Summary.DryPipeStops = 3
	verdict := v.Verdict().Sentences
	all := strings.Join(verdict, " ")
	wants(t, all, "The intake ran short 3 times")
	for _, advice := range []string{"smaller nozzle", "change over"} {
		if strings.Contains(all, advice) {
			t.Errorf("untried advice in %q", all)
		}
	}
}
