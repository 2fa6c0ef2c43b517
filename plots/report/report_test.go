package report_test

import (
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"sunrill/plots"
	"sunrill/plots/report"
	"sunrill/sim"
)

func written(t testing.TB, p report.Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := report.Write(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The page is one file: nothing in it asks for anything elsewhere, and it runs
// no script.
func TestPageStandsAlone(t *testing.T) {
	html := written(t, page(full(t)))
	for _, bad := range []string{"<script", "http://", "https://", "@import", "url(", "<iframe", "<object"} {
		if i := strings.Index(strings.ReplaceAll(html, `xmlns="http://www.w3.org/2000/svg"`, ""), bad); i >= 0 {
			t.Errorf("the page holds %q", bad)
		}
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		if seen[m[1]] {
			t.Errorf("the id %q stands twice", m[1])
		}
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`href="#([^"]*)"`).FindAllStringSubmatch(html, -1) {
		if !seen[m[1]] {
			t.Errorf("the contents lead to #%s, which is not there", m[1])
		}
	}
	if len(html) > 300_000 {
		t.Errorf("the page has %d bytes", len(html))
	}
}

// The elements of the page are closed in order. (What it writes happens to be
// XML too, but for the doctype and the elements that have no end.)
func TestPageIsWellFormed(t *testing.T) {
	html := written(t, page(full(t)))
	html = strings.TrimPrefix(html, "<!DOCTYPE html>")
	html = regexp.MustCompile(`<(meta|link)([^>]*)>`).ReplaceAllString(html, "<$1$2/>")
	html = regexp.MustCompile(`(?s)<style>.*?</style>`).ReplaceAllString(html, "")
	d := xml.NewDecoder(strings.NewReader(html))
	for {
		if _, err := d.Token(); err == io.EOF {
			return
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// Verdict first, then the chapters; every chart has its words; the cautions
// are there.
func TestPageHoldsWhatItShould(t *testing.T) {
	v := full(t)
	html := written(t, page(v))
	last := 0
	for _, part := range []string{"<h1>", `id="verdict"`, "Contents", "Energy through the year", `id="years"`, `id="energy"`, `id="bank"`, `id="water"`, `id="hours"`,
		`id="household"`, `id="hills"`, `id="meter"`, `id="cautions"`, "Load before water.", "Dump load.", "surge", "Hydrogen", "licensed electricians",
		`id="assumptions"`, "panel losses", `id="not-modelled"`, "Made by a test."} {
		i := strings.Index(html[last:], part)
		if i < 0 {
			t.Fatalf("%q is missing, or stands too early", part)
		}
		last += i
	}
	charts := report.Charts(page(v).Sections)
	if got := strings.Count(html, "<figcaption>"); got != len(charts) {
		t.Errorf("%d captions for %d charts", got, len(charts))
	}
	names := map[string]bool{}
	for _, c := range charts {
		if names[c.Name] {
			t.Errorf("two charts are called %q", c.Name)
		}
		names[c.Name] = true
	}
	for _, file := range []string{"months.csv", "hours.csv", "days.csv", "deficits.csv"} {
		if !strings.Contains(html, `href="`+file+`"`) {
			t.Errorf("the page does not name %s", file)
		}
	}
}

func TestPageEscapesWhatAPersonWrote(t *testing.T) {
	p := report.Page{Title: `Tom & "Ann" <b>`, Verdict: report.Verdict{Sentences: []string{"<i>x</i>"}},
		Sections: []report.Section{{ID: "a", Title: "A", Figures: []report.Figure{{Chart: plots.WhoUsesWhat([]plots.Use{{Name: `<svg onload="x">`, Wh: 1}})}}}}}
	html := written(t, p)
	for _, bad := range []string{"<b>", "<i>", "<svg onload"} {
		if strings.Contains(html, bad) {
			t.Errorf("%q was not escaped", bad)
		}
	}
}

// The verdict tells the run's own numbers, the bad news first.
func TestVerdict(t *testing.T) {
	v := synthetic(t)
	says, bad := both(v.Verdict())
	if !bad || !strings.Contains(says[0], "708 hours on 57 days") || v.Summary.UnmetHours != 708 || v.Summary.UnmetDays != 57 {
		t.Errorf("%d unmet hours on %d days; the verdict begins %q", v.Summary.UnmetHours, v.Summary.UnmetDays, says[0])
	}

	// A hazard comes before darkness.
	bus := v.Year.Bus
	bus.DumpW = 0
	y, err := sim.Run(v.Year.In, bus)
	if err != nil {
		t.Fatal(err)
	}
	v = report.Year{Year: y, Summary: sim.Summarize(y)}
	says, bad = both(v.Verdict())
	if !bad || v.Summary.HazardHours == 0 || !strings.HasPrefix(says[0], "Danger") || !strings.Contains(says[1], "did not carry") {
		t.Errorf("%d hazard hours; the verdict begins %q", v.Summary.HazardHours, says)
	}

	// A house that asks for nothing is carried.
	in := *v.Year.In
	in.DemandW = make([]float64, in.Hours())
	bus.DumpW = 5000
	y, err = sim.Run(&in, bus)
	if err != nil {
		t.Fatal(err)
	}
	v = report.Year{Year: y, Summary: sim.Summarize(y)}
	says, bad = both(v.Verdict())
	if bad || !strings.Contains(says[0], "carried the house through every hour") {
		t.Errorf("a house that asks for nothing: bad %v, %q", bad, says)
	}
}

// The years lie side by side with the middle and the worst.
func TestYears(t *testing.T) {
	sec := years(synthetic(t))
	want := "1 of 4 years had no unmet hour; half of them had 12 hours or less (0–340), the worst, 2016–17, 708 hours (340–708). In brackets: where it comes out in 8 of 10 sets of as many years, drawn again from the same."
	if sec.Text[0] != want {
		t.Errorf("got %q, want %q", sec.Text[0], want)
	}
	if len(sec.Tables[0].Rows) != 4 || sec.Tables[0].Rows[3][0] != "2019–20" {
		t.Errorf("rows %q", sec.Tables[0].Rows)
	}
	if none := report.Years(nil, 0, ""); none.Figures != nil || none.Tables != nil {
		t.Error("a chart of no years")
	}
}

// A site without creek, turbine or bank has a page too.
func TestPageOfASiteWithLittle(t *testing.T) {
	in := *synthetic(t).Year.In
	in.FlowM3S, in.TurbineM3S, in.DryStopHour, in.CutoffM3S, in.OpenHour, in.CloseHour = nil, nil, nil, 0, 0, 0
	in.Set(sim.Creek, make([]float64, in.Hours()))
	y, err := sim.Run(&in, sim.Bus{})
	if err != nil {
		t.Fatal(err)
	}
	v := report.Year{Year: y, Summary: sim.Summarize(y)}
	html := written(t, page(v))
	if strings.Contains(html, `id="water"`) {
		t.Error("a site without a creek has a chapter on water")
	}
	if !strings.Contains(html, "Sun did not carry") {
		t.Error("the verdict names what is not there")
	}
	if regexp.MustCompile(`NaN|Inf\b`).MatchString(html) {
		t.Error("NaN or Inf on the page")
	}
}

func BenchmarkWrite(b *testing.B) {
	v := full(b)
	for b.Loop() {
		if err := report.Write(io.Discard, page(v)); err != nil {
			b.Fatal(err)
		}
	}
}

// Notes stand apart from what looks odd, and only where there are any.
func TestPageNotes(t *testing.T) {
	for _, c := range []struct {
		notes []string
		want  bool
	}{{nil, false}, {[]string{"vent the high points of the pipe"}, true}} {
		var b bytes.Buffer
		if err := report.Write(&b, report.Page{Title: "A place", Notes: c.notes}); err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(b.String(), "Good to know"); got != c.want || strings.Contains(b.String(), "looks odd") {
			t.Errorf("%d notes: good to know %v\n%s", len(c.notes), got, b.String())
		}
	}
}
