package plots

import (
	"testing"
	"time"
)

// A line stands where a year begins, its name between two lines.
func TestYearsBeginAtTheirLines(t *testing.T) {
	y := yearTicks{start: time.Date(2015, 10, 1, 0, 0, 0, 0, time.UTC), days: 823}
	if at := y.starts(); len(at) != 2 || at[0] != 92 || at[1] != 92+366 {
		t.Errorf("2016 and 2017 begin on days %v, want 92 and 458", at)
	}
	ticks := y.Ticks(0, 823)
	if len(ticks) != 2 || ticks[0].Label != "2016" || ticks[0].Value != 92+183 || ticks[1].Value != 458+182.5 {
		t.Errorf("the names stand at %v", ticks)
	}
	if y.silent = true; y.Ticks(0, 823) != nil || len(y.starts()) != 2 {
		t.Error("an upper plot has names, or lacks its lines")
	}
}
