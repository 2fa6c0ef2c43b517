package files_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"sunrill/sim/files"
)

type readingRow struct {
	Date files.Day    `csv:"date"`
	Flow files.Number `csv:"flow_lps"`
}

// A date that may be read in two ways is read where the file proves which, and
// refused, not guessed, where it does not.
func TestDatesInAnotherOrder(t *testing.T) {
	for name, c := range map[string]struct {
		dates []string
		want  string // of the first date; "" if it is refused
		note  string
	}{
		"ours":                     {[]string{"2015-01-12", "2015-03-02"}, "2015-01-12", ""},
		"a 13 in the second place": {[]string{"1/2/2015", "1/13/2015"}, "2015-01-02", "month/day/year (line 3 has 1/13/2015)"},
		"a 13 in the first place":  {[]string{"1.2.2015", "13.2.2015"}, "2015-02-01", "day/month/year (line 3 has 13.2.2015)"},
		"rows that rise one way":   {[]string{"1/12/2015", "3/2/2015", "5/1/2015"}, "2015-01-12", "the rows go back in time"},
		"nothing":                  {[]string{"1/2/2015", "3/4/2015"}, "", ""},
		"both":                     {[]string{"13/2/2015", "2/14/2015"}, "", ""},
		"two digits of a year":     {[]string{"13/2/15", "14/2/15"}, "", ""},
	} {
		in := files.New(fstest.MapFS{"a.csv": {Data: []byte("date,flow_lps\n" + strings.Join(c.dates, ",1\n") + ",1\n"), Mode: 0o644}})
		rows, _, ok := files.Rows[readingRow](in, "a.csv", "", files.Columns{}.Must("date", "flow_lps"))
		if c.want == "" {
			if ok || !strings.Contains(in.Problems.Error(), "write year-month-day") {
				t.Errorf("%s: taken, or refused without a cure: %v", name, in.Problems)
			}
			continue
		}
		if !ok || rows[0].Date.Format("2006-01-02") != c.want {
			t.Errorf("%s: %v %v, want %s", name, rows, in.Problems, c.want)
		}
		if notes := strings.Join(in.Notes, "\n"); !strings.Contains(notes, c.note) || c.note == "" && notes != "" {
			t.Errorf("%s: notes %q, want %q", name, notes, c.note)
		}
	}
}
