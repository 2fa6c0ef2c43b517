package stream_test

import (
	"testing"
	"time"

	"sunrill/sources/stream"
)

func TestRecordFromADay(t *testing.T) {
	zone := time.FixedZone("standard time", -8*3600)
	r := stream.FlowRecord{Start: time.Date(2016, 2, 27, 0, 0, 0, 0, zone), FlowM3S: []float64{1, 2, 3, 4, 5}}
	got, ok := r.From(time.Date(2016, 3, 1, 0, 0, 0, 0, zone), 2)
	if !ok || got.FlowM3S[0] != 4 || len(got.FlowM3S) != 2 {
		t.Errorf("From 1 March = %v, %v; want 4 and 5", got.FlowM3S, ok)
	}
	if flow := got.Flow(nil, make([]float64, 2), make([]float64, 2)); flow[1] != 5 {
		t.Errorf("Flow = %v", flow)
	}
	for _, c := range []struct {
		day  time.Time
		days int
	}{{time.Date(2016, 2, 26, 0, 0, 0, 0, zone), 1}, {time.Date(2016, 3, 1, 0, 0, 0, 0, zone), 3}} {
		if _, ok := r.From(c.day, c.days); ok {
			t.Errorf("%d days from %s should not be there", c.days, c.day.Format("2006-01-02"))
		}
	}
}
