package measure_test

import (
	"strings"
	"testing"

	"sunrill/sim/measure"
)

// The characters are those of the Unicode standard.
func TestOddCharacters(t *testing.T) {
	for text, want := range map[string]string{
		"40 m, 50 °C, 3 m²/s, Übersee, µ": "", // plain, or with letters and signs of their own
		"−5 C":                            "− is the typographic minus (U+2212): type the plain -",
		"5\u00a0m":                        "there is a space that does not break (U+00A0): type a plain space",
		"4\u200b0 m":                      "there is an invisible space (U+200B): take it out",
		"40 м":                            "м is a Cyrillic letter (U+043C): type the plain m",
		"４0 m":                            "４ is a wide character (U+FF14): type the plain 4",
	} {
		got := ""
		if o, odd := measure.OddIn(text); odd {
			got = o.What() + ": " + o.Cure()
		}
		if got != want {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
	}
	if got := measure.Plain("“−½ м”"); got != `"-0.5 m"` {
		t.Errorf("in plain characters it is %q", got)
	}
}

// A share that was written as a fraction, and one that is hardly meant.
func TestSharesWrittenAsFractions(t *testing.T) {
	for _, c := range []struct {
		m       *measure.Measure
		text    string
		example string
	}{
		{measure.Fractions, "0.2", "20 %"}, {measure.InterestRates, "0.04", "4 %"}, {measure.Fractions, "20", "20 %"}, {measure.FractionsPerK, "-0.004", "-0.4 %/K"}, {measure.Lengths, "0.2", "0.2 m"},
	} {
		_, err := c.m.Parse(c.text)
		if want := "write for example \"" + c.example + "\""; err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", c.text, err, want)
		}
	}
	for _, c := range []struct {
		m           *measure.Measure
		text, meant string
	}{{measure.Fractions, "0.2 %", "20 %"}, {measure.Fractions, "1 %", ""}, {measure.InterestRates, "0.04 %", "4 %"}, {measure.InterestRates, "0.5 %", ""}, {measure.Fractions, "0 %", ""}} {
		v, u, err := c.m.ParseUnit(c.text)
		if meant, _ := c.m.Doubt(v, u); err != nil || meant != c.meant {
			t.Errorf("%s: %q is meant, want %q (%v)", c.text, meant, c.meant, err)
		}
	}
}
