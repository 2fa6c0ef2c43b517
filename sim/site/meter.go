package site

import (
	"math"
	"time"

	"sunrill/sim"
	"sunrill/sim/files"
	"sunrill/sim/measure"
)

type meterRow struct {
	Time   files.Hour  `csv:"time"`
	SoC    files.Maybe `csv:"soc_pct"`
	HydroW files.Maybe `csv:"hydro_w"`
	PVW    files.Maybe `csv:"pv_w"`
}

const meterFile = "meter.csv"

var meterColumns = files.Columns{}.Must("time").May("soc_pct", "hydro_w", "pv_w")

// meter reads meter.csv, if it is there: what really happened.
func (l *loader) meter() {
	if !l.Exists(meterFile) {
		return
	}
	rows, s, ok := files.Rows[meterRow](l.Folder, meterFile, "it may be left out", meterColumns)
	if s == nil {
		return
	}
	if !s.Has["soc_pct"] && !s.Has["hydro_w"] && !s.Has["pv_w"] {
		l.Tell(files.Problem{File: meterFile, What: "has none of the columns soc_pct, hydro_w, pv_w", Hint: "give one at least"})
		return
	}
	m := &sim.Log{W: map[string][]float64{}}
	for i, r := range rows {
		t := r.Time.Time
		if i > 0 && !t.IsZero() && !t.After(rows[i-1].Time.Time) {
			s.Wrong(i, "time", "sort the rows by time and keep one for each", "is not after the row before it")
		}
		m.Time = append(m.Time, time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, l.site.Place.Zone()))
		add := func(to *[]float64, name string, v files.Maybe, low, high, factor float64) {
			switch {
			case !s.Has[name]:
			case !v.Given:
				*to = append(*to, math.NaN())
			default:
				if v.Value < low || v.Value > high {
					s.Wrong(i, name, "leave the cell empty where nothing was logged", "%s is outside %s to %s", measure.Trim(v.Value), measure.Trim(low), measure.Trim(high))
				}
				*to = append(*to, v.Value*factor)
			}
		}
		add(&m.SoC, "soc_pct", r.SoC, 0, 100, 0.01)
		for _, source := range []struct {
			key string
			w   files.Maybe
		}{{sim.Creek.Key, r.HydroW}, {sim.Panels.Key, r.PVW}} {
			w := m.W[source.key]
			add(&w, source.key+"_w", source.w, 0, 1e6, 1)
			if w != nil {
				m.W[source.key] = w
			}
		}
	}
	if ok {
		l.site.Meter = m
	}
}
