package site

import (
	"time"

	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/stream"
)

type yieldRow struct {
	Index   files.Number `csv:"index_mm"`
	FlowLPS files.Number `csv:"flow_lps"`
	FlowGPM files.Number `csv:"flow_gpm"`
}

const (
	gallonMinM3S = measure.GallonL * 1e-3 / 60
	greatestM3S  = GreatestFlowM3S
)

const isUnit = "is it the right unit?"

// GreatestFlowM3S is the greatest flow that this program has to do with: that of
// a homestead's creek, generously.
const GreatestFlowM3S = 100

// noCreek tells a flow that no creek of a homestead has; "" for one that it may
// have.
func noCreek(m3s float64) string {
	switch {
	case m3s < 0:
		return "is below 0"
	case m3s > greatestM3S:
		return "is a river's flow: above 100,000 L/s (1.6 million gal/min) this program is of no use"
	}
	return ""
}

// unitOf returns the unit of a column of flows in m³/s.
func unitOf(name string) float64 {
	if name == "flow_gpm" {
		return gallonMinM3S
	}
	return 1e-3
}

// flowOf returns the flow of a row that has one of the two columns.
func flowOf(s *files.Sheet, lps, gpm files.Number) (m3s float64, name string) {
	if s.Has["flow_gpm"] {
		return float64(gpm) * gallonMinM3S, "flow_gpm"
	}
	return float64(lps) * 1e-3, "flow_lps"
}

// yield reads a table of wetness index and flow.
func (l *loader) yield(file string) []stream.YieldPoint {
	if file == "" {
		return nil
	}
	rows, s, ok := files.Rows[yieldRow](l.Folder, file, "it holds index_mm, flow_lps, rising", files.Columns{}.Must("index_mm").OneOf("flow_lps", "flow_gpm").Most(1000, "a curve needs some ten points"))
	if s == nil || !ok {
		return nil
	}
	var points []stream.YieldPoint
	for i, r := range rows {
		q, name := flowOf(s, r.FlowLPS, r.FlowGPM)
		p := stream.YieldPoint{IndexMM: float64(r.Index), FlowM3S: q}
		if wrong := noCreek(q); wrong != "" {
			s.Wrong(i, name, isUnit, "%s %s", measure.Trim(q/unitOf(name)), wrong)
		}
		if p.IndexMM < 0 || p.IndexMM > 1000 {
			s.Wrong(i, "index_mm", "the wetness index in mm a day", "%s is outside 0 to 1000", measure.Trim(p.IndexMM))
		}
		if i > 0 && p.IndexMM <= points[i-1].IndexMM {
			s.Wrong(i, "index_mm", "begin with the driest", "the index does not rise above the row before it")
		}
		if i > 0 && p.FlowM3S < points[i-1].FlowM3S {
			s.Wrong(i, name, "a wetter ground never gives less", "the flow falls below the row before it")
		}
		points = append(points, p)
	}
	if len(points) < 2 {
		l.Tell(files.Problem{File: file, What: "one point makes no curve", Hint: "give two points at least"})
	}
	return points
}

type flowRow struct {
	Date    files.Day    `csv:"date"`
	FlowLPS files.Number `csv:"flow_lps"`
	FlowGPM files.Number `csv:"flow_gpm"`
}

// flowRecord reads the owner's own record of the creek.
func (l *loader) flowRecord(file string) *stream.FlowRecord {
	if file == "" {
		return nil
	}
	rows, s, ok := files.Rows[flowRow](l.Folder, file, "it holds a row a day: date, flow_lps", files.Columns{}.Must("date").OneOf("flow_lps", "flow_gpm").Most(maxDays, "a row a day, none twice; is it the right file?"))
	if s == nil || len(rows) == 0 {
		return nil
	}
	days, flows := make([]time.Time, len(rows)), make([]float64, len(rows))
	for i, r := range rows {
		q, name := flowOf(s, r.FlowLPS, r.FlowGPM)
		if wrong := noCreek(q); wrong != "" {
			hint := isUnit
			if q < 0 {
				hint = "a mark for a missing day has to go: leave out the row"
			}
			s.Wrong(i, name, hint, "%s %s", measure.Trim(q/unitOf(name)), wrong)
			ok = false
		}
		days[i], flows[i] = r.Date.Time, q
	}
	if !s.InOrder("date", days, 24*time.Hour) {
		return nil
	}
	n := int(days[len(days)-1].Sub(days[0]).Hours()/24) + 1
	y, m, d := days[0].Date()
	rec := &stream.FlowRecord{Start: time.Date(y, m, d, 0, 0, 0, 0, l.site.Place.Zone()), FlowM3S: make([]float64, n)}
	filled, last := 0, -1
	for i, q := range flows {
		k := int(days[i].Sub(days[0]).Hours() / 24)
		if gap := k - last - 1; gap > shortGapDays {
			s.Wrong(i, "date", "fill in what you know of these days, or cut the record there", "%d days are missing before this row", gap)
		} else if gap > 0 {
			for j := 1; j <= gap; j++ {
				rec.FlowM3S[last+j] = flows[i-1] + (q-flows[i-1])*float64(j)/float64(gap+1)
			}
			filled += gap
		}
		rec.FlowM3S[k], last = q, k
	}
	if filled > 0 {
		l.warn("%s: gaps of 1 to %d days filled by straight lines, %s in all", file, shortGapDays, files.Count(filled, "day"))
	}
	if !ok {
		return nil
	}
	l.commonDays(rec, file)
	return rec
}

// commonDays checks that rain and flow are known of the same days.
func (l *loader) commonDays(rec *stream.FlowRecord, file string) {
	r := &l.site.Rain
	if r.Days() == 0 {
		return
	}
	from := max(0, r.Index(rec.Start))
	to := min(r.Days(), r.Index(rec.Start)+len(rec.FlowM3S))
	if to-from < 365 {
		l.Tell(files.Problem{File: file, What: "has less than a year in common with the rain record", Hint: "both are needed for every day of a year"})
		return
	}
	if from > 0 || to < r.Days() {
		l.warn("%s and the rain record have the days from %s to %s in common; only years within them can be run", file, r.Start.AddDate(0, 0, from).Format("2006-01-02"), r.Start.AddDate(0, 0, to-1).Format("2006-01-02"))
	}
}
