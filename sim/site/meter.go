package site

import (
	"math"
	"time"
)

type meterRow struct {
	Time   hourCell `csv:"time"`
	SoC    maybe    `csv:"soc_pct"`
	HydroW maybe    `csv:"hydro_w"`
	PVW    maybe    `csv:"pv_w"`
}

const meterFile = "meter.csv"

var meterColumns = []column{{"time", "", true}, {"soc_pct", "", false}, {"hydro_w", "", false}, {"pv_w", "", false}}

// meter reads meter.csv, if it is there: what really happened.
func (l *loader) meter() {
	if !l.exists(meterFile) {
		return
	}
	rows, s, ok := readTable[meterRow](l, meterFile, "it may be left out", meterColumns)
	if s == nil {
		return
	}
	if !s.has["soc_pct"] && !s.has["hydro_w"] && !s.has["pv_w"] {
		l.problems = append(l.problems, Problem{File: meterFile, What: "has none of the columns soc_pct, hydro_w, pv_w", Hint: "give one at least"})
		return
	}
	m := &Meter{}
	for i, r := range rows {
		t := r.Time.Time
		if i > 0 && !t.IsZero() && !t.After(rows[i-1].Time.Time) {
			s.wrong(i, "time", "sort the rows by time and keep one for each", "is not after the row before it")
		}
		m.Time = append(m.Time, time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, l.site.Place.Zone()))
		add := func(to *[]float64, name string, v maybe, low, high, factor float64) {
			switch {
			case !s.has[name]:
			case !v.given:
				*to = append(*to, math.NaN())
			default:
				if v.value < low || v.value > high {
					s.wrong(i, name, "leave the cell empty where nothing was logged", "%s is outside %s to %s", trimNumber(v.value), trimNumber(low), trimNumber(high))
				}
				*to = append(*to, v.value*factor)
			}
		}
		add(&m.SoC, "soc_pct", r.SoC, 0, 100, 0.01)
		add(&m.HydroW, "hydro_w", r.HydroW, 0, 1e6, 1)
		add(&m.PVW, "pv_w", r.PVW, 0, 1e6, 1)
	}
	if ok {
		l.site.Meter = m
	}
}
