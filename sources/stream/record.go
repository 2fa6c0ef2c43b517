package stream

import "time"

// FlowRecord is the owner's own gapless daily record of stream flow.
type FlowRecord struct {
	Start   time.Time
	FlowM3S []float64
}

// Flow fills dst (or, if nil, a new slice) with the record's first len(rainMM)
// days, in m³/s. A record does not ask the rain; use [FlowRecord.From] to begin
// it on the rain record's first day.
func (r FlowRecord) Flow(dst, rainMM, petMM []float64) []float64 {
	checkLengths(dst, rainMM, petMM)
	if len(r.FlowM3S) < len(rainMM) {
		panic("stream: the flow record is shorter than rainMM")
	}
	if dst == nil {
		dst = make([]float64, len(rainMM))
	}
	copy(dst, r.FlowM3S)
	return dst
}

// From returns the record from the day of start on, and false if it does not
// reach days days from there. Memory is shared.
func (r FlowRecord) From(start time.Time, days int) (FlowRecord, bool) {
	i := dayNumber(start) - dayNumber(r.Start)
	if i < 0 || i+days > len(r.FlowM3S) {
		return FlowRecord{}, false
	}
	return FlowRecord{Start: start, FlowM3S: r.FlowM3S[i : i+days]}, true
}

// dayNumber counts the calendar days of t's own zone from a fixed day.
func dayNumber(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}
