package report_test

import (
	"bytes"
	"strings"
	"testing"

	"sunrill/plots/report"
	"sunrill/sim/changeover"
	"sunrill/sim/scenario"
)

// The front page answers what was asked, tells three things to do next, those
// that matter first, and how sure it is; it stands before the contents, and the
// verdict is not said twice.
func TestFrontPage(t *testing.T) {
	size, winter := studied(t, 3, true)
	valve := &report.Changeover{Result: &changeover.Result{Best: changeover.Choice{Valve: changeover.Running}}}
	studies := report.Studies{Winter: winter, Bank: size, Changeover: valve}
	f := report.NewFront(studies)
	if len(f.Answers) != 4 || len(f.Next) != 3 || f.Figure == nil || f.Figure.Name != "drywinter-charge" {
		t.Fatalf("%d answers, %d steps, figure %v", len(f.Answers), len(f.Next), f.Figure)
	}
	if !strings.HasPrefix(f.Next[0], "Gauge the creek") {
		t.Errorf("a creek without a reading: first %q", f.Next[0])
	}
	said := winter.Verdict().Sentences
	if f.Answers[0].Text != said[0] || !strings.Contains(f.Answers[1].Text, "describes no creek") {
		t.Errorf("answers %+v", f.Answers)
	}
	studies.Gauged = true
	if next := report.NewFront(studies).Next; strings.Contains(strings.Join(next, " "), "Gauge the creek") {
		t.Errorf("a creek with readings is to be gauged: %q", next)
	}
	// Three years are few; a record that the made-up years do not fit is told.
	if all := strings.Join(report.NewFront(studies).Next, " "); !strings.Contains(all, "3 years tell little") {
		t.Errorf("three years of record: %q", all)
	}
	winter.Result.Synthetic.Beside = []scenario.Beside{{Figure: scenario.MeanUnmet, Hydro: true, Record: 90, Synthetic: 300, Low: 200, High: 400}}
	if sure := report.NewFront(studies).Sure; !strings.Contains(sure, "do not fit this place") || !strings.Contains(sure, "90, as many made-up years 200 to 400") {
		t.Errorf("made-up years that do not fit: %q", sure)
	}
	if main, fit, ok := winter.Apart(); !ok || len(main.Tables) != 3 || len(fit.Tables) != 3 || len(winter.Section().Tables) != 6 {
		t.Errorf("apart: %d and %d tables", len(main.Tables), len(fit.Tables))
	}
	var page bytes.Buffer
	if err := report.Write(&page, report.Page{Title: "Here", Verdict: report.Verdict{Sentences: said}, Front: &f, Sections: []report.Section{winter.Section()}}); err != nil {
		t.Fatal(err)
	}
	html := page.String()
	front, contents := strings.Index(html, `id="front"`), strings.Index(html, "<h2>Contents</h2>")
	if front < 0 || contents < front || strings.Contains(html, `id="verdict"`) {
		t.Errorf("front at %d, contents at %d", front, contents)
	}
	if figure, table := strings.Index(html, "<svg"), strings.Index(html, "<table"); figure < 0 || table >= 0 && table < figure {
		t.Errorf("the first chart is at %d, the first table at %d", figure, table)
	}
}
