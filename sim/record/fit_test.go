package record_test

import (
	"bytes"
	"math"
	"testing"

	"sunrill/sim/record"
	"sunrill/sources/stream"
)

func TestFitAsJSON(t *testing.T) {
	nan := math.NaN()
	f := &stream.Fitted{
		Kind:       stream.CatchmentKind,
		Parameters: []stream.Parameter{{Name: "x1_mm", Value: 312.345678, Low: 250, High: 400}, {Name: "x2_mm_day", Value: -0.25, Low: nan, High: nan}},
		Fitted:     stream.Scores{N: 7, NSE: 0.91234567, KGE: 0.8, NSELog: 0.95, ErrorM3S: 0.00012},
		HeldOut:    stream.Scores{NSE: nan, KGE: nan, NSELog: nan, ErrorM3S: nan},
	}
	var b bytes.Buffer
	if err := record.WriteJSON(&b, record.SummarizeFit(f, []string{"Few.", "But good."})); err != nil {
		t.Fatal(err)
	}
	const want = `{
  "model": "catchment",
  "parameters": [
    {
      "parameter": "x1_mm",
      "value": 312.346,
      "low": 250,
      "high": 400
    },
    {
      "parameter": "x2_mm_day",
      "value": -0.25,
      "low": null,
      "high": null
    }
  ],
  "fitted": {
    "n": 7,
    "nse": 0.9123,
    "kge": 0.8,
    "nse_log": 0.95,
    "error_lps": 0.12
  },
  "held_out": {
    "n": 0,
    "nse": null,
    "kge": null,
    "nse_log": null,
    "error_lps": null
  },
  "verdict": "Few. But good."
}
`
	if got := b.String(); got != want {
		t.Errorf("got %s", got)
	}
}
