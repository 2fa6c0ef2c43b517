package record

import (
	"io"
	"math"

	"sunrill/sim"
)

// DoubtFile is an answer with its 8-in-10 range over draws; null where there is
// no number.
type DoubtFile struct {
	Middle *float64 `json:"middle_values"`
	Median *float64 `json:"median"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
}

// DoubtObject returns the object, rounded to so many decimals.
func DoubtObject(d sim.Doubt, decimals int) DoubtFile {
	low, high := d.Range()
	round := func(v float64) *float64 {
		return known(v, func(v float64) float64 { return Round(v, decimals) })
	}
	return DoubtFile{round(d.Middle), round(d.Median()), round(low), round(high)}
}

// CarriedFile is the object of unmet hours a year over years and draws.
type CarriedFile struct {
	Years     int       `json:"years"`
	Draws     int       `json:"draws"`
	Middling  DoubtFile `json:"unmet_hours_middling_year"`
	OneInFive DoubtFile `json:"unmet_hours_one_in_five"`
	Worst     DoubtFile `json:"unmet_hours_worst_year"`
	Mean      DoubtFile `json:"unmet_hours_mean"`

	// Of the middle values: where it comes out in 8 of 10 sets of as many years,
	// drawn again from these.
	MiddlingRange  rangeFile `json:"unmet_hours_middling_year_range"`
	OneInFiveRange rangeFile `json:"unmet_hours_one_in_five_range"`
	WorstRange     rangeFile `json:"unmet_hours_worst_year_range"`
}

// CarriedObject returns the object.
func CarriedObject(c sim.Carried) CarriedFile {
	return CarriedFile{c.Years, c.Draws, DoubtObject(c.Middling, 0), DoubtObject(c.OneInFive, 0), DoubtObject(c.Worst, 0), DoubtObject(c.Mean, 2),
		rangeFile(c.MiddlingRange), rangeFile(c.OneInFiveRange), rangeFile(c.WorstRange)}
}

// Draws writes draws.csv, a row a draw, 0 for the middle values.
func Draws(f *Folder, c sim.Carried) error {
	column := func(name string, decimals int, d sim.Doubt) Column {
		return Column{name, func(dst []byte, row int) []byte {
			v := d.Middle
			if row > 0 {
				v = d.Draws[row-1]
			}
			if math.IsInf(v, 0) {
				return dst
			}
			return appendNumber(dst, v, decimals)
		}}
	}
	return f.Write("draws.csv", func(w io.Writer) error {
		return WriteTable(w, 1+c.Draws, []Column{
			{"draw", func(dst []byte, row int) []byte { return appendNumber(dst, float64(row), 0) }},
			column("unmet_hours_middling_year", 0, c.Middling),
			column("unmet_hours_one_in_five", 0, c.OneInFive),
			column("unmet_hours_worst_year", 0, c.Worst),
			column("unmet_hours_mean", 2, c.Mean),
		})
	})
}

// rangeFile is how far a figure reaches.
type rangeFile struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}
