package gather

import (
	"bytes"
	"fmt"
	"strings"
	"sunrill/sim/measure"

	"github.com/xuri/excelize/v2"
)

// A workbook is a zip archive: what it may unpack to is bounded.
const maxUnpacked = 512 << 20

// openWorkbook reads the sheets of an .xlsx file, each as a table. Sheets
// without one are left out, as long as one has one.
func openWorkbook(s Source, o Options) (tables []*table, ps Problems) {
	fail := func(what, hint string) ([]*table, Problems) {
		return nil, Problems{{File: s.Name, What: what, Hint: hint}}
	}
	book, err := excelize.OpenReader(bytes.NewReader(s.Data), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: 64 << 20})
	if err != nil {
		return fail("is a zip archive, but no workbook that can be read: "+plainWords(err), "unpack it, or open it in a spreadsheet and save the sheet as CSV")
	}
	defer book.Close()
	epoch1904 := false
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		epoch1904 = *props.Date1904
	}
	var skipped Problems
	names := book.GetSheetList()
	if o.Sheet != "" {
		if i, err := book.GetSheetIndex(o.Sheet); err != nil || i < 0 {
			return fail(fmt.Sprintf("has no sheet %q", o.Sheet), "its sheets: "+strings.Join(names, ", "))
		}
		names = []string{o.Sheet}
	}
	for _, name := range names {
		g := &grid{file: s.Name, sheet: name}
		rows, err := book.Rows(name)
		if err != nil {
			continue // a chart
		}
		for line := 1; rows.Next(); line++ {
			cells, err := rows.Columns(excelize.Options{RawCellValue: true})
			if err != nil {
				rows.Close()
				return fail(fmt.Sprintf("sheet %q, row %d cannot be read: %s", name, line, plainWords(err)), "open it in a spreadsheet and save the sheet as CSV")
			}
			if len(cells) > 0 {
				g.add(line, cells)
			}
		}
		err = rows.Error()
		rows.Close()
		if err != nil {
			return fail(fmt.Sprintf("sheet %q cannot be read to its end: %s", name, plainWords(err)), "open it in a spreadsheet and save the sheet as CSV")
		}
		if len(g.rows) == 0 {
			continue
		}
		if epoch1904 {
			g.from1904()
		}
		t, problems := shape(g, o)
		if len(problems) > 0 {
			skipped = append(skipped, problems...)
			continue
		}
		if t.g != nil {
			t.find(fmt.Sprintf("%s rows of the sheet %q, the header in row %d", measure.Count(t.last-t.first), name, t.headerLine), "")
		}
		tables = append(tables, t)
	}
	if len(tables) == 0 {
		if len(skipped) == 0 {
			return fail("has no sheet with rows", "")
		}
		return nil, skipped
	}
	for _, p := range skipped {
		tables[0].find("sheet left out: "+p.File, p.What)
	}
	return tables, nil
}

func plainWords(err error) string { return strings.TrimSuffix(err.Error(), ".") }

// from1904 turns the day numbers of a workbook that counts from 1904 into
// those that count from the end of 1899.
func (g *grid) from1904() {
	const between = 1462 // days from 30 December 1899 to 1 January 1904
	c := dateColumn(g)
	if c < 0 {
		return
	}
	for _, r := range g.rows {
		if c < len(r.cells) {
			if v, ok := plainNumber(r.cells[c]); ok {
				r.cells[c] = number(v+between, 8)
			}
		}
	}
}
