package record_test

import (
	"strings"
	"testing"

	"sunrill/sim/record"
)

// A text that a spreadsheet would take for a formula is written with an
// apostrophe (common practice), a number as it is.
func TestTextsAreNoFormulas(t *testing.T) {
	var b strings.Builder
	names := []string{"=1+1", "@here", "-5", "+", "lights = 5"}
	if err := record.WriteTable(&b, len(names), []record.Column{record.Texts("name", names), record.Numbers("kwh", []float64{-1, 1, 2, 3, 4}, 1, 1)}); err != nil {
		t.Fatal(err)
	}
	if want := "name,kwh\n'=1+1,-1.0\n'@here,1.0\n'-5,2.0\n'+,3.0\nlights = 5,4.0\n"; b.String() != want {
		t.Errorf("it is\n%s", b.String())
	}
}
