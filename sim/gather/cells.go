package gather

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// row is a row of cells and the line that it begins on.
type row struct {
	line  int
	cells []string
}

// grid is a file as rows of cells, before anything is known of them.
type grid struct {
	file      string
	sheet     string // of a workbook
	separator rune   // 0: a workbook
	comments  []row  // lines that begin with #, without it
	rows      []row  // without blank ones
}

// separators in the order in which they are preferred.
var separators = []rune{',', ';', '\t', '|'}

var separatorNames = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars", ' ': "spaces"}

// split cuts a text into rows of cells.
func split(file string, text []byte) (*grid, error) {
	g := &grid{file: file, separator: separatorOf(text)}
	if g.separator == ' ' {
		g.bySpaces(text)
		return g, nil
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = g.separator, -1, true, false
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return g, nil
		}
		if err != nil {
			return nil, fmt.Errorf("cannot be cut into cells: %w", err)
		}
		line, _ := r.FieldPos(0)
		for _, c := range cells {
			if strings.Count(c, "\n") > 20 {
				return nil, openQuoteError(line)
			}
		}
		g.add(line, cells)
	}
}

// openQuoteError is the line of a double quote that is never closed.
type openQuoteError int

func (e openQuoteError) Error() string {
	return fmt.Sprintf("a double quote is opened on line %d and not closed for more than 20 lines", int(e))
}

// add keeps a row that holds something. Spaces around a cell go.
func (g *grid) add(line int, cells []string) {
	something := false
	for i, c := range cells {
		cells[i] = trim(c)
		something = something || cells[i] != ""
	}
	if !something {
		return
	}
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	if rest, ok := strings.CutPrefix(cells[0], "#"); ok {
		cells[0] = trim(rest)
		g.comments = append(g.comments, row{line, cells})
		return
	}
	g.rows = append(g.rows, row{line, cells})
}

// trim takes spaces off the ends of a cell, and what spreadsheets put there.
func trim(s string) string {
	return strings.Trim(s, " \t\n\u00a0\u202f\u2007\ufeff")
}

func (g *grid) bySpaces(text []byte) {
	for line := 1; len(text) > 0; line++ {
		this, rest, _ := bytes.Cut(text, []byte{'\n'})
		text = rest
		if cells := strings.Fields(string(this)); len(cells) > 0 {
			g.add(line, cells)
		}
	}
}

// separatorOf finds the separator: the one by which most of the first lines
// fall into one and the same number of cells, two at least. Spaces come last.
func separatorOf(text []byte) rune {
	const maximum = 400
	var lines [][]byte
	for len(text) > 0 && len(lines) < maximum {
		line, rest, _ := bytes.Cut(text, []byte{'\n'})
		text = rest
		if t := bytes.TrimSpace(line); len(t) > 0 && t[0] != '#' {
			lines = append(lines, line)
		}
	}
	best, bestScore := ',', 0
	for _, s := range append(separators, ' ') {
		counts := map[int]int{}
		for _, line := range lines {
			if n := cellsOf(line, s); n > 1 {
				counts[n]++
			}
		}
		// Lines of one count, and among equals the separator that comes first.
		// A semicolon or a tab beside commas means that these are decimal.
		top := 0
		for _, k := range counts {
			top = max(top, k)
		}
		score := 4 * top
		switch s {
		case ';', '\t', '|':
			score += top
		case ' ':
			score = score / 2
		}
		if score > bestScore {
			best, bestScore = s, score
		}
	}
	return best
}

// cellsOf counts the cells of a line, quotes minded.
func cellsOf(line []byte, separator rune) int {
	if separator == ' ' {
		return len(bytes.Fields(line))
	}
	n, quoted := 1, false
	for _, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case c == byte(separator) && !quoted:
			n++
		}
	}
	return n
}
