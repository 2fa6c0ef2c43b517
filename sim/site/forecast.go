package site

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
)

// Forecast is the weather told for some days on end; NaN where a cell is empty.
type Forecast struct {
	Start        time.Time // 00:00 UTC of the first day
	RainMM       []float64
	TMinC, TMaxC []float64 // nil: not told
	SunFraction  []float64 // of a clear day's, 0 to 1; nil: not told
}

type forecastRow struct {
	Date   files.Day   `csv:"date"`
	RainMM files.Maybe `csv:"rain_mm"`
	RainIn files.Maybe `csv:"rain_in"`
	TMinC  files.Maybe `csv:"tmin_c"`
	TMinF  files.Maybe `csv:"tmin_f"`
	TMaxC  files.Maybe `csv:"tmax_c"`
	TMaxF  files.Maybe `csv:"tmax_f"`
	SunPct files.Maybe `csv:"sun_pct"`
}

var forecastColumns = files.Columns{}.Must("date").OneOf("rain_mm", "rain_in").MayOneOf("tmin_c", "tmin_f").MayOneOf("tmax_c", "tmax_f").May("sun_pct")

// ReadForecast reads a forecast: a row a day, date, rain_mm or rain_in, and
// where they are told tmin_c and tmax_c (or _f) and sun_pct, the sun as a share
// of a clear day's. The error is a [files.Problems].
func ReadForecast(path string) (*Forecast, error) {
	name := filepath.Base(path)
	l := files.New(os.DirFS(filepath.Dir(path)))
	rows, s, ok := files.Rows[forecastRow](l, name, "it holds date, rain_mm, a row a day", forecastColumns)
	if s == nil {
		return nil, l.Problems
	}
	f := &Forecast{}
	none := math.NaN()
	value := func(i int, column string, v files.Maybe, factor, offset, low, high float64) float64 {
		if !v.Given {
			return none
		}
		if x := v.Value*factor + offset; x >= low && x <= high {
			return x
		}
		s.Wrong(i, column, "leave the cell empty where it is not told", "%s is outside what weather brings", measure.Trim(v.Value))
		return none
	}
	for i, r := range rows {
		if i == 0 {
			f.Start = r.Date.Time
		} else if !r.Date.IsZero() && !r.Date.Time.Equal(f.Start.AddDate(0, 0, i)) {
			s.Wrong(i, "date", "a forecast has a row for each day, one after the other", "is not the day after the row before it")
		}
		rain := value(i, "rain_mm", r.RainMM, 1, 0, 0, 2000)
		if s.Has["rain_in"] {
			rain = value(i, "rain_in", r.RainIn, measure.MMPerInch, 0, 0, 2000)
		}
		f.RainMM = append(f.RainMM, rain)
		temperature := func(to *[]float64, inC, inF files.Maybe, name string) {
			switch {
			case s.Has[name+"_c"]:
				*to = append(*to, value(i, name+"_c", inC, 1, 0, -90, 60))
			case s.Has[name+"_f"]:
				*to = append(*to, value(i, name+"_f", inF, 5.0/9, -32*5.0/9, -90, 60))
			}
		}
		temperature(&f.TMinC, r.TMinC, r.TMinF, "tmin")
		temperature(&f.TMaxC, r.TMaxC, r.TMaxF, "tmax")
		if s.Has["sun_pct"] {
			f.SunFraction = append(f.SunFraction, value(i, "sun_pct", r.SunPct, 0.01, 0, 0, 1))
		}
	}
	if (f.TMinC == nil) != (f.TMaxC == nil) {
		l.Tell(files.Problem{File: name, Line: 1, What: "has one of lowest and highest temperature without the other", Hint: "give both, tmin_c and tmax_c, or none"})
	}
	for i := range f.TMinC {
		if i < len(f.TMaxC) && f.TMinC[i] > f.TMaxC[i] {
			s.Wrong(i, "", "are the columns exchanged?", "the day's lowest temperature is above its highest")
		}
		if i < len(f.TMaxC) && math.IsNaN(f.TMinC[i]) != math.IsNaN(f.TMaxC[i]) {
			f.TMinC[i], f.TMaxC[i] = none, none
		}
	}
	if !ok || len(l.Problems) > 0 {
		return nil, l.Problems
	}
	return f, nil
}

// From returns the days of the forecast from a day on, NaN before its first; an
// error says that it tells of none of them.
func (f *Forecast) From(day time.Time) (*Forecast, error) {
	day = time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, time.UTC)
	skip := int(day.Sub(f.Start).Hours() / 24)
	n := len(f.RainMM) - skip
	if n < 1 {
		return nil, fmt.Errorf("it ends on %s, before %s", f.Start.AddDate(0, 0, len(f.RainMM)-1).Format(time.DateOnly), day.Format(time.DateOnly))
	}
	if skip < -14 {
		return nil, fmt.Errorf("it begins on %s, more than two weeks after %s", f.Start.Format(time.DateOnly), day.Format(time.DateOnly))
	}
	cut := func(v []float64) []float64 {
		if v == nil {
			return nil
		}
		out := make([]float64, n)
		for i := range out {
			out[i] = math.NaN()
			if at := i + skip; at >= 0 {
				out[i] = v[at]
			}
		}
		return out
	}
	return &Forecast{Start: day, RainMM: cut(f.RainMM), TMinC: cut(f.TMinC), TMaxC: cut(f.TMaxC), SunFraction: cut(f.SunFraction)}, nil
}
