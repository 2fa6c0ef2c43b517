package report

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunrill/sim"
	"sunrill/sim/scenario"
	"sunrill/sources/stream"
)

func outlookOf(best scenario.PlanKind) Outlook {
	inf := math.Inf(1)
	chance := make([]float64, 60)
	for d := 7; d < 60; d++ {
		chance[d] = 0.25
	}
	plan := func(kind scenario.PlanKind, hours float64, walks int) scenario.PlanOutlook {
		return scenario.PlanOutlook{
			Plan: scenario.ValvePlan{Kind: kind, WaitDays: 7, Walks: walks}, UnmetHours: hours, UnmetP80: 2 * hours, DryStops: 1.5,
			ChanceByDay: chance, Chance: []float64{0, 0.25, 0.25, 0.25},
			Dark:   scenario.WhenFirst{Fraction: 0.25, Median: inf, OneIn5: 12.5, OneIn20: 7.2},
			Charge: make([]scenario.Quantiles, 60),
		}
	}
	r := &scenario.Outlook{
		Start: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), Days: 60, Futures: 240, StartSoC: 0.62, FloorSoC: 0.2,
		Plans: []scenario.PlanOutlook{plan(best, 4, 1), plan(scenario.Wait, 9, 0)},
		Sets:  []scenario.SetOutlook{{Need: scenario.SetNeed{FlowM3S: 0.0008, PowerW: 115}, Fraction: 0.97, Early: 3, Median: 8, Late: inf}},
		Uses:  []scenario.UseOutlook{{Use: 1, Chance: 0.08, UnmetHours: 1, ChanceSaved: 0.17}, {Use: 0, Chance: 0.2, UnmetHours: 3, ChanceSaved: 0.05}},
		Borne: 0.1, Met: true,
	}
	r.PutOff = r.Uses[:1]
	return Outlook{Result: r, Creek: stream.Today{From: stream.FromRecord, ModelM3S: 0.0015, Moved: stream.MovedSlow, GivesM3S: 0.001}, Reading: 0.001,
		Years: 12, Draws: 20, Drawn: []sim.Cause{sim.TheSky, sim.TheCreek}, Sets: [][]float64{{0.005}}, OverM3S: 0.0002, Uses: []string{"lamp", "freezer"}}
}

func TestOutlookVerdict(t *testing.T) {
	text, bad := both(outlookOf(scenario.OpenNow).Verdict())
	if !bad {
		t.Error("dark ahead is bad news")
	}
	all := strings.Join(text, "\n")
	for _, says := range []string{
		"It gets dark within 60 days in 25 of 100 futures: in a middling one not within 60 days, in a bad one (1 in 5) on 7 December, in a very bad one (1 in 20) on 2 December.",
		"The chance of a dark hour: 0 % within 7 days, 25 % within 14 days",
		"Open the valve now, with load and dump load connected first: that leaves 4 hours dark in a mean future and stops the turbine for want of water 1.5 times; it would be 9 hours with the valve closed for 7 days first.",
		"(1.00 L/s at the intake; the 20 L bucket fills in 20 s) in 97 of 100 futures: in an early one (1 in 5) from 28 November, in a middling one from 3 December, in a late one (1 in 5) not within 60 days.",
		"Put off freezer: the chance of a dark hour then falls from 25 % to 8 %; you bear 10 %.",
		"with the bank at 62 %: the weather of 12 past years",
		"would give 1.50 L/s; you read 1.00 L/s. The water in its ground was moved to agree",
	} {
		if !strings.Contains(all, says) {
			t.Errorf("no %q in\n%s", says, all)
		}
	}
	v := outlookOf(scenario.CloseNow)
	v.Creek.Moved = stream.Beyond
	if all := strings.Join(v.Verdict().Sentences, "\n"); !strings.Contains(all, "Close the valve: that leaves") || !strings.Contains(all, "No state of the fitted creek explains that") {
		t.Error(all)
	}
	v = outlookOf(scenario.OpenNow)
	for i := range v.Result.Plans {
		p := &v.Result.Plans[i]
		p.ChanceByDay, p.Chance, p.UnmetHours, p.Dark = make([]float64, 60), make([]float64, 4), 0, scenario.WhenFirst{Median: math.Inf(1), OneIn5: math.Inf(1), OneIn20: math.Inf(1)}
	}
	v.Result.Uses, v.Result.PutOff = nil, nil
	text, bad = both(v.Verdict())
	if bad || text[0] != "It does not get dark within 60 days in any of 240 futures." {
		t.Errorf("bad %v: %s", bad, text[0])
	}
}

func both(v Verdict) (sentences []string, bad bool) { return v.Sentences, v.Bad }

func TestChances(t *testing.T) {
	for p, want := range map[float64]string{0: "in none of the futures", 1: "in all futures", 0.002: "in fewer than 1 of 100 futures", 0.998: "in more than 99 of 100 futures", 0.384: "in 38 of 100 futures"} {
		if got := fraction(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
	for p, want := range map[float64]string{0: "0 %", 1: "100 %", 0.004: "under 1 %", 0.996: "over 99 %", 0.384: "38 %"} {
		if got := percentOf(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
}

func TestTurnedOut(t *testing.T) {
	v := outlookOf(scenario.OpenNow)
	v.Result.Plans[0].End = scenario.Quantiles{P10: 0.4, P90: 0.71}
	v.Result.Flow = []scenario.Quantiles{{P10: 0.001, P90: 0.003}}
	got := v.TurnedOut("opened", time.Date(2027, 1, 24, 0, 0, 0, 0, time.UTC), 0.35, 0.002)
	want := "Your outlook of 25 November 2026 (you noted: opened) told 40 to 71 % of charge for 24 January in 8 of 10 futures; the bank is at 35 %, lower than that. For the creek it told 1.00 L/s to 3.00 L/s; you read 2.00 L/s. It gave the chance of a dark hour until now as 25 %."
	if got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
}

func TestOutlookTables(t *testing.T) {
	v := outlookOf(scenario.OpenNow)
	if got := strings.Join(v.PlanTable().Rows[0], "|"); got != "open now|0 %|25 %|25 %|25 %|4|8|1.5" {
		t.Errorf("plans: %s", got)
	}
	if got := strings.Join(v.SetTable().Rows[0], "|"); got != "5 mm|1.0|20 s|115 W|28 Nov|3 Dec|later|97 %" {
		t.Errorf("sets: %s", got)
	}
	if got := strings.Join(v.UseTable().Rows[0], "|"); got != "freezer|8 %|17 %|1" {
		t.Errorf("uses: %s", got)
	}
	v.Judged = &scenario.Judged{Dates: 600, From: v.Result.Start, To: v.Result.Start, Leads: []scenario.LeadScore{{Days: 14, Dates: 600, Came: 0.08, Brier: 0.033, BrierClimate: 0.058, BrierRepeat: 0.073,
		Bins: []scenario.ReliabilityBin{{Low: 0, High: 0.7, Dates: 580, Told: 0.05, Came: 0.05}, {Low: 0.7, High: 0.9, Dates: 20, Told: 0.8, Came: 0.85}}}},
		Rise: scenario.RiseScore{Dates: 98, ErrorDays: 11, BiasDays: -0.4, Missed: 15, False: 7}}
	all := strings.Join(v.JudgedText(), "\n")
	for _, says := range []string{
		"for each of 600 dates", "Dark within 14 days came on 8 % of the dates; the chances told score 0.033, against 0.058 for the season's share and 0.073 for the last week going on. Told 80 % in the mean (20 dates), it came 85 %.",
		"was told 11 days off in the mean (0.40 days early) on 98 dates; on 15 it came though",
	} {
		if !strings.Contains(all, says) {
			t.Errorf("no %q in\n%s", says, all)
		}
	}
	if n := len(v.Sections()); n != 2 {
		t.Errorf("%d chapters, want 2", n)
	}
}

// The words say what the futures are made from: draws with their names, or the
// site by its word.
func TestOutlookNamesItsDraws(t *testing.T) {
	v := outlookOf(scenario.OpenNow)
	for draws, want := range map[int]string{20: "each under 20 draws of sky and creek,", 1: "each with the site as it is told,"} {
		v.Draws = draws
		if made := v.made(); !strings.Contains(made, want) {
			t.Errorf("%d draws: %q, want %q", draws, made, want)
		}
	}
}
