package report_test

import (
	"strings"
	"testing"

	"sunrill/plots/report"
)

// Each danger brings its caution, and no site is told of what it has not.
func TestCautionsFollowTheDangers(t *testing.T) {
	for _, row := range []struct {
		name    string
		dangers report.Dangers
		word    string
	}{
		{"a tank on the dump load", report.Dangers{Tank: true}, "must never disconnect the dump load"},
		{"a generator", report.Dangers{Engine: true}, "Carbon monoxide"},
		{"a bank with a danger of its own", report.Dangers{Bank: []report.Caution{{Title: "Bite.", Text: "It bites."}}}, "It bites"},
		{"a turbine", report.Dangers{Hydro: true}, "Load before water"},
	} {
		said := func(d report.Dangers) bool {
			var b strings.Builder
			for _, c := range report.Cautions(d) {
				b.WriteString(c.Title + " " + c.Text + "\n")
			}
			return strings.Contains(b.String(), row.word)
		}
		if !said(row.dangers) {
			t.Errorf("%s brings no word of %q", row.name, row.word)
		}
		if said(report.Dangers{}) {
			t.Errorf("a site without %s is told %q", row.name, row.word)
		}
	}
}
