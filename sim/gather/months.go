package gather

import (
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"time"

	"sunrill/sim/measure"
)

// monthly finds a table of the twelve months, down or across. It returns a
// table whose dates are the middle of the months of a typical year; nil if
// there is none.
func monthly(g *grid, name string, o Options) (*table, Problems) {
	if t := monthsDown(g, name); t != nil {
		return t, nil
	}
	// Across: turn the table on its side, below the row of the months' names.
	for i, r := range g.rows {
		names := 0
		for _, c := range r.cells {
			if monthOf(c) > 0 {
				names++
			}
		}
		if names < 12 {
			continue
		}
		side := &grid{file: g.file, sheet: g.sheet, separator: g.separator, comments: g.comments}
		side.comments = append(side.comments, g.rows[:i]...)
		for c := range r.cells {
			var cells []string
			for _, row := range g.rows[i:] {
				if len(row.cells) >= 12 {
					cells = append(cells, cellOf(row, c))
				}
			}
			side.rows = append(side.rows, row{r.line, cells})
		}
		if t := monthsDown(side, name); t != nil {
			t.find("the months run across the table", fmt.Sprintf("line %d names them", r.line))
			return t, nil
		}
	}
	return nil, nil
}

// monthsDown finds a column with the twelve months, each once, in names or
// numbers.
func monthsDown(g *grid, name string) *table {
	width := 0
	for _, r := range g.rows {
		width = max(width, len(r.cells))
	}
	for c := range min(width, 4) {
		isMonth := func(r row) int {
			cell := cellOf(r, c)
			if m := monthOf(cell); m > 0 {
				return m
			}
			if allDigits(cell) && len(cell) <= 2 && num(cell) <= 12 {
				return num(cell)
			}
			return 0
		}
		seen := map[int]int{}
		first, last := -1, -1
		for i, r := range g.rows {
			if m := isMonth(r); m > 0 {
				seen[m]++
				if first < 0 {
					first = i
				}
				last = i
			}
		}
		if len(seen) != 12 || last-first != 11 {
			continue
		}
		t := &table{name: name, g: g, monthly: true, first: first, last: last + 1, texts: map[quantity][]string{}, dates: dateCells{-1, -1, c, -1, -1, -1}}
		t.findHeader()
		for _, r := range g.rows[t.last:] {
			t.titles += "\n" + strings.Join(r.cells, " ")
		}
		t.findColumns()
		return t
	}
	return nil
}

var yearInText = regexp.MustCompile(`\b(1[89]\d\d|20\d\d)\b`)

// calendar finds a year on one page: the days 1 to 31 down and the months
// across, or the other way round. It returns its rain as a table with a row a
// day; nil if there is none.
func calendar(g *grid, name string) *table {
	rows := g.rows
	head, at := -1, [13]int{}
	for i, r := range rows[:min(len(rows), 40)] {
		names, found := 0, [13]int{}
		for c, cell := range r.cells {
			if m := monthOf(cell); m > 0 {
				names++
				found[m] = c
			}
		}
		if names == 12 {
			head, at = i, found
			break
		}
	}
	if head < 0 {
		return nil
	}
	t := &table{name: name, headerLine: rows[head].line, texts: map[quantity][]string{}}
	for _, r := range append(slices.Clone(g.comments), rows[:head+1]...) {
		t.titles += "\n" + strings.Join(r.cells, " ")
	}
	years := map[string]bool{}
	for _, text := range []string{t.titles, g.sheet, strings.ReplaceAll(path.Base(g.file), "_", " ")} {
		if len(years) == 0 {
			for _, y := range yearInText.FindAllString(text, -1) {
				years[y] = true
			}
		}
	}
	var d decimal
	type cell struct {
		line, day int
		cells     []string
	}
	var days []cell
	for _, r := range rows[head+1:] {
		c := strings.TrimSuffix(cellOf(r, 0), ".")
		if allDigits(c) && num(c) == len(days)+1 && num(c) <= 31 {
			days = append(days, cell{r.line, num(c), r.cells})
			for m := 1; m <= 12; m++ {
				d.look(r.line, cellOf(r, at[m]))
			}
		}
	}
	if len(days) != 31 || len(years) != 1 {
		return nil
	}
	year := 0
	for y := range years {
		year = num(y)
	}
	comma, _, err := d.decide(g.separator, "")
	if err != nil {
		return nil
	}
	c := &column{q: rain, header: "rain", quality: -1}
	gone, bad := 0, 0
	for m := 1; m <= 12; m++ {
		for k := range daysIn(year, m) {
			v, _ := readNumber(cellOf(row{0, days[k].cells}, at[m]), comma)
			switch v.st {
			case missing:
				gone++
			case unreadable:
				bad++
			}
			t.times = append(t.times, time.Date(year, time.Month(m), k+1, 0, 0, 0, 0, time.UTC))
			t.lines = append(t.lines, days[k].line)
			c.values = append(c.values, v)
		}
	}
	if bad > 0 {
		return nil
	}
	t.columns = []*column{c}
	t.find(fmt.Sprintf("a calendar of %d: the days down, the months across", year), fmt.Sprintf("line %d names the months", t.headerLine))
	if gone > 0 {
		t.find(measure.Plural(gone, "blank", "blanks")+" in the calendar", "gaps, not 0; if it was dry then, say --unlisted dry")
		c.blankDry = true
	}
	return t
}
