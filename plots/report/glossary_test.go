package report_test

import (
	"slices"
	"strings"
	"testing"

	"sunrill/plots/report"
)

// A page closes with the terms that it uses, and no others, in the order of the
// alphabet.
func TestGlossaryHoldsTheTermsUsed(t *testing.T) {
	terms := func(p report.Page) []string {
		var ts []string
		for _, w := range p.Glossary() {
			ts = append(ts, w.Term)
			if w.Says == "" || strings.HasSuffix(w.Says, ".") {
				t.Errorf("%s says %q", w.Term, w.Says)
			}
		}
		return ts
	}
	p := report.Page{Verdict: report.Verdict{Sentences: []string{"The forebay ran dry: 3 dry-pipe stops."}}, Assumptions: []report.Assumption{{What: "array[1].noct", Value: "45 C"}, {What: "array[1].temp_coefficient", Value: "-0.35 %/K"}}}
	if got, want := terms(p), []string{"dry-pipe stop", "forebay", "K", "NOCT"}; !slices.Equal(got, want) {
		t.Errorf("terms %q, want %q", got, want)
	}
	if got := terms(report.Page{Verdict: report.Verdict{Sentences: []string{"A robust business in the florist’s kitchen."}}}); got != nil {
		t.Errorf("words of every day are explained: %q", got)
	}
	all := page(full(t))
	got := terms(all)
	folded := slices.Clone(got)
	for i := range folded {
		folded[i] = strings.ToLower(folded[i])
	}
	if !slices.IsSorted(folded) || !slices.Contains(got, "unmet hour") || !slices.Contains(got, "dump load") {
		t.Errorf("terms %q", got)
	}
	html := written(t, all)
	if i, j := strings.Index(html, `<section id="words">`), strings.Index(html, `<section id="not-modelled">`); i < j || !strings.Contains(html[i:], "<dt>unmet hour</dt>") {
		t.Error("the glossary does not close the page")
	}
}
