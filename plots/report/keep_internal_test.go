package report

import "testing"

// Units stay beside their numbers; words are not units.
func TestUnitsStayWithTheirNumbers(t *testing.T) {
	for text, want := range map[string]string{
		"14.0 kWh of 20 kWh, 3 hours": "14.0\u00a0kWh of 20\u00a0kWh, 3 hours",
		"bank, kWh":                   "bank,\u00a0kWh",
		"in 17 in 20":                 "in 17 in 20",
		"83 % at -2 °C; 0.5 L/s.":     "83\u00a0% at -2\u00a0°C; 0.5\u00a0L/s.",
		"at 5 metres, 5 m":            "at 5 metres, 5\u00a0m",
		"1,542 h":                     "1,542\u00a0h",
		"of 12, in the worst":         "of 12, in the worst",
	} {
		if got := keepUnits(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

// A phone shows a table of few columns as it is, one of many as blocks, and one of
// many columns and rows to be moved sideways.
func TestTablesOnAPhone(t *testing.T) {
	table := func(columns, minor, rows int) Table {
		t := Table{Head: make([]string, columns), Rows: make([][]string, rows)}
		for i := range minor {
			t.Minor = append(t.Minor, columns-1-i)
		}
		return t
	}
	for _, c := range []struct {
		t          Table
		wide, long bool
	}{
		{table(4, 0, 40), false, false}, {table(7, 3, 40), false, false},
		{table(12, 5, 7), true, false}, {table(14, 0, 13), false, true},
	} {
		if c.t.Wide() != c.wide || c.t.Long() != c.long {
			t.Errorf("%d columns, %d of them minor, %d rows: blocks %v, sideways %v", len(c.t.Head), len(c.t.Minor), len(c.t.Rows), c.t.Wide(), c.t.Long())
		}
	}
}
