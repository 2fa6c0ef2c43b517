package site

import (
	"math"
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

type gaugingRow struct {
	Date      files.Day   `csv:"date"`
	Method    string      `csv:"method"`
	VolumeL   files.Maybe `csv:"volume_l"`
	VolumeGal files.Maybe `csv:"volume_gal"`
	Seconds   string      `csv:"seconds"`
	FlowLPS   files.Maybe `csv:"flow_lps"`
	FlowGPM   files.Maybe `csv:"flow_gpm"`
	Note      string      `csv:"note"`
}

const (
	gaugingsFile = "gaugings.csv"
	maxOfDay     = 50 // readings

	minBucketL, greatestBucketL = 0.01, 1e5
)

var (
	gaugingColumns = files.Columns{}.Must("date", "method").May("volume_l", "volume_gal", "seconds").MayOneOf("flow_lps", "flow_gpm").May("note").Most(10_000, "keep the mean of a day's readings; a record of every day is a flow.csv")
	methods        = []string{"bucket", "weir", "float", "meter"}
)

// gaugings reads gaugings.csv, if it is there.
func (l *loader) gaugings() {
	if !l.Exists(gaugingsFile) {
		return
	}
	before := l.Told()
	rows, s, ok := files.Rows[gaugingRow](l.Folder, gaugingsFile, "it may be left out", gaugingColumns)
	if s == nil {
		if l.Told() == before+1 && l.Problems[len(l.Problems)-1].What == files.HeaderOnly {
			l.Forget(gaugingsFile) // a form that waits for its first reading
		}
		return
	}
	rain := l.site.Rain
	outside := 0
	ofDay := map[time.Time]int{}
	for i, r := range rows {
		g := stream.Gauging{Method: r.Method, Note: r.Note, Line: s.Line(i)}
		if !contains(methods, r.Method) {
			s.Wrong(i, "method", files.DidYouMean(r.Method, methods), "%q is no method", files.Short(r.Method))
			continue
		}
		y, m, d := r.Date.Date()
		g.Date = time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone())
		if ofDay[r.Date.Time]++; ofDay[r.Date.Time] == maxOfDay+1 && !r.Date.IsZero() {
			s.Wrong(i, "date", "keep the best few, or their mean", "more than %d readings of %s", maxOfDay, files.TimeText(g.Date, 24*time.Hour))
		}
		l.gaugedFlow(s, i, r, &g)
		if !r.Date.IsZero() && rain.Days() > 0 {
			if k := rain.Index(g.Date); k < 0 || k >= rain.Days() {
				outside++
			}
		}
		l.site.Gaugings = append(l.site.Gaugings, g)
	}
	if !ok || l.Told() > before {
		return
	}
	if outside > 0 {
		l.warn("%s: %s outside the days of the rain record; fit cannot use them", gaugingsFile, files.Count(outside, "reading"))
	}
	unit, m3s := "L/s", 1e-3
	if l.site.US {
		unit, m3s = "gal/min", gallonMinM3S
	}
	apart := stream.Disagreements(l.site.Gaugings)
	for i, d := range apart {
		if l.WarnedEnough() {
			l.WarnMore(len(apart) - i)
			break
		}
		l.warn("%s: lines %d and %d tell different flows for %s, %s %s by %s and %s %s by %s: look which is right", gaugingsFile, d.A.Line, d.B.Line, d.A.Date.Format("2006-01-02"),
			measure.Trim(d.A.FlowM3S/m3s), unit, d.A.Method, measure.Trim(d.B.FlowM3S/m3s), unit, d.B.Method)
	}
}

// gaugedFlow works out the flow of a reading.
func (l *loader) gaugedFlow(s *files.Sheet, i int, r gaugingRow, g *stream.Gauging) {
	flow, name := r.FlowLPS, "flow_lps"
	factor := 1e-3
	if s.Has["flow_gpm"] {
		flow, name, factor = r.FlowGPM, "flow_gpm", gallonMinM3S
	}
	volume, volumeName, litres := r.VolumeL, "volume_l", 1.0
	if r.VolumeGal.Given || !s.Has["volume_l"] && s.Has["volume_gal"] {
		volume, volumeName, litres = r.VolumeGal, "volume_gal", measure.GallonL
	}
	if r.VolumeL.Given && r.VolumeGal.Given {
		s.Wrong(i, "volume_gal", "keep one of them", "the volume stands there twice, in litres and in gallons")
		return
	}
	fromBucket := volume.Given || r.Seconds != ""
	switch {
	case fromBucket:
		seconds, ok := timings(s, i, r.Seconds)
		if !volume.Given {
			s.Wrong(i, volumeName, "the volume of the bucket up to the mark", "the volume is missing")
			return
		}
		if v := volume.Value * litres; !(v >= minBucketL && v <= greatestBucketL) {
			s.Wrong(i, volumeName, "what the bucket holds up to the mark; a barrel or a tank will do as well", "%s is outside %s to %s", measure.Trim(volume.Value), measure.Trim(minBucketL/litres), measure.Trim(greatestBucketL/litres))
			return
		}
		if !ok {
			return
		}
		reading, err := stream.Bucket(volume.Value*litres*1e-3, seconds)
		if err != nil {
			s.Wrong(i, "seconds", "", "%s", err)
			return
		}
		if wrong := noCreek(reading.FlowM3S); wrong != "" {
			s.Wrong(i, "seconds", "seconds, not minutes or parts of one?", "%s L/s %s", measure.Trim(reading.FlowM3S*1e3), wrong)
			return
		}
		g.FlowM3S, g.ErrorM3S = reading.FlowM3S, reading.ErrorM3S
		g.VolumeM3, g.Seconds = r.VolumeL.Value*1e-3, seconds
		if flow.Given && math.Abs(flow.Value*factor-g.FlowM3S) > 0.02*g.FlowM3S {
			s.Wrong(i, name, "leave the flow empty: it follows from volume and seconds", "the flow is not the volume divided by the seconds")
		}
	case flow.Given:
		g.FlowM3S = flow.Value * factor
		if wrong := noCreek(g.FlowM3S); wrong != "" {
			s.Wrong(i, name, isUnit, "%s %s", measure.Trim(flow.Value), wrong)
		}
	default:
		s.Wrong(i, "method", "give volume_l (or volume_gal) and seconds of a bucket, or the flow", "the reading has no figures")
	}
}
