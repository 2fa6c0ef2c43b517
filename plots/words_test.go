package plots_test

import (
	"encoding/xml"
	"testing"

	"pgregory.net/rapid"

	"sunrill/plots"
)

// However close their points lie, words never run into one another, and they
// stay inside the chart.
func TestWordsKeepApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "words")
		w := plots.Labels{Centred: rapid.Bool().Draw(t, "centred")}
		for range n {
			w.X = append(w.X, rapid.Float64Range(0, 10).Draw(t, "x"))
			w.Y = append(w.Y, rapid.Float64Range(0, 10).Draw(t, "y"))
			w.Text = append(w.Text, rapid.SampledFrom([]string{"7 mm", "28 kWh bank", "Jan"}).Draw(t, "text"))
		}
		p := plots.New("", "")
		p.HideAxes()
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 10, 0, 10
		p.Add(w)
		svg, err := plots.Chart{Name: "words", Plot: p}.SVG()
		if err != nil {
			t.Fatal(err)
		}
		var drawn struct {
			Text []struct {
				X      float64 `xml:"x,attr"`
				Y      float64 `xml:"y,attr"` // of the base line
				Length float64 `xml:"textLength,attr"`
				Size   float64 `xml:"font-size,attr"`
				Word   string  `xml:",chardata"`
			} `xml:"text"`
		}
		if err := xml.Unmarshal(svg, &drawn); err != nil {
			t.Fatal(err)
		}
		if len(drawn.Text) == 0 {
			t.Fatal("no word is left")
		}
		for i, a := range drawn.Text {
			if a.X < 0 || a.X+a.Length > float64(plots.Width) || a.Y > float64(plots.Height) || a.Y-0.7*a.Size < 0 {
				t.Fatalf("%q at %g, %g stands out of the chart", a.Word, a.X, a.Y)
			}
			for _, b := range drawn.Text[:i] {
				dy := max(a.Y, b.Y) - min(a.Y, b.Y)
				apart := a.X >= b.X+b.Length || b.X >= a.X+a.Length
				if !apart && dy < 0.9*a.Size {
					t.Fatalf("%q at %g, %g runs into %q at %g, %g", a.Word, a.X, a.Y, b.Word, b.X, b.Y)
				}
			}
		}
	})
}
