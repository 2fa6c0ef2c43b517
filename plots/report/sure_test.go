package report_test

import (
	"strings"
	"testing"
	"time"

	"sunrill/plots/report"
	"sunrill/sim"
)

// The words for shares are fixed, with the count beside.
func TestOdds(t *testing.T) {
	for n, want := range map[int]string{20: "sure", 19: "sure", 18: "likely", 15: "likely", 14: "open", 10: "open", 6: "open", 5: "unlikely", 2: "unlikely", 1: "as good as ruled out", 0: "as good as ruled out"} {
		if got := report.Odds(n, 20); !strings.HasPrefix(got, want+" (") || !strings.HasSuffix(got, " of 20)") {
			t.Errorf("%d of 20: %s, want %s", n, got, want)
		}
	}
	if got := report.Odds(38, 40); got != "sure (38 of 40)" {
		t.Error(got)
	}
}

// A season that is not over says so, in its name, its verdict and its charts,
// and promises no years.
func TestUnfinishedSeason(t *testing.T) {
	in := *synthetic(t).Year.In
	hours := 24 * 92
	for _, s := range []*[]float64{&in.DemandW, &in.FlexibleW, &in.TurbineM3S, &in.AirC, &in.BankC, &in.OverW} {
		*s = (*s)[:min(hours, len(*s))]
	}
	for _, s := range []*[]float64{&in.FlexibleWh, &in.RainMM, &in.SunHours, &in.FlowM3S} {
		*s = (*s)[:min(hours/24, len(*s))]
	}
	in.Set(sim.Panels, in.W(sim.Panels)[:hours])
	in.Set(sim.Creek, in.W(sim.Creek)[:hours])
	in.DryStopHour, in.VisitDay, in.NozzleSet = nil, nil, nil
	in.Start = time.Date(2016, 10, 1, 0, 0, 0, 0, time.UTC)
	y, err := sim.Run(&in, synthetic(t).Year.Bus)
	if err != nil {
		t.Fatal(err)
	}
	v := report.Year{Year: y, Summary: sim.Summarize(y)}
	says := v.Verdict().Sentences
	if text := strings.Join(says, " "); !strings.Contains(text, "The season is not over: the records end on 31 December 2016") || !strings.Contains(text, "those of 92 days") || strings.Contains(text, "the year") {
		t.Errorf("the verdict of a season that breaks off: %s", text)
	}
	for _, sec := range v.Sections() {
		for _, f := range sec.Figures {
			if !strings.HasSuffix(f.Title, ", 2016–17 up to 31 December") {
				t.Errorf("the title %q does not say when the season breaks off", f.Title)
			}
		}
		if text := strings.Join(sec.Text, " "); sec.ID == "household" || strings.Contains(text, "lasts some") && !strings.Contains(text, "were the whole year like it") {
			t.Errorf("%s speaks of years: %s", sec.Title, text)
		}
	}
	line := report.YearLine{Start: in.Start, Summary: v.Summary}
	c := report.NewCarried(sim.NewCarried([]int{9}, [][]int{{8}, {10}}), report.Doubts{Draws: 2}, []report.YearLine{line})
	if said := c.Verdict().Sentences; !strings.Contains(said[0], "this season so far leaves") || c.Table().Rows[0][0] != "2016–17 up to 31 December" {
		t.Errorf("how sure: %q, %q", said, c.Table().Rows[0])
	}
}

func lines(hours ...int) []report.YearLine {
	var ls []report.YearLine
	for i, h := range hours {
		l := report.YearLine{Start: time.Date(2000+i, 10, 1, 0, 0, 0, 0, time.UTC), Summary: sim.Summary{Tally: sim.Tally{Hours: 8760, UnmetHours: h}}}
		l.UnmetByMonth[11], l.UnmetByMonth[0] = h-h/4, h/4
		ls = append(ls, l)
	}
	return ls
}

// The middling year, one in five and the worst lead, with their months; then how
// sure it is, each share with its count.
func TestCarriedWords(t *testing.T) {
	hours := []int{0, 8, 40, 20, 4}
	draws := make([][]int, 20)
	for d := range draws {
		draws[d] = []int{0, d, 3 * d, 2 * d, d / 2}
	}
	v := report.NewCarried(sim.NewCarried(hours, draws), report.Doubts{Draws: 20, Causes: []sim.Cause{sim.TheSky, sim.TheHead}}, lines(hours...))
	said, bad := both(v.Verdict())
	text := strings.Join(said, " ")
	if !bad {
		t.Error("a house that is dark in one year of five is no bad news")
	}
	for _, want := range []string{
		// Of 5 years drawn again none is worse than the k-th of these with a chance of
		// (k/5)⁵, a third for the fourth and an eighth of an eighth for the third.
		"a middling one (2001–02) leaves you in the dark for 8 hours (4–20), in December and January;",
		"one in five (2003–04) for 20 hours or more (8–40)", "the worst (2002–03) for 40 hours (20–40)",
		"5 years make neither a 1-in-5 year nor a worst one sure",
		"over 20 draws of sky and head a middling year leaves 10 hours (8 in 10: 1 to 18) in the dark",
		"one in five 19 hours (8 in 10: 2 to 36)",
		"a middling year is carried through every hour: as good as ruled out (1 of 20)",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("not said: %q\nin: %s", want, text)
		}
	}
	if rows := v.Table().Rows; len(rows) != 3 || rows[0][1] != "8 (4–20)" || rows[2][5] != "1 of 20" {
		t.Errorf("table %v", rows)
	}
	v = report.NewCarried(sim.NewCarried([]int{5}, nil), report.Doubts{Draws: 1}, lines(5))
	if said := v.Verdict().Sentences; len(said) != 0 {
		t.Errorf("one year without draws has something to say: %q", said)
	}
}
