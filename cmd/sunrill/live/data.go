package live

import (
	"context"
	"fmt"
	"net/http"
)

// Limits of what comes in by hand.
const (
	maxDropped = 20 << 20  // bytes of dropped files
	maxSheet   = 8 << 20   // bytes of a table
	maxRows    = 40_000    // of a table: a century of days
	maxCells   = 40        // of a row
	maxCell    = 2_000     // bytes of a cell
	maxStroke  = 5_000     // points of a drawn line
	maxTimings = 50        // of a bucket
	maxPasted  = 4_000_000 // bytes
)

// Data takes in records, tables, readings and drawn hills. What it returns is a
// change of the state, kept apart from the site's files: they change when the
// state is written. Its methods may be called at the same time.
type Data interface {
	// Sheets lists the tables that may be edited.
	Sheets() []Question
	// Sheet returns one of them as a state has it.
	Sheet(name string, settings []string) (*Sheet, error)
	// Edit puts other rows into one of them.
	Edit(name string, head []string, rows [][]string, settings []string) (*Change, error)
	// Cells takes apart what was pasted from a spreadsheet; a header row like
	// head is left out.
	Cells(text string, head []string) ([][]string, error)
	// Import understands records as they come.
	Import(ctx context.Context, in Dropped) (*Change, error)
	// Reading takes the times in which a bucket filled.
	Reading(r Reading) (*Change, error)
	// Fit finds the creek's parameters from its readings.
	Fit(ctx context.Context, settings []string, units string) (*Change, error)
	// Hills returns the drawing of the hills, with points of a stroke drawn over
	// them, in the drawing's own units; without a stroke, as the state has them.
	Hills(stroke [][2]float64, settings []string) (*Change, error)
}

// Sheet is a table as text.
type Sheet struct {
	Name string     `json:"name"`
	File string     `json:"file"`
	Head []string   `json:"head"`
	Rows [][]string `json:"rows"`
	Add  []Ready    `json:"add"` // rows that may be added as they are
}

// Ready is a row with a name.
type Ready struct {
	Label string   `json:"label"`
	Cells []string `json:"cells"`
}

// Change is a change of the state, and what is to be said of it.
type Change struct {
	Settings []string `json:"settings"` // to be added to the state's
	Said     string   `json:"said"`     // lines of text
	SVG      string   `json:"svg"`      // of a drawing, trusted
}

// Dropped are files with what their owner tells of them.
type Dropped struct {
	Files []struct {
		Name string
		Data []byte
	}
	As, Dates, Unit, Decimal, Unlisted, Column, Sheet string
	Settings                                          []string
}

// Reading is a bucket and the seconds in which it filled.
type Reading struct {
	Date, Volume, Note string
	Seconds            []float64
	Settings           []string
}

// bodyLimit is the most that a request may have, by its address.
func bodyLimit(path string) int64 {
	switch path {
	case "/import":
		return maxDropped/3*4 + 1<<20
	case "/edit", "/cells":
		return maxSheet
	}
	return maxBody
}

func problem(format string, args ...any) error {
	return Problem{[]string{fmt.Sprintf(format, args...)}}
}

func dataRoutes(mux *http.ServeMux, d Data) {
	type sheetOf struct {
		Name     string
		Head     []string
		Rows     [][]string
		Settings []string
	}
	post(mux, "sheet", func(r *http.Request, q sheetOf) (any, error) { return d.Sheet(q.Name, q.Settings) })
	post(mux, "edit", func(r *http.Request, q sheetOf) (any, error) {
		if len(q.Rows) > maxRows {
			return nil, problem("the table has %d rows; the page takes %d: edit the file itself", len(q.Rows), maxRows)
		}
		for i, row := range append([][]string{q.Head}, q.Rows...) {
			if len(row) > maxCells {
				return nil, problem("row %d has %d cells; there may be %d", i, len(row), maxCells)
			}
			for _, cell := range row {
				if len(cell) > maxCell {
					return nil, problem("row %d has a cell of %d bytes; there may be %d", i, len(cell), maxCell)
				}
			}
		}
		return d.Edit(q.Name, q.Head, q.Rows, q.Settings)
	})
	post(mux, "cells", func(r *http.Request, q struct {
		Text string
		Head []string
	}) (any, error) {
		if len(q.Text) > maxPasted {
			return nil, problem("that is too much to paste: drop it as a file")
		}
		rows, err := d.Cells(q.Text, q.Head)
		return map[string][][]string{"rows": rows}, err
	})
	post(mux, "import", func(r *http.Request, q Dropped) (any, error) {
		if len(q.Files) == 0 || len(q.Files) > 100 {
			return nil, problem("drop a file, or up to a hundred of one kind")
		}
		bytes := 0
		for _, f := range q.Files {
			bytes += len(f.Data)
		}
		if bytes > maxDropped {
			return nil, problem("the files have %d MB; the page takes %d: \"sunrill import\" takes larger ones", bytes>>20, maxDropped>>20)
		}
		ctx, cancel := context.WithTimeout(r.Context(), askTime)
		defer cancel()
		return d.Import(ctx, q)
	})
	post(mux, "reading", func(r *http.Request, q Reading) (any, error) {
		if len(q.Seconds) == 0 || len(q.Seconds) > maxTimings {
			return nil, problem("time the bucket three times or more, up to %d", maxTimings)
		}
		return d.Reading(q)
	})
	post(mux, "fit", func(r *http.Request, q struct {
		Settings []string
		Units    string
	}) (any, error) {
		ctx, cancel := context.WithTimeout(r.Context(), askTime)
		defer cancel()
		return d.Fit(ctx, q.Settings, q.Units)
	})
	post(mux, "hills", func(r *http.Request, q struct {
		Stroke   [][2]float64
		Settings []string
	}) (any, error) {
		if len(q.Stroke) > maxStroke {
			return nil, problem("that line is too long: lift the pen in between")
		}
		return d.Hills(q.Stroke, q.Settings)
	})
}
