package record

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"sunrill/sources/stream"
)

// Fit is the object that fit prints with --json.
type Fit struct {
	Model      string         `json:"model"`
	Parameters []FitParameter `json:"parameters"`
	Fitted     FitScores      `json:"fitted"`
	HeldOut    FitScores      `json:"held_out"`
	Verdict    string         `json:"verdict"`
	Choice     string         `json:"choice,omitempty"` // which of two models was taken, and why
	Other      *Fit           `json:"other,omitempty"`  // the one that was not taken

	RunoffFraction *float64    `json:"runoff_share,omitempty"` // of the rain on the catchment
	RunoffSlips    []string    `json:"runoff_slips,omitempty"` // where it is not possible
	MeasureNext    string      `json:"measure_next,omitempty"`
	Seasons        []FitSeason `json:"seasons,omitempty"`
}

// FitSeason is when a year's creek can run the turbine: dates, "" where there is
// none, with the ends of the 8-in-10 range.
type FitSeason struct {
	Year      string    `json:"year_from"`
	First     string    `json:"first"`
	FirstSpan [2]string `json:"first_range"`
	Last      string    `json:"last"`
	LastSpan  [2]string `json:"last_range"`
	Never     float64   `json:"never_share"` // of the creeks that the readings allow
}

// Seasons turns seasons in days from start into dates.
func Seasons(all []stream.UsableSeason, start time.Time) (out []FitSeason) {
	day := func(d, off int) string {
		if d < 0 {
			return ""
		}
		return start.AddDate(0, 0, d-off).Format("2006-01-02")
	}
	for _, s := range all {
		out = append(out, FitSeason{Year: day(s.From, 0), First: day(s.First.Day, 0), FirstSpan: [2]string{day(s.First.Low, 0), day(s.First.High, 0)},
			Last: day(s.Last.Day, 1), LastSpan: [2]string{day(s.Last.Low, 1), day(s.Last.High, 1)}, Never: Round(s.Never, 3)})
	}
	return out
}

// FitParameter is a fitted value and its 80 % range, named as in stream.csv.
type FitParameter struct {
	Parameter string   `json:"parameter"`
	Value     float64  `json:"value"`
	Low       *float64 `json:"low"`
	High      *float64 `json:"high"`
}

// FitScores say how well the model follows readings; null where there are too
// few to tell.
type FitScores struct {
	N        int      `json:"n"`
	NSE      *float64 `json:"nse"`
	KGE      *float64 `json:"kge"`
	NSELog   *float64 `json:"nse_log"`
	ErrorLPS *float64 `json:"error_lps"`
}

// WriteReadings writes readings.csv: every reading beside the fitted model, with
// the likeliest slip of those that the others contradict.
func WriteReadings(w io.Writer, all []stream.Compared) error {
	b := bufio.NewWriter(w)
	b.WriteString("date,method,flow_lps,model_lps,errors_apart,used,slip,corrected_lps,corrected_date\n")
	number := func(v float64) string { return strconv.FormatFloat(significant(v), 'g', -1, 64) }
	for _, c := range all {
		used, slip, flow, date := "yes", "", "", ""
		if s := c.Suspect; s != nil && s.Slip != nil {
			used, slip, flow, date = "no", s.Slip.What, number(1000*s.Slip.Gauging.FlowM3S), s.Slip.Gauging.Date.Format("2006-01-02")
		}
		fmt.Fprintf(b, "%s,%s,%s,%s,%s,%s,%s,%s,%s\n", c.Gauging.Date.Format("2006-01-02"), c.Gauging.Method, number(1000*c.Gauging.FlowM3S),
			number(1000*c.ModelM3S), strconv.FormatFloat(Round(c.Apart, 2), 'f', -1, 64), used, slip, flow, date)
	}
	return b.Flush()
}

// SummarizeFit turns a fit into the object that is printed.
func SummarizeFit(f *stream.Fitted, verdict []string) Fit {
	r := Fit{Model: f.Kind.String(), Fitted: fitScores(f.Fitted), HeldOut: fitScores(f.HeldOut), Verdict: strings.Join(verdict, " ")}
	for _, p := range f.Parameters {
		r.Parameters = append(r.Parameters, FitParameter{p.Name, significant(p.Value), known(p.Low, significant), known(p.High, significant)})
	}
	return r
}

func fitScores(s stream.Scores) FitScores {
	round := func(v float64) float64 { return Round(v, 4) }
	return FitScores{s.N, known(s.NSE, round), known(s.KGE, round), known(s.NSELog, round), known(1000*s.ErrorM3S, round)}
}

// known returns the rounded value, nil for NaN.
func known(v float64, round func(float64) float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = round(v)
	return &v
}

// significant rounds to six significant digits, as stream.csv has them.
func significant(v float64) float64 {
	if v == 0 {
		return 0
	}
	return Round(v, 5-int(math.Floor(math.Log10(math.Abs(v)))))
}

// Reading is the object that gauge prints with --json.
type Reading struct {
	Method   string  `json:"method"`
	FlowLPS  float64 `json:"flow_lps"`
	ErrorLPS float64 `json:"error_lps"`
}

// SummarizeReading turns a reading into the object that is printed.
func SummarizeReading(r stream.Reading) Reading {
	return Reading{r.Method, significant(1000 * r.FlowM3S), significant(1000 * r.ErrorM3S)}
}
